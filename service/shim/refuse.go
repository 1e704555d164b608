package shim

import (
	"slices"
	"strings"

	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Refusal is a spec that cannot be planned: its places keep what they have. Because is the basis or the reason:
// below_gauge, above_gauge, missing, implausible, blades_contradict, unknown_thickness, no_band, variant, …
type Refusal struct {
	Spec    spec.Key
	Because string
	Places  []PlaceRef
	Now     judge.Result
	HasNow  bool
	Next    []note.Note
}

// PlaceRef names a place of a set.
type PlaceRef struct {
	Set   spec.Key
	Place string
}

// sort splits what was measured into what is planned, what is refused, and what refuses the whole. because is the
// reason for which nothing can be planned at all.
func (p *problem) sort() (because string, about []spec.Key) {
	measured := map[spec.Key]*Measured{}
	for i := range p.in.Measured {
		measured[p.in.Measured[i].Check.Spec.Key] = &p.in.Measured[i]
	}
	var keys []spec.Key
	adjusted := map[spec.Key]bool{}
	for k := range measured {
		keys = append(keys, k)
	}
	for _, pl := range p.places {
		for _, e := range pl.of.PerMM {
			if e.Change.Sign() != 0 {
				adjusted[e.Spec] = true
				keys = append(keys, e.Spec)
			}
		}
	}
	slices.Sort(keys)
	keys = slices.Compact(keys)
	if worn := p.wornOut(measured); len(worn) > 0 {
		return "worn_part", worn
	}
	for _, key := range keys {
		m := measured[key]
		switch {
		case !adjusted[key] && p.wearOf(key):
		case !adjusted[key], m != nil && !shiftable(m.Check.Spec):
			about = append(about, key)
		default:
			p.take(key, m)
		}
	}
	if len(about) > 0 {
		return "not_adjustable", about
	}
	p.unknown()
	p.hold()
	if len(p.gauges) == 0 {
		return "no_spec_left", nil
	}
	return "", nil
}

// shiftable reports whether thickness can move the spec at all: a spread, a form, a torque or a word does not shift.
func shiftable(s *spec.Spec) bool {
	return (s.Kind == spec.Dimension || s.Kind == spec.Other) && s.CombineRule() != spec.Spread && !s.Form
}

func (p *problem) wearOf(key spec.Key) bool {
	for _, s := range p.sets {
		if slices.Contains(s.shims.WearOf, key) {
			return true
		}
	}
	return false
}

// wornOut lists the parts that shims must not hide: measured, named by a set, and worn out.
func (p *problem) wornOut(measured map[spec.Key]*Measured) (worn []spec.Key) {
	for key, m := range measured {
		if p.wearOf(key) && asFound(m.Check).Position == judge.WornOut {
			worn = append(worn, key)
		}
	}
	slices.Sort(worn)
	return worn
}

func asFound(c judge.Check) judge.Result {
	c.Stage, c.Part = judge.AsFound, ""
	return judge.Judge(c)
}

// take plans a spec or refuses it.
func (p *problem) take(key spec.Key, m *Measured) {
	if m == nil {
		p.refuse(Refusal{Spec: key, Because: "missing", Next: []note.Note{note.New("measure_point", note.Str("spec", string(key)))}})
		return
	}
	m.Check.Stage, m.Check.Part = judge.AsBuilt, judge.New
	now := judge.Judge(m.Check)
	held, because := judge.Hold(m.Check)
	if because == "" && now.Verdict == judge.NotJudged {
		because = now.Because
	}
	if because != "" {
		p.refuse(Refusal{Spec: key, Because: because, Now: now, HasNow: true, Next: nextFor(key, because)})
		return
	}
	p.wearLook = p.wearLook || !m.Check.Spec.WearLimit.Empty() && asFound(m.Check).Position == judge.WornOut
	p.gauges = append(p.gauges, newGauge(m, held, now))
}

func nextFor(key spec.Key, because string) []note.Note {
	at := note.Str("spec", string(key))
	switch because {
	case "below_gauge":
		return []note.Note{note.New("fit_trial_shim", at), note.New("measure_point", at)}
	case "above_gauge":
		return []note.Note{note.New("use_dial", at)}
	case "variant":
		return []note.Note{note.New("name_the_variant")}
	}
	return []note.Note{note.New("measure_point", at)}
}

func (p *problem) refuse(r Refusal) { p.refused = append(p.refused, r) }

// unknown refuses the specs that a place of unknown thickness changes.
func (p *problem) unknown() {
	bad := map[spec.Key]bool{}
	for _, pl := range p.places {
		if pl.locked || pl.state != nil && pl.state.Known {
			continue
		}
		pl.held = true
		for _, e := range pl.of.PerMM {
			bad[e.Spec] = bad[e.Spec] || e.Change.Sign() != 0
		}
	}
	var rest []*gauge
	for _, g := range p.gauges {
		if !bad[g.key] {
			rest = append(rest, g)
			continue
		}
		p.refuse(Refusal{Spec: g.key, Because: "unknown_thickness", Now: g.now, HasNow: true,
			Next: []note.Note{note.New("measure_shims", note.Str("spec", string(g.key)))}})
	}
	p.gauges = rest
}

// hold locks every place that changes a refused spec.
func (p *problem) hold() {
	slices.SortFunc(p.refused, func(a, b Refusal) int { return strings.Compare(string(a.Spec), string(b.Spec)) })
	for i := range p.refused {
		r := &p.refused[i]
		for _, pl := range p.places {
			if pl.changes(r.Spec).Sign() != 0 {
				pl.held = true
				r.Places = append(r.Places, PlaceRef{p.sets[pl.set].shims.Key, pl.of.ID})
			}
		}
	}
}
