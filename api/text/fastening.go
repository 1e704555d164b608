package text

import (
	"strconv"
	"strings"

	"endfloat/service/note"
	"endfloat/service/spec"
)

// single is a figure that was published without a tolerance; the policy that stands in for one is named as such.
func (w speller) single(s *spec.Spec) string {
	if !s.HasTarget {
		return w.interval(padded(s.Band, s.Decimals), s.Unit)
	}
	figure := Value(s.Target.Padded(s.Decimals).String(), s.Unit)
	if s.HasPolicy {
		return figure + ", " + w.say("word_policy", note.Qty("percent", s.PolicyPercent, "%"))
	}
	return figure + ", " + w.say("word_no_tolerance")
}

// stages lists the steps in their order, each with its pattern where that changes, and the final band.
func (w speller) stages(s *spec.Spec) string {
	var b strings.Builder
	pattern := ""
	for i, st := range s.Stages {
		if i > 0 {
			b.WriteString(" → ")
		}
		if st.HasValue {
			b.WriteString(Value(st.Value.Padded(s.Decimals).String(), s.Unit))
		}
		if st.HasAngle {
			if st.HasValue {
				b.WriteString(" + ")
			}
			b.WriteString("+" + st.Angle.String() + "°")
		}
		if st.Pattern != "" && st.Pattern != pattern {
			b.WriteString(" (" + w.book.Term(w.lang, "pattern", st.Pattern) + ")")
			pattern = st.Pattern
		}
	}
	if !s.Band.Empty() {
		if b.Len() > 0 {
			b.WriteString(w.say("word_semicolon"))
		}
		b.WriteString(w.say("word_final", note.Str("value", w.interval(padded(s.Band, s.Decimals), s.Unit))))
	}
	return b.String()
}

// torqueAngle is the seating torque and the angle after it.
func (w speller) torqueAngle(s *spec.Spec) string {
	first := w.interval(padded(s.Band, s.Decimals), s.Unit)
	if first == "" && s.HasTarget {
		first = Value(s.Target.Padded(s.Decimals).String(), s.Unit)
	}
	if !s.HasTurnAngle {
		return first
	}
	angle := s.TurnAngle.String() + "°"
	if s.HasAngleTolerance {
		angle += " ±" + s.AngleTolerance.String() + "°"
	}
	if first == "" {
		return angle
	}
	return w.say("word_then", note.Str("first", first), note.Str("second", angle))
}

// fastener adds what has to be known about the thread before the wrench is set.
func (w speller) fastener(s *spec.Spec, add func(string)) {
	f := s.Fastener
	if f == nil {
		return
	}
	add(threads(f))
	for _, t := range []struct{ axis, word string }{{"condition", f.Condition}, {"into", f.Into}, {"locking", f.Locking}} {
		if t.word != "" {
			add(w.book.Term(w.lang, t.axis, t.word))
		}
	}
	if f.Pattern != "" && s.ValueForm != spec.Stages {
		add(w.book.Term(w.lang, "pattern", f.Pattern))
	}
	w.running(s, add)
	if f.Slots > 0 {
		add(w.say("word_castle"))
	}
	if f.Taper {
		add(w.say("word_taper"))
	}
	for _, code := range []string{"access_" + f.Access, "reuse_" + f.Reuse, "retorque_" + f.Retorque} {
		if w.book.Has(code) {
			add(w.say(code))
		}
	}
}

func threads(f *spec.Fastener) string {
	text := strings.TrimSpace(f.Thread + " " + f.PropertyClass)
	if f.Count > 1 && text != "" {
		return strconv.Itoa(f.Count) + " × " + text
	}
	return text
}

func (w speller) running(s *spec.Spec, add func(string)) {
	f := s.Fastener
	if f.Prevailing != "" {
		if code := "word_running_" + f.Prevailing; w.book.Has(code) {
			add(w.say(code))
		}
	}
	if f.HasRunning {
		add(w.say("word_running_least", note.Qty("value", f.Running, s.Unit)))
	}
}
