package wire

import (
	"slices"

	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// UnitChoice is the unit that a caller asked for, for a spec in the unit given; the same unit where none was asked for.
type UnitChoice func(quantity.Unit) quantity.Unit

// Show is a spec as answers show it: with its strings, its cautions in order and, where another unit is asked for,
// its conversion. unit may be nil.
func Show(s *spec.Spec, lang string, book *text.Book, d catalogue.Defaults, unit UnitChoice) Spec {
	w := FromSpec(s, lang)
	w.Cautions = d.CautionsOf(s)
	w.Display = Display(book.Display(lang, s))
	w.Converted = Convert(s, lang, book, unit)
	return w
}

// Convert is the spec in the unit asked for; absent where that is its own or measures something else.
func Convert(s *spec.Spec, lang string, book *text.Book, unit UnitChoice) Converted {
	if unit == nil {
		return Converted{}
	}
	c, ok := s.In(unit(s.Unit))
	if !ok {
		return Converted{}
	}
	return Converted{Unit: string(c.Unit), Decimals: c.Decimals, Band: FromRange(c.Band, c.Decimals), Target: DecIf(c.Target, c.HasTarget),
		WearLimit: FromRange(c.WearLimit, c.Decimals), Display: Display(book.Converted(lang, c, s))}
}

// Codes gathers the caution codes of an answer, each once. The zero value is ready.
type Codes []string

// Add appends the codes that are not there yet.
func (c *Codes) Add(codes ...string) {
	for _, code := range codes {
		if !slices.Contains(*c, code) {
			*c = append(*c, code)
		}
	}
}

// Resolved lists every caution code once, the most severe first, with its sentence; one that nobody here knows, of a spec
// of the caller's own, is said to be the caller's. The codes are not changed.
func Resolved(codes []string, lang string, book *text.Book, d catalogue.Defaults) []Caution {
	list := make([]Caution, 0, len(codes))
	for _, code := range d.Ordered(slices.Clone(codes)) {
		said := note.New(code)
		if !book.Has(code) {
			said = note.New("word_caution_of_caller", note.Str("caution", code))
		}
		list = append(list, Caution{Code: code, Severity: d.Severity(code), Text: book.Note(lang, said)})
	}
	return list
}

// Systems are the words of the query parameter unit_system.
func Systems() []string { return []string{"metric", "imperial"} }

// System is the choice of units of a system; nil for a word that is none.
func System(word string) UnitChoice {
	var table map[quantity.Unit]quantity.Unit
	switch word {
	case "imperial":
		table = map[quantity.Unit]quantity.Unit{quantity.Millimetre: quantity.Inch, quantity.Micrometre: quantity.Thou,
			quantity.NewtonMetre: quantity.PoundForceFoot, quantity.KilogramMetre: quantity.PoundForceFoot, quantity.KilogramCentim: quantity.PoundForceInch}
	case "metric":
		table = map[quantity.Unit]quantity.Unit{quantity.Inch: quantity.Millimetre, quantity.Thou: quantity.Micrometre,
			quantity.PoundForceFoot: quantity.NewtonMetre, quantity.PoundForceInch: quantity.NewtonMetre}
	default:
		return nil
	}
	return func(u quantity.Unit) quantity.Unit {
		if to, ok := table[u]; ok {
			return to
		}
		return u
	}
}

// ShowResolved is Show of what a selection left: where it did not decide, with the alternatives, named in the summary and
// with their cautions among those of the spec.
func ShowResolved(res catalogue.Resolved, lang string, book *text.Book, d catalogue.Defaults, unit UnitChoice) Spec {
	w := Show(res.Spec, lang, book, d, unit)
	if !res.Undecided {
		return w
	}
	codes := Codes(slices.Clone(w.Cautions))
	published, converted := make([]text.Other, 0, len(res.Alternatives)), make([]text.Other, 0, len(res.Alternatives))
	for _, o := range res.Alternatives {
		a := Show(o.Spec, lang, book, d, unit)
		w.Alternatives = append(w.Alternatives, Alternative{Variant: o.Variant, Mark: o.Mark, Name: book.Deciding(lang, o.Variant, o.Mark), Unit: a.Unit,
			Decimals: a.Decimals, ValueForm: a.ValueForm, Band: a.Band, Target: a.Target, WearLimit: a.WearLimit, Cautions: a.Cautions, Display: a.Display,
			Converted: a.Converted})
		codes.Add(a.Cautions...)
		published = append(published, text.Other{Variant: o.Variant, Mark: o.Mark, Display: text.Display(a.Display)})
		converted = append(converted, text.Other{Variant: o.Variant, Mark: o.Mark, Display: text.Display(a.shown())})
	}
	w.Cautions = d.Ordered(codes)
	w.Display.Summary = book.Varying(lang, text.Display(w.Display), published)
	if w.Converted.Unit != "" {
		w.Converted.Display.Summary = book.Varying(lang, text.Display(w.Converted.Display), converted)
	}
	return w
}

// shown is the text of a spec in the unit asked for.
func (w Spec) shown() Display {
	if w.Converted.Unit != "" {
		return w.Converted.Display
	}
	return w.Display
}
