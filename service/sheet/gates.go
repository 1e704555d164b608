package sheet

import (
	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// State is what a gate may do.
type State string

// The states of a gate.
const (
	Blocked    State = "blocked"
	WithWaiver State = "may_close_with_waiver"
	MayClose   State = "may_close"
)

// GateState is a gate with what stands before it. Unproven lines do not block: they are not critical, or have nothing
// that could be proven.
type GateState struct {
	Gate     catalogue.Gate
	State    State
	Proven   int
	Blocked  []Item
	Waived   []Item
	Unproven []Item
}

// Item is one thing that a gate waits for, or lets stand. Key is empty for an earlier gate, which Gate then names.
type Item struct {
	Key     spec.Key
	Gate    catalogue.Gate
	Record  *Record // nil: there is none
	Because note.Note
}

// gates goes through the gates in their order. A gate without a line of this scope is left out.
func (b *bench) gates() {
	for _, g := range catalogue.Gates() {
		s := GateState{Gate: g}
		lines := 0
		for i := range b.plan.Lines {
			if l := &b.plan.Lines[i]; l.Gate == g {
				lines++
				b.hold(&s, l)
			}
		}
		if lines == 0 {
			continue
		}
		for i := range b.out.Contradictions {
			c := &b.out.Contradictions[i]
			if c.Blocks && c.gate == g {
				s.Blocked = append(s.Blocked, contradicted(c))
			}
		}
		waived := len(s.Waived) > 0
		for _, earlier := range b.out.Gates {
			switch earlier.State {
			case Blocked:
				s.Blocked = append(s.Blocked, Item{Gate: earlier.Gate, Because: note.New("gate_earlier_blocked")})
			case WithWaiver:
				waived = true
			}
		}
		switch {
		case len(s.Blocked) > 0:
			s.State = Blocked
		case waived:
			s.State = WithWaiver
		default:
			s.State = MayClose
		}
		b.out.Gates = append(b.out.Gates, s)
		b.out.Counts.Waived += len(s.Waived)
	}
}

func contradicted(c *Contradiction) Item {
	it := Item{Because: note.New(c.Note.Code, c.Note.Params...)}
	if len(c.Keys) > 0 {
		it.Key = c.Keys[0]
	}
	if len(c.Lines) > 0 {
		it.Record = c.Lines[0]
	}
	return it
}

// hold says what one line does to its gate. What is not critical blocks only where it is out, missing or estimated;
// what is critical blocks unless it is proven.
func (b *bench) hold(s *GateState, l *Line) {
	key := l.Spec().Key
	r := b.by[key]
	it := Item{Key: key, Record: r}
	block := func(code string) {
		it.Because = note.New(code)
		s.Blocked = append(s.Blocked, it)
	}
	if r == nil {
		if !l.Needed() {
			it.Because = note.New("gate_" + string(l.Spec().ValueForm))
			s.Unproven = append(s.Unproven, it)
			return
		}
		block("gate_missing")
		return
	}
	v, because := r.verdict()
	switch {
	case r.Bad:
		block("gate_problem")
	case v == judge.Pass:
		s.Proven++
	case !l.Needed():
		it.Because = note.New("gate_" + string(l.Spec().ValueForm))
		s.Unproven = append(s.Unproven, it)
	case v == judge.Fail:
		block("gate_fail")
	case v == judge.ConditionalFail:
		block("gate_conditional_fail")
	case r.estimated():
		if why := refused(r); why != "" {
			block(why)
			return
		}
		it.Because = note.New("gate_waived", note.Str("who", r.Waiver.Who), note.Str("reason", r.Waiver.Reason), note.Str("witness", r.Witness))
		s.Waived = append(s.Waived, it)
	case v == judge.ConditionalPass && !l.Spec().Critical:
		it.Because = note.New("gate_undecided")
		s.Unproven = append(s.Unproven, it)
	case v == judge.ConditionalPass:
		block("gate_undecided_critical")
	case because == "missing":
		block("gate_missing")
	default:
		block("gate_not_judged")
	}
}

// refused says why an estimate may not stand; empty where it may: the spec allows it, somebody is named with a reason,
// and somebody else saw it.
func refused(r *Record) string {
	switch {
	case !r.Line.Spec().Waiver:
		return "gate_estimated"
	case r.Waiver.Who == "" || r.Waiver.Reason == "":
		return "gate_waiver_missing"
	case r.Witness == "":
		return "gate_witness_missing"
	case r.Witness == r.By:
		return "gate_witness_is_builder"
	}
	return ""
}
