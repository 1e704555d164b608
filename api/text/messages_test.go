package text_test

import (
	"strconv"
	"strings"
	"testing"

	"endfloat/api/text"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// French counts nothing and one alike (Unicode CLDR, language plural rules, cardinals); the four others only one.
func TestACountOfOneHasItsOwnWords(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, row := range []struct{ lang, count, want string }{
		{"en", "1", "1 place read: 0.15 mm."},
		{"en", "0", "0 places read, from 0.15 mm to 0.20 mm, spread 0.05 mm."},
		{"en", "3", "3 places read, from 0.15 mm to 0.20 mm, spread 0.05 mm."},
		{"de", "1", "1 Stelle gemessen: 0.15 mm."},
		{"de", "2", "2 Stellen gemessen, 0.15 mm bis 0.20 mm, Spanne 0.05 mm."},
		{"fr", "0", "0 point mesuré\u00a0: 0.15 mm."},
		{"fr", "1", "1 point mesuré\u00a0: 0.15 mm."},
		{"fr", "2", "2 points mesurés, de 0.15 mm à 0.20 mm, étendue 0.05 mm."},
		{"it", "1", "1 punto misurato: 0.15 mm."},
		{"it", "11", "11 punti misurati, da 0.15 mm a 0.20 mm, escursione 0.05 mm."},
		{"es", "1", "1 punto medido: 0.15 mm."},
		{"es", "21", "21 puntos medidos, de 0.15 mm a 0.20 mm, amplitud 0.05 mm."},
	} {
		got := book.Note(row.lang, note.New("trace_places", note.Str("count", row.count), note.Str("min", "0.15 mm"), note.Str("max", "0.20 mm"), note.Str("spread", "0.05 mm")))
		if got != row.want {
			t.Errorf("%s %s: %q, want %q", row.lang, row.count, got, row.want)
		}
	}
	for _, row := range []struct{ lang, code, by, want string }{
		{"en", "few_repeats", "repeats", "1 repeat is too few for its scatter to count; from 4 on it does."},
		{"fr", "few_repeats", "repeats", "1 répétition ne suffit pas pour compter sa dispersion\u202f; à partir de 4 elle compte."},
		{"de", "plan_places", "places", "An mindestens 1 Stelle messen."},
		{"es", "plan_places", "places", "Medir en 1 punto o más."},
	} {
		if got := book.Note(row.lang, note.New(row.code, note.Count(row.by, 1), note.Count("needed", 4))); got != row.want {
			t.Errorf("%s %s: %q, want %q", row.lang, row.code, got, row.want)
		}
	}
	if got := book.Note("it", note.New("few_places", note.Count("places", 1), note.Count("minimum", 3))); got != "Misurato in 1 punto su 3." {
		t.Errorf("%q", got)
	}
}

// Whatever the language, every value of a sentence comes out as it went in, and nothing else looks like a number that
// English does not have: a figure is never a matter of language.
func TestNumbersAreTheSameInEveryLanguage(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, code := range book.Codes() {
		_, params := book.Template("en", code)
		list := make([]note.Param, len(params))
		for i, p := range params {
			list[i] = note.Str(p, strconv.Itoa(7_000_000+i)+".50")
		}
		n := note.New(code, list...)
		want := figures(book.Note("en", n))
		for _, lang := range spec.Languages {
			s := book.Note(lang, n)
			for _, p := range list {
				if !strings.Contains(s, p.Value) {
					t.Errorf("%s in %s loses {%s}: %q", code, lang, p.Name, s)
				}
			}
			if got := figures(s); got != want {
				t.Errorf("%s in %s has the figures %s, English has %s: %q", code, lang, got, want, s)
			}
		}
	}
}

// figures counts the digits of a text.
func figures(s string) string {
	var n [10]int
	for _, r := range s {
		if r >= '0' && r <= '9' {
			n[r-'0']++
		}
	}
	var b strings.Builder
	for _, c := range n {
		b.WriteString(strconv.Itoa(c) + " ")
	}
	return b.String()
}
