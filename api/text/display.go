package text

import (
	"slices"
	"strings"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Display are the ready strings of a spec for an eye, with the digits its source has. A string is empty where there is
// nothing to show. The left-hand thread stands before any value.
type Display struct {
	Summary   string // everything in one line
	Band      string // "0.08–0.35 mm", "at most 0.05 mm", or the form in which a torque was published
	Target    string // "0.08 mm, not below"
	WearLimit string // "0.50 mm"
	Hand      string // "LEFT-HAND THREAD (…)"; empty for a right-hand thread
	Details   string // everything else that belongs to the value: conversion, thread, condition, state
	Source    string // class of the source, DEMO in capitals
}

// Display puts a spec into words.
func (b *Book) Display(lang string, s *spec.Spec) Display {
	d := b.Limits(lang, s)
	speller{b, lang}.complete(&d, s, "")
	return d
}

// Limits are the value, the aim and the wear limit alone, for answers that have a line of their own.
func (b *Book) Limits(lang string, s *spec.Spec) Display {
	w := speller{b, lang}
	d := Display{Band: w.value(s)}
	if published(s) {
		d.Target, d.WearLimit = w.target(s), w.wear(s)
	}
	return d
}

// Converted puts a converted spec into words: its summary names the published value too.
func (b *Book) Converted(lang string, converted, source *spec.Spec) Display {
	w := speller{b, lang}
	d := Display{Band: w.value(converted), Target: w.target(converted), WearLimit: w.wear(converted)}
	from := w.value(source)
	if from == "" {
		from = w.wear(source)
	}
	w.complete(&d, converted, w.say("word_converted_from", note.Str("value", from)))
	return d
}

// Interval is a range of numbers with its unit, one-sided ones in words; empty where there is no end.
func (b *Book) Interval(lang string, r quantity.Range, u quantity.Unit) string {
	return speller{b, lang}.interval(r, u)
}

// Term is the word for a machine word of an axis; one that has no sentence is shown with spaces for underscores.
func (b *Book) Term(lang, axis, word string) string {
	if code := axis + "_" + word; b.Has(code) {
		return b.Word(lang, code)
	}
	return strings.ReplaceAll(word, "_", " ")
}

// published reports whether the source gives a number or a word at all.
func published(s *spec.Spec) bool {
	return s.ValueForm != spec.NotPublished && s.ValueForm != spec.OutOfScope
}

// speller writes in one language.
type speller struct {
	book *Book
	lang string
}

func (w speller) say(code string, params ...note.Param) string {
	return w.book.Note(w.lang, note.New(code, params...))
}

// complete adds what stands beside the limits, and the summary. converted says what a converted value comes from.
func (w speller) complete(d *Display, s *spec.Spec, converted string) {
	value := d.Band
	if d.Target != "" && d.Target != value && !s.Band.Empty() {
		value += ", " + w.say("word_aim", note.Str("value", d.Target))
	}
	worn := ""
	if published(s) {
		worn, d.Details = w.wornOut(s), w.details(s, converted)
	}
	if s.Source != nil && s.Source.Class != "" {
		d.Source = w.book.Term(w.lang, "source", s.Source.Class)
	}
	d.Summary = w.book.Joined(w.lang, value, worn, d.Details, d.Source)
	if s.LeftHand() {
		d.Hand = w.say("word_left_hand")
		d.Summary = d.Hand + w.say("word_colon") + d.Summary
	}
}

func (w speller) details(s *spec.Spec, converted string) string {
	parts := make([]string, 0, 12)
	add := func(p string) {
		if p != "" {
			parts = append(parts, p)
		}
	}
	add(converted)
	w.fastener(s, add)
	add(s.State.In(w.lang))
	return w.book.Joined(w.lang, parts...)
}

// Joined puts the parts that are there into one line, with the mark between them that the language has.
func (b *Book) Joined(lang string, parts ...string) string {
	parts = slices.DeleteFunc(slices.Clone(parts), func(p string) bool { return p == "" })
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts, b.Word(lang, "word_semicolon"))
}

// value is what is allowed, in the form in which it was published.
func (w speller) value(s *spec.Spec) string {
	switch s.ValueForm {
	case spec.NotPublished:
		return w.say("word_not_published")
	case spec.OutOfScope:
		return w.say("word_out_of_scope")
	case spec.Single:
		return w.single(s)
	case spec.Stages:
		return w.stages(s)
	case spec.TorqueAngle:
		return w.torqueAngle(s)
	}
	if s.Kind == spec.Category {
		return w.say("word_allowed", note.Str("value", strings.ReplaceAll(strings.Join(s.Allowed, ", "), "_", " ")))
	}
	if s.Band.Empty() && s.WearLimit.Empty() && s.HasTarget {
		return w.single(s)
	}
	return w.interval(padded(s.Band, s.Decimals), s.Unit)
}

func padded(r quantity.Range, decimals int) quantity.Range {
	r.Lower, r.Upper = r.Lower.Padded(decimals), r.Upper.Padded(decimals)
	return r
}

// interval is a range of numbers with its unit; it is empty where the range is.
func (w speller) interval(r quantity.Range, u quantity.Unit) string {
	switch {
	case r.TwoSided() && r.Lower.Cmp(r.Upper) == 0:
		return Value(r.Lower.String(), u)
	case r.TwoSided() && r.Lower.Sign() >= 0:
		return Value(r.Lower.String()+"–"+r.Upper.String(), u)
	case r.TwoSided():
		return w.say("word_from_to", note.Str("lower", r.Lower.String()), note.Qty("upper", r.Upper, u))
	case r.HasUpper:
		return w.say("word_at_most", note.Qty("value", r.Upper, u))
	case r.HasLower:
		return w.say("word_at_least", note.Qty("value", r.Lower, u))
	}
	return ""
}

func (w speller) target(s *spec.Spec) string {
	if !s.HasTarget {
		return ""
	}
	text := Value(s.Target.Padded(s.Decimals).String(), s.Unit)
	switch s.Policy() {
	case spec.NotBelow:
		return text + ", " + w.say("word_not_below")
	case spec.NotAbove:
		return text + ", " + w.say("word_not_above")
	}
	return text
}

// wear is a wear limit alone: an upper one as it is, a lower one with its side named.
func (w speller) wear(s *spec.Spec) string {
	r := padded(s.WearLimit, s.Decimals)
	if r.HasUpper && !r.HasLower {
		return Value(r.Upper.String(), s.Unit)
	}
	return w.interval(r, s.Unit)
}

func (w speller) wornOut(s *spec.Spec) string {
	r := padded(s.WearLimit, s.Decimals)
	switch {
	case r.TwoSided():
		return w.say("word_worn_out_beyond", note.Str("value", w.interval(r, s.Unit)))
	case r.HasUpper:
		return w.say("word_worn_out_past", note.Qty("value", r.Upper, s.Unit))
	case r.HasLower:
		return w.say("word_worn_out_below", note.Qty("value", r.Lower, s.Unit))
	}
	return ""
}
