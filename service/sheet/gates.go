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
// that could be proven. Nothing is closed over a critical line that is undecided, nor over any line that is out.
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

// hold says what one line does to its gate. What is out, or cannot be read, blocks wherever it stands. What is critical
// blocks unless it is proven or let stand; what is not critical is then listed as unproven and blocks nothing.
func (b *bench) hold(s *GateState, l *Line) {
	it := Item{Key: l.Spec().Key, Record: b.by[l.Spec().Key]}
	put := func(list *[]Item, code string, params ...note.Param) {
		it.Because = note.New(code, params...)
		*list = append(*list, it)
	}
	code, state := b.weigh(l, it.Record)
	switch {
	case state == proven:
		s.Proven++
	case state == waived:
		r := it.Record
		put(&s.Waived, code, note.Str("who", r.Waiver.Who), note.Str("reason", r.Waiver.Reason), note.Str("witness", r.Witness))
	case state == out || l.Needed() && l.Spec().Critical:
		put(&s.Blocked, code)
	default:
		put(&s.Unproven, code)
	}
}

// weight is what a line is worth to its gate.
type weight uint8

const (
	proven weight = iota
	waived
	open
	out
)

// weigh says what a line is worth, and why it is not proven.
func (b *bench) weigh(l *Line, r *Record) (code string, w weight) {
	if !l.Needed() {
		return "gate_" + string(l.Spec().ValueForm), open
	}
	if r == nil {
		return "gate_missing", open
	}
	v, because := r.verdict()
	switch {
	case r.Bad:
		return "gate_problem", out
	case v == judge.Pass:
		return "", proven
	case v == judge.Fail:
		return "gate_fail", out
	case v == judge.ConditionalFail:
		return "gate_conditional_fail", out
	case r.estimated():
		if why := refused(r); why != "" {
			return why, open
		}
		return "gate_waived", waived
	case v == judge.ConditionalPass:
		return "gate_undecided", open
	case because == "missing":
		return "gate_missing", open
	}
	return "gate_not_judged", open
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
