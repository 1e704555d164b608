package judging

import (
	"strings"

	"endfloat/api/problem"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// texts fills in what an eye reads of a result: figures with the digits of the spec, and more only where rounding would
// reach or cross a limit, and the line. They are written one behind another and are parts of one string.
func (v *voice) texts(w *Result, s *spec.Spec, res *judge.Result, shown *text.Display) {
	w.Display.Band, w.Display.Target, w.Display.WearLimit = shown.Band, shown.Target, shown.WearLimit
	limits := limitsOf(s, res)
	b := v.buf[:0]
	if res.HasValue {
		b = appendShown(b, res.Value, s, limits...)
	}
	value := len(b)
	b = v.interval(b, s, res, limits)
	interval := len(b)
	if res.Deviation.Has {
		b = appendShown(b, res.Deviation.At, s, quantity.Exact{})
	}
	deviation := len(b)
	held := figures{b[:value], b[value:interval]}
	if res.Angle.Has {
		held = figures{value: []byte(text.Value(res.Angle.At.Print(0, 9).String(), quantity.Degree))}
	}
	b = v.line(b, held, w, s, res, limits)
	v.buf = b
	all := string(b)
	w.Display.Value, w.Display.Interval, w.Display.Deviation, w.Text = all[:value], all[value:interval], all[interval:deviation], all[deviation:]
}

// figures are the value of a result and its interval as an eye reads them; what there is none of is empty.
type figures struct{ value, interval []byte }

func appendShown(b []byte, x quantity.Exact, s *spec.Spec, limits ...quantity.Exact) []byte {
	return text.AppendValue(b, x.Shown(s.Decimals, limits...).String(), s.Unit)
}

// intervalPlaces is how many decimals the ends of an interval have.
const intervalPlaces = 9

// interval appends the interval with the digits of the spec, and more where they would make its ends one.
func (v *voice) interval(b []byte, s *spec.Spec, res *judge.Result, limits []quantity.Exact) []byte {
	from, to := res.Lower.Exact(), res.Upper.Exact()
	lower, upper := from.Shown(s.Decimals, limits...), to.Shown(s.Decimals, limits...)
	if res.HasLower && res.HasUpper && from.Less(to) { // a doubt is never rounded away
		for more := s.Decimals + 1; more <= intervalPlaces && lower.Cmp(upper) == 0; more++ {
			lower, upper = from.Shown(more, limits...), to.Shown(more, limits...)
		}
	}
	switch {
	case res.HasLower && res.HasUpper:
		return v.append(b, "word_from_to", note.Str("lower", lower.String()), note.Qty("upper", upper, s.Unit))
	case res.HasLower:
		return v.append(b, oneSided(res.LowerOpen, "word_more_than", "word_at_least"), note.Qty("value", lower, s.Unit))
	case res.HasUpper:
		return v.append(b, oneSided(res.UpperOpen, "word_less_than", "word_at_most"), note.Qty("value", upper, s.Unit))
	}
	return b
}

func oneSided(open bool, beyond, upTo string) string {
	if open {
		return beyond
	}
	return upTo
}

// limitsOf are the limits that a shown figure must not seem to reach, and zero, so that what is not nothing never looks
// like it.
func limitsOf(s *spec.Spec, res *judge.Result) []quantity.Exact {
	limits := make([]quantity.Exact, 1, 7)
	for _, l := range [...]judge.Limit{res.LimitLower, res.LimitUpper} {
		if l.Has {
			limits = append(limits, l.At)
		}
	}
	for _, r := range [...]quantity.Range{s.Band, s.WearLimit} {
		if r.HasLower {
			limits = append(limits, r.Lower.Exact())
		}
		if r.HasUpper {
			limits = append(limits, r.Upper.Exact())
		}
	}
	return limits
}

// line appends a result for an eye: a left-hand thread before everything, then the verdict in words, the value with its
// interval, what is allowed, what to do, and whose value it is.
func (v *voice) line(b []byte, f figures, w *Result, s *spec.Spec, res *judge.Result, limits []quantity.Exact) []byte {
	if s.LeftHand() {
		b = append(v.append(b, "word_left_hand"), v.colon...)
	}
	b = v.head(b, f, w, s, res, limits)
	switch {
	case s.ValueForm == spec.OutOfScope, s.ValueForm == spec.NotPublished:
	case res.Angle.Has:
		b = v.append(append(b, v.semicolon...), "word_allowed", note.Str("value", turn(s)))
	default:
		b = v.allowed(b, w)
	}
	b = v.append(append(b, v.semicolon...), "action_"+w.Action)
	if f := s.Fastener; f != nil && f.Condition != "" {
		b = append(append(b, v.semicolon...), v.book.Term(v.lang, "condition", f.Condition)...)
	}
	if s.Source != nil && s.Source.Class != "" {
		b = append(append(b, v.semicolon...), v.book.Term(v.lang, "source", s.Source.Class)...)
	}
	return b
}

// turn is the angle of a spec with what it may be off by.
func turn(s *spec.Spec) string {
	off := quantity.NewDecimal(judge.AngleTolerance, 0)
	if s.HasAngleTolerance {
		off = s.AngleTolerance
	}
	return text.Value(s.TurnAngle.String(), quantity.Degree) + " ±" + text.Value(off.String(), quantity.Degree)
}

// head appends the verdict in words with the value behind it.
func (v *voice) head(b []byte, f figures, w *Result, s *spec.Spec, res *judge.Result, limits []quantity.Exact) []byte {
	b = v.phrase(b, w, res)
	if len(f.value) == 0 && len(f.interval) == 0 {
		return b
	}
	b = append(b, v.colon...)
	if len(f.value) == 0 {
		return append(b, f.interval...)
	}
	code, at, held := heldPlace(res)
	if !held {
		return f.append(b)
	}
	b = v.append(b, code, note.Str("value", string(appendShown(nil, at, s, limits...))))
	return v.append(append(b, ", "...), "word_on_the_mean", note.Str("value", string(f.append(nil))))
}

// append appends the value with its interval in brackets.
func (f figures) append(b []byte) []byte {
	b = append(b, f.value...)
	if len(f.interval) > 0 {
		b = append(append(append(b, " ("...), f.interval...), ')')
	}
	return b
}

// heldPlace is the place or the pairing that was held to the limit on which the verdict hangs, where that is not the
// mean that is shown.
func heldPlace(res *judge.Result) (code string, at quantity.Exact, ok bool) {
	if !res.HasValue || res.Verdict == judge.NotJudged || res.Verdict == judge.Pass && !res.HasAllowance {
		return "", at, false
	}
	if res.Because == "one_place_out" {
		return outermost(res)
	}
	if res.MarginLower.Has != res.LimitLower.Has || res.MarginUpper.Has != res.LimitUpper.Has { // of an angle
		return "", at, false
	}
	lower := res.MarginLower.Has && (!res.MarginUpper.Has || res.MarginLower.At.Less(res.MarginUpper.At))
	switch {
	case lower:
		code, at = "word_lowest_place", res.LimitLower.At.Add(res.MarginLower.At)
		if res.Basis == judge.Derived {
			code = "word_tightest_pairing"
		}
	case res.MarginUpper.Has:
		code, at = "word_highest_place", res.LimitUpper.At.Sub(res.MarginUpper.At)
		if res.Basis == judge.Derived {
			code = "word_loosest_pairing"
		}
	default:
		return "", at, false
	}
	if res.HasPlaces && at.Equal(res.Places.Min) != at.Equal(res.Places.Max) { // a limit may be held to the place at the other end
		code = "word_lowest_place"
		if at.Equal(res.Places.Max) {
			code = "word_highest_place"
		}
	}
	return code, at, !at.Equal(res.Value)
}

// outermost is the place that lies outside although the mean does not, the further one of two.
func outermost(res *judge.Result) (code string, at quantity.Exact, ok bool) {
	below, above := quantity.Exact{}, quantity.Exact{}
	if res.LimitLower.Has {
		below = res.LimitLower.At.Sub(res.Places.Min)
	}
	if res.LimitUpper.Has {
		above = res.Places.Max.Sub(res.LimitUpper.At)
	}
	if above.Less(below) {
		return "word_lowest_place", res.Places.Min, res.HasPlaces
	}
	return "word_highest_place", res.Places.Max, res.HasPlaces
}

// phrase appends the verdict in a builder's words.
func (v *voice) phrase(b []byte, w *Result, res *judge.Result) []byte {
	switch res.Verdict {
	case judge.Pass:
		switch {
		case res.HasAllowance:
			return v.append(b, "verdict_pass_worn", note.Part("used", res.Allowance))
		case w.Limits == (wire.Band{}):
			return v.append(b, "verdict_pass_word")
		}
		return v.append(b, "verdict_pass")
	case judge.ConditionalPass, judge.ConditionalFail:
		return v.conditional(b, "verdict_"+string(res.Verdict), res)
	case judge.Fail:
		if res.MarginLower.Has && !res.LimitLower.Has && !res.LimitUpper.Has {
			return v.append(b, "verdict_fail_angle_"+string(res.Position))
		}
		switch res.Position {
		case judge.Below, judge.Above, judge.WornOut:
			return v.append(b, "verdict_fail_"+string(res.Position))
		}
		return v.append(b, "verdict_fail")
	}
	return v.append(b, "verdict_not_judged", note.Str("reason", v.word("because_"+res.Because)))
}

// conditional appends a verdict that is not decided, with why, or how probable it is.
func (v *voice) conditional(b []byte, code string, res *judge.Result) []byte {
	switch {
	case res.Because == "estimated", res.Because == "one_place_out":
		return v.append(b, code+"_"+res.Because)
	case res.HasProb:
		return v.append(b, code+"_share", note.Percent("probability", res.Probability))
	}
	return v.append(b, code)
}

// allowed appends the limits that were held to: those of the stage, and what was published where nothing was held.
func (v *voice) allowed(b []byte, w *Result) []byte {
	band, wear := w.Display.Band, ""
	if w.Stage == judge.AsFound {
		wear = w.Display.WearLimit
	}
	if band == "" && wear == "" {
		return b
	}
	b = append(b, v.semicolon...)
	switch {
	case band == "":
		return v.append(b, "word_wear_limit", note.Str("value", wear))
	case wear != "":
		b = v.append(b, "word_allowed_new", note.Str("value", band))
		return v.append(append(b, ", "...), "word_wear_limit", note.Str("value", wear))
	case strings.Contains(band, ":"): // it says itself what is allowed
		return append(b, band...)
	}
	return v.append(b, "word_allowed", note.Str("value", band))
}

// problem fills in a row that could not be judged.
func (v *voice) problem(w *Result, r *row, s *spec.Spec) {
	w.Verdict, w.Action = string(judge.NotJudged), string(judge.Ask)
	doc, _ := problem.Of(r.bad.Err(), "", problem.Voice{Book: v.book, Lang: v.lang})
	w.Problem = RowProblem{Type: doc.Type, Title: doc.Title, Errors: doc.Errors, ErrorsOmitted: doc.ErrorsOmitted}
	for i := range w.Problem.Errors {
		if e := &w.Problem.Errors[i]; r.line > 0 && e.Pointer != nil {
			line := r.line // rows are used again
			e.Row, e.Column, e.Pointer = &line, r.columnOf(*e.Pointer), nil
		}
	}
	if len(doc.Errors) > 0 {
		w.Problem.Code, w.Problem.Detail = doc.Errors[0].Code, doc.Errors[0].Detail
	}
	w.UndecidedBecause = "problem"
	w.Text = v.say("verdict_problem", note.Str("reason", w.Problem.Detail))
	if s != nil && s.LeftHand() {
		w.Text = v.say("word_left_hand") + v.colon + w.Text
	}
}
