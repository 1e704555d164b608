package torque

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"endfloat/api/text"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// shown is the ready text beside the numbers of a setting: the digits of what is wanted or of what is set (two at most),
// whichever is finer, and more only where rounding would reach or cross an end of the band.
func (x *answering) shown(s torque.Setting, w torque.Wanted, tool torque.Wrench) SettingDisplay {
	places := max(w.Decimals, min(s.Set.Places(), 2))
	var limits []quantity.Exact
	if w.Band.HasLower {
		limits = append(limits, w.Band.Lower.Exact())
	}
	if w.Band.HasUpper {
		limits = append(limits, w.Band.Upper.Exact())
	}
	d := SettingDisplay{Set: text.Value(s.Set.Trimmed(tool.Step.Places()).String(), s.Unit), Exact: text.Value(s.Exact.Print(w.Decimals, 2).String(), s.Unit),
		Gives: text.Value(s.Gives.Shown(places, limits...).String(), w.Unit), Wanted: text.Value(w.Aim.Print(w.Decimals, 2).String(), w.Unit)}
	if tool.Step.Sign() <= 0 {
		d.Set = text.Value(s.Set.Exact().Print(w.Decimals, 2).String(), s.Unit)
	}
	if s.HasError {
		lower, upper := s.Lower.Shown(places, limits...), s.Upper.Shown(places, limits...)
		for more := places + 1; lower.Cmp(upper) == 0 && s.Lower.Less(s.Upper) && more <= exactPlaces; more++ { // an error is never rounded away
			lower, upper = s.Lower.Shown(more, limits...), s.Upper.Shown(more, limits...)
		}
		d.GivesBand = x.say("word_from_to", note.Str("lower", lower.String()), note.Qty("upper", upper, w.Unit))
	}
	if w.Band.TwoSided() {
		d.Band = x.say("word_from_to", note.Str("lower", w.Band.Lower.Padded(w.Decimals).String()), note.Qty("upper", w.Band.Upper.Padded(w.Decimals), w.Unit))
	}
	return d
}

// sentence is a setting in words.
func (x *answering) sentence(d SettingDisplay) string {
	params := []note.Param{note.Str("set", d.Set), note.Str("gives", d.Gives)}
	if d.GivesBand == "" {
		return x.say("word_set", params...)
	}
	return x.say("word_set_error", append(params, note.Str("band", d.GivesBand))...)
}

// warned is what is said of a setting, behind the reasons for which it is not good enough.
func (x *answering) warned(s torque.Setting, text string) string {
	var why []string
	for _, n := range s.Against() {
		why = append(why, clause(x.h.book.Note(x.lang, n)))
	}
	if len(why) == 0 {
		return text
	}
	return x.h.book.Joined(x.lang, x.say("word_not_this_wrench", note.Str("why", x.h.book.Joined(x.lang, why...))), text)
}

// clause is a sentence as a part of another: without its full stop, and its first letter a small one. Those that are put
// into others begin with a number or an article in every language.
func clause(sentence string) string {
	first, size := utf8.DecodeRuneInString(sentence)
	return string(unicode.ToLower(first)) + strings.TrimSuffix(sentence[size:], ".")
}

// text is a setting in a line of its own, the left-hand thread first.
func (x *answering) text(s torque.Setting, w torque.Wanted, tool torque.Wrench) string {
	text := x.warned(s, x.sentence(x.shown(s, w, tool)))
	if w.LeftHand {
		return x.say("word_left_hand") + x.say("word_colon") + text
	}
	return text
}
