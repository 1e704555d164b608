package torque

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// frictions are what thread and face are taken to rub with in a condition, only to say what another condition means.
// Thread lock is left out: sources disagree on whether it raises or lowers friction. Common practice, no source; the
// figures lie in the classes B (0.08 to 0.16) and C (0.14 to 0.24) of VDI 2230 Part 1, Table A5, from memory.
var frictions = [...]struct {
	condition string
	mu        float64
}{
	{"dry", 0.16},
	{"oiled", 0.12},
	{"anti_seize", 0.10},
}

// FrictionOf is the friction that a condition is taken to have; ok is false for a condition without a figure.
func FrictionOf(condition string) (f Friction, ok bool) {
	for _, row := range frictions {
		if row.condition == condition {
			return Friction{row.mu, row.mu}, true
		}
	}
	return Friction{}, false
}

// InCondition says, as information only, which torque would clamp as hard in another condition than the published one.
// ok is false where that is not known or a generic figure is refused.
func InCondition(s *spec.Spec, condition string) (n note.Note, ok bool) {
	w, reason := Of(s)
	f := s.Fastener
	if reason != "" || f == nil || s.Critical || Refuse(*f, "", true) != "" {
		return n, false
	}
	head := Head(f.Head)
	if head != "" && head != Hexagon && head != Socket {
		return n, false
	}
	thread, err := ThreadOf(f.Thread)
	if err != nil {
		return n, false
	}
	face, err := FaceOf(thread, head)
	if err != nil {
		return n, false
	}
	from, known := FrictionOf(f.Condition)
	to, known2 := FrictionOf(condition)
	if !known || !known2 {
		return n, false
	}
	equal := Joint{Thread: thread, Face: face, Friction: from}.EqualClamp(w.Aim.Float64(), to)
	shown := quantity.FromFloat(equal).Print(w.Decimals, 1)
	mu := quantity.FromFloat(to.Thread).Print(0, 3)
	return note.New("equal_clamp_information", note.Qty("thread", mu, ""), note.Qty("head", mu, ""), note.Qty("torque", shown, w.Unit)), true
}
