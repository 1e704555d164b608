package yamlfile

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// mostSizes is the most sizes that a value is computed from.
const mostSizes = 8

// spec reads one spec with what variants and marks change about it.
func (r *reader) spec(n *yaml.Node, s scope) *catalogue.Entry {
	m, ok := r.entries(n, r.shapes.spec)
	if !ok {
		return nil
	}
	s = r.within(s, m)
	base := &spec.Spec{Key: s.key(r.slug(m.get("id"))), FamilyName: s.family.Name, ComponentName: s.component.Name, Source: s.source,
		Kind: spec.Kind(r.word(m, "kind")), RevisionDate: r.date(m.get("revision_date"))}
	if base.RevisionDate == "" && base.Source != nil {
		base.RevisionDate = base.Source.Reviewed
	}
	r.place(string(base.Key), n)
	r.specFields(m, base, s)
	r.check(m, base)
	entry := &catalogue.Entry{Base: base}
	for _, e := range r.list(m.get("variants")) {
		if o, ok := r.override(e, base, s); ok {
			if slices.ContainsFunc(entry.Overrides, func(x catalogue.Override) bool { return x.Variant == o.Variant && x.Mark == o.Mark }) {
				r.fault(e, "duplicate_id", "the variant or mark stands twice", "write one override for each")
			}
			entry.Overrides = append(entry.Overrides, o)
		}
	}
	return entry
}

func (r *reader) override(n *yaml.Node, base *spec.Spec, s scope) (catalogue.Override, bool) {
	m, _ := r.entries(n, r.shapes.override)
	variant, mark := r.chosen(m, s)
	o := *base
	o.Reason = spec.Text{}
	if s = r.within(s, m); m.get("source") != nil {
		o.Source = s.source
		o.RevisionDate = s.source.Reviewed
	}
	if m.get("unit") != nil {
		o.Band, o.WearLimit, o.Plausible = quantity.Range{}, quantity.Range{}, quantity.Range{}
		o.HasTarget, o.Points.HasMaxSpread, o.Stages = false, false, nil
	}
	r.specFields(m, &o, s)
	o.DecidedBy = spec.DecidedBy{Variant: variant, Mark: mark}
	r.check(m, &o)
	return catalogue.Override{Variant: variant, Mark: mark, Spec: &o}, variant != "" || mark != ""
}

// chosen reads which variant or part mark an override is for: exactly one of them, and it exists.
func (r *reader) chosen(m mapping, s scope) (variant, mark string) {
	variant, mark = r.str(m.get("variant")), r.str(m.get("mark"))
	switch {
	case (variant == "") == (mark == ""):
		r.fault(m.at, "no_selector", "an override is for a variant or for a part mark", "write exactly one of variant and mark")
		return "", ""
	case variant != "" && !s.family.HasVariant(variant):
		r.fault(m.get("variant"), "dangling_reference", "the family has no variant "+clip(variant), "name a variant of the family")
	case mark != "" && !slices.Contains(s.component.Marks, mark):
		r.fault(m.get("mark"), "dangling_reference", "the component has no mark "+clip(mark), "list it under marks of the component")
	}
	if mark != "" {
		mark = s.component.Key + ":" + mark
	}
	return variant, mark
}

// specUnit is the unit of a spec; one of kind other has any that its source publishes.
func (r *reader) specUnit(n *yaml.Node, m mapping, s *spec.Spec) quantity.Unit {
	kind := s.Kind
	if k := m.get("kind"); k != nil {
		kind = spec.Kind(k.Value)
	}
	if u, ok := quantity.ParseOther(n.Value); ok && kind == spec.Other {
		return u
	}
	return r.unit(n)
}

// specFields reads the keys of a mapping into s and leaves what is not named as it is.
func (r *reader) specFields(m mapping, s *spec.Spec, in scope) {
	if n := m.get("name"); n != nil {
		s.Name = r.names(n)
	}
	if n := m.get("unit"); n != nil {
		s.Unit = r.specUnit(n, m, s)
	}
	places := s.Unit.MaxPlaces()
	r.limitFields(m, s, places)
	r.wordFields(m, s, in)
	r.torqueFields(m, s, places)
	if n := m.get("points"); n != nil {
		s.Points = r.points(n, places)
	}
	if n := m.get("sizes"); n != nil {
		s.Sizes = r.sizes(n)
	}
	if m.get("decimals") != nil {
		s.Decimals = int(r.whole(m, "decimals"))
		return
	}
	for _, d := range []quantity.Decimal{s.Band.Lower, s.Band.Upper, s.WearLimit.Lower, s.WearLimit.Upper, s.Target} {
		s.Decimals = max(s.Decimals, min(d.Places(), 9))
	}
}

