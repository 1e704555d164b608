package judging

import (
	"slices"
	"strings"

	"endfloat/api/problem"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// resultDisplay is the ready text beside the numbers: with the digits of the spec, and more only where rounding would
// reach or cross a limit.
func (h Handlers) resultDisplay(s *spec.Spec, res *judge.Result, shown text.Display, lang string) ResultDisplay {
	d := ResultDisplay{Band: shown.Band, Target: shown.Target, WearLimit: shown.WearLimit}
	limits := limitsOf(s, res)
	if res.HasValue {
		d.Value = text.Value(res.Value.Shown(s.Decimals, limits...).String(), s.Unit)
	}
	if res.Deviation.Has {
		d.Deviation = text.Value(res.Deviation.At.Shown(s.Decimals, quantity.Exact{}).String(), s.Unit)
	}
	lower, upper := res.Lower.Exact().Shown(s.Decimals, limits...), res.Upper.Exact().Shown(s.Decimals, limits...)
	switch {
	case res.HasLower && res.HasUpper:
		d.Interval = h.say(lang, "word_from_to", note.Str("lower", lower.String()), note.Qty("upper", upper, s.Unit))
	case res.HasLower:
		d.Interval = h.say(lang, "word_at_least", note.Qty("value", lower, s.Unit))
	case res.HasUpper:
		d.Interval = h.say(lang, "word_at_most", note.Qty("value", upper, s.Unit))
	}
	return d
}

// limitsOf are the limits that a shown figure must not seem to reach.
func limitsOf(s *spec.Spec, res *judge.Result) []quantity.Exact {
	limits := make([]quantity.Exact, 0, 6)
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

func (h Handlers) say(lang, code string, params ...note.Param) string {
	return h.book.Note(lang, note.New(code, params...))
}

// line is a result for an eye: a left-hand thread before everything, then the verdict in words, the value with its
// interval, what is allowed, what to do, and whose value it is.
func (h Handlers) line(w *Result, s *spec.Spec, res *judge.Result, lang string) string {
	parts := make([]string, 0, 6)
	add := func(p string) {
		if p != "" {
			parts = append(parts, p)
		}
	}
	add(h.head(w, s, res, lang))
	if s.ValueForm != spec.OutOfScope && s.ValueForm != spec.NotPublished {
		add(h.allowed(w, lang))
	}
	add(h.book.Word(lang, "action_"+w.Action))
	if f := s.Fastener; f != nil && f.Condition != "" {
		add(h.book.Term(lang, "condition", f.Condition))
	}
	if s.Source != nil && s.Source.Class != "" {
		add(h.book.Term(lang, "source", s.Source.Class))
	}
	line := strings.Join(parts, "; ")
	if s.LeftHand() {
		line = h.say(lang, "word_left_hand") + ": " + line
	}
	return line
}

// head is the verdict in words with the value behind it.
func (h Handlers) head(w *Result, s *spec.Spec, res *judge.Result, lang string) string {
	phrase := h.phrase(w, res, lang)
	if w.Display.Value == "" {
		if w.Display.Interval == "" {
			return phrase
		}
		return phrase + ": " + w.Display.Interval
	}
	value := w.Display.Value
	if w.Display.Interval != "" {
		value += " (" + w.Display.Interval + ")"
	}
	if code, at, ok := heldPlace(res); ok {
		held := text.Value(at.Shown(s.Decimals, limitsOf(s, res)...).String(), s.Unit)
		return phrase + ": " + h.say(lang, code, note.Str("value", held)) + ", " + h.say(lang, "word_on_the_mean", note.Str("value", value))
	}
	return phrase + ": " + value
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

// phrase is the verdict in a builder's words.
func (h Handlers) phrase(w *Result, res *judge.Result, lang string) string {
	share := note.Percent("probability", res.Probability)
	switch res.Verdict {
	case judge.Pass:
		switch {
		case res.HasAllowance:
			return h.say(lang, "verdict_pass_worn", note.Percent("used", res.Allowance))
		case w.Limits == (wire.Band{}):
			return h.say(lang, "verdict_pass_word")
		}
		return h.say(lang, "verdict_pass")
	case judge.ConditionalPass:
		switch {
		case res.Because == "estimated":
			return h.say(lang, "verdict_conditional_pass_estimated")
		case res.Because == "one_place_out":
			return h.say(lang, "verdict_conditional_pass_one_place_out")
		case res.HasProb:
			return h.say(lang, "verdict_conditional_pass_share", share)
		}
		return h.say(lang, "verdict_conditional_pass")
	case judge.ConditionalFail:
		switch {
		case res.Because == "estimated":
			return h.say(lang, "verdict_conditional_fail_estimated")
		case res.HasProb:
			return h.say(lang, "verdict_conditional_fail_share", share)
		}
		return h.say(lang, "verdict_conditional_fail")
	case judge.Fail:
		if res.MarginLower.Has && !res.LimitLower.Has && !res.LimitUpper.Has {
			return h.say(lang, "verdict_fail_angle_"+string(res.Position))
		}
		switch res.Position {
		case judge.Below, judge.Above, judge.WornOut:
			return h.say(lang, "verdict_fail_"+string(res.Position))
		}
		return h.say(lang, "verdict_fail")
	}
	return h.say(lang, "verdict_not_judged", note.Str("reason", h.book.Word(lang, "because_"+res.Because)))
}

// allowed is the limits that were held to: those of the stage, and what was published where nothing was held.
func (h Handlers) allowed(w *Result, lang string) string {
	band := w.Display.Band
	if w.Stage == judge.AsFound && w.Display.WearLimit != "" {
		wear := h.say(lang, "word_wear_limit", note.Str("value", w.Display.WearLimit))
		if band == "" {
			return wear
		}
		return h.say(lang, "word_allowed_new", note.Str("value", band)) + ", " + wear
	}
	if band == "" {
		return ""
	}
	if w.Verdict == string(judge.NotJudged) && w.Limits == (wire.Band{}) || strings.Contains(band, ":") {
		return band
	}
	return h.say(lang, "word_allowed", note.Str("value", band))
}

// problem fills in a row that could not be judged.
func (h Handlers) problem(w *Result, r *row, s *spec.Spec, lang string) {
	w.Verdict, w.Action = string(judge.NotJudged), string(judge.Ask)
	doc, _ := problem.Of(r.bad.Err(), "")
	doc = doc.In(h.book, lang)
	w.Problem = RowProblem{Type: doc.Type, Title: doc.Title, Errors: doc.Errors, ErrorsOmitted: doc.ErrorsOmitted}
	for i := range w.Problem.Errors {
		if e := &w.Problem.Errors[i]; r.line > 0 && e.Pointer != nil {
			e.Row, e.Column, e.Pointer = r.line, r.columnOf(*e.Pointer), nil
		}
	}
	if len(doc.Errors) > 0 {
		w.Problem.Code, w.Problem.Detail = doc.Errors[0].Code, doc.Errors[0].Detail
	}
	w.UndecidedBecause = "problem"
	w.Text = h.say(lang, "verdict_problem", note.Str("reason", w.Problem.Detail))
	if s != nil && s.LeftHand() {
		w.Text = h.say(lang, "word_left_hand") + ": " + w.Text
	}
}

// collector gathers the caution codes of an answer, each once: a handful, of however many rows.
type collector struct{ codes []string }

func (c *collector) add(codes ...string) {
	for _, code := range codes {
		if !slices.Contains(c.codes, code) {
			c.codes = append(c.codes, code)
		}
	}
}