func (r *reader) limitFields(m mapping, s *spec.Spec, places int) {
	if n := m.get("band"); n != nil {
		s.Band = r.limits(n, places)
	}
	if n := m.get("wear_limit"); n != nil {
		s.WearLimit = r.limits(n, places)
	}
	if n := m.get("plausible"); n != nil {
		s.Plausible = r.limits(n, places)
	}
	if n := m.get("target"); n != nil {
		s.Target, s.HasTarget = r.number(n, places)
	}
	if m.get("target_policy") != nil {
		s.TargetPolicy = spec.TargetPolicy(r.word(m, "target_policy"))
	}
}

func (r *reader) wordFields(m mapping, s *spec.Spec, in scope) {
	if m.get("remedy") != nil {
		s.Remedy = spec.Remedy(r.word(m, "remedy"))
	}
	if n := m.get("critical"); n != nil {
		s.Critical = r.yes(n)
	}
	if n := m.get("after"); n != nil {
		s.After = r.earlier(n, in)
	}
	if n := m.get("waiver"); n != nil {
		s.Waiver = r.yes(n)
	}
	if n := m.get("form"); n != nil {
		s.Form = r.yes(n)
	}
	if n := m.get("allowed"); n != nil {
		s.Allowed = r.strs(n)
	}
	if n := m.get("rejected"); n != nil {
		s.Rejected = r.strs(n)
	}
	if n := m.get("state"); n != nil {
		s.State = r.names(n)
	}
	if n := m.get("conditions"); n != nil {
		s.Conditions = r.strs(n)
	}
	if n := m.get("adjusted_by"); n != nil {
		s.AdjustedBy = r.refer(n, in, "shims")
	}
	if n := m.get("cautions"); n != nil {
		s.Cautions = r.codesOf(n)
	}
	if n := m.get("reason"); n != nil {
		s.Reason = r.names(n)
	}
}

func (r *reader) points(n *yaml.Node, places int) spec.Points {
	m, _ := r.entries(n, r.shapes.points)
	rule := func(key string) spec.Combine { return spec.Combine(r.word(m, key)) }
	p := spec.Points{Minimum: int(r.whole(m, "minimum")), Combine: rule("combine"), AgainstLower: rule("against_lower"),
		AgainstUpper: rule("against_upper"), Places: r.names(m.get("places"))}
	p.MaxSpread, p.HasMaxSpread = r.number(m.get("max_spread"), places)
	if p.MaxSpread.Sign() < 0 {
		r.fault(m.get("max_spread"), "negative", "a spread is never negative", "write 0 or more")
	}
	return p
}

func (r *reader) sizes(n *yaml.Node) []spec.Size {
	var out []spec.Size
	for _, e := range r.list(n) {
		m, _ := r.entries(e, r.shapes.size)
		s := spec.Size{Part: r.str(m.get("part")), Sign: int(r.whole(m, "sign"))}
		s.ExpansionPerK, s.HasExpansion = r.number(m.get("expansion_per_k"), 9)
		if at := m.get("sign"); at != nil && s.Sign == 0 {
			r.fault(at, "bad_sign", "a size counts with 1 or -1", "write 1 or -1")
		}
		if slices.ContainsFunc(out, func(o spec.Size) bool { return o.Part == s.Part && s.Part != "" }) {
			r.fault(e, "duplicate_id", "the size "+s.Part+" stands twice", "name each part once")
		}
		out = append(out, s)
	}
	if len(out) > mostSizes {
		r.fault(n, "too_long", fmt.Sprintf("a value is computed from at most %d sizes", mostSizes), "leave out what does not change it")
	}
	return out
}

// source reads where values come from.
func (r *reader) source(n *yaml.Node) *spec.Source {
	m, _ := r.entries(n, r.shapes.source)
	s := &spec.Source{Class: r.word(m, "class"), Title: r.str(m.get("title")), Locator: r.str(m.get("locator")),
		Reviewed: r.date(m.get("reviewed")), ReviewBy: r.date(m.get("review_by")), Engines: int(r.whole(m, "engines"))}
	if s.ReviewBy != "" && s.ReviewBy < s.Reviewed {
		r.fault(m.get("review_by"), "lower_over_upper", "review_by lies before reviewed", "write a later date")
	}
	return s
}
