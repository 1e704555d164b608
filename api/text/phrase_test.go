package text_test

import (
	"strconv"
	"strings"
	"testing"

	"endfloat/api/text"
	"endfloat/service/spec"
)

// Whatever the values, a phrase comes out in the words of the language, with every value as it went in.
func TestEveryPhraseIsSaidInEveryLanguage(t *testing.T) {
	t.Parallel()
	book := text.New()
	phrases := book.Phrases()
	if len(phrases) < 300 {
		t.Errorf("only %d phrases", len(phrases))
	}
	for _, p := range phrases {
		english, values := sample(p[0])
		for i, lang := range spec.Languages {
			got, ok := book.Again(lang, english)
			want := p[i]
			for name, value := range values {
				if !strings.Contains(want, name) {
					t.Errorf("%q in %s does not show %s: %q", p[0], lang, name, want)
				}
				said, known := book.Again(lang, value)
				if !known {
					said = value
				}
				want = strings.ReplaceAll(want, name, said)
			}
			if !ok || got != want {
				t.Errorf("%q in %s is %q, want %q", english, lang, got, want)
			}
			if strings.Count(p[i], "{") != strings.Count(p[0], "{") || strings.TrimSpace(p[i]) == "" || figures(p[i]) != figures(p[0]) {
				t.Errorf("%q in %s is %q", p[0], lang, p[i])
			}
			if i > 0 && got == english && p[0] != "null" && p[0] != "a string" {
				t.Errorf("%q is still English in %s", english, lang)
			}
			if ends := strings.HasSuffix(p[i], "."); ends != strings.HasSuffix(p[0], ".") {
				t.Errorf("%q in %s ends otherwise: %q", p[0], lang, p[i])
			}
		}
	}
}

// sample fills a phrase with values that no phrase has; one that must be a phrase itself is one.
func sample(phrase string) (filled string, values map[string]string) {
	values, filled = map[string]string{}, phrase
	for n := 0; ; n++ {
		_, rest, found := strings.Cut(phrase, "{")
		if !found {
			return filled, values
		}
		name, after, closed := strings.Cut(rest, "}")
		phrase = rest
		if !closed || strings.ContainsAny(name, `":[`) {
			continue
		}
		value := "v" + strconv.Itoa(n)
		if strings.HasPrefix(name, "said") {
			value = map[string]string{"said": `no family has the key "v9"`, "said_type": "an array", "said_thing": "a nut factor"}[name]
		}
		values["{"+name+"}"] = value
		filled, phrase = strings.ReplaceAll(filled, "{"+name+"}", value), after
	}
}

func TestWhatIsQuotedIsNeverTakenApart(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, row := range []struct{ name, english, german string }{
		{"a quote with the words that follow it", `no spec has the key "a; the nearest is b"; the nearest is c`,
			`keine Vorgabe hat den Schlüssel "a; the nearest is b"; am nächsten kommt c`},
		{"an escaped quote", `the column "a\" is not known here" is not known here`, `die Spalte "a\" is not known here" ist hier nicht bekannt`},
		{"two quotes", `claim is "x here and y" here and "z" before`, `claim ist hier "x here and y" und vorher "z"`},
		{"the plainer phrase does not win", "send at most 64 characters", "höchstens 64 Zeichen senden"},
		{"a phrase in a phrase", "send an array", "eine Liste senden"},
		{"braces that are no value", `send {"value":…} or {"repeats":[…]}`, `{"value":…} oder {"repeats":[…]} senden`},
	} {
		if got, ok := book.Again("de", row.english); !ok || got != row.german {
			t.Errorf("%s: %q", row.name, got)
		}
	}
	for _, unknown := range []string{"", "send", "send a walrus", `no spec has the key "open`, "this is a walrus", "; the nearest is c"} {
		if got, ok := book.Again("de", unknown); ok {
			t.Errorf("%q became %q", unknown, got)
		}
	}
	if got, ok := book.Again("en", "send a walrus"); !ok || got != "send a walrus" {
		t.Errorf("English became %q", got)
	}
}

// A sentence that quotes a caller is hostile input: whatever stands in it, saying it again ends and loses nothing of it.
func FuzzAgain(f *testing.F) {
	book := text.New()
	for _, seed := range []string{`a`, `"; the nearest is `, `\`, `{said}`, "\x00\xff", strings.Repeat("; the nearest is ", 40)} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, sent string) {
		quoted := strconv.Quote(sent)
		for _, english := range []string{"no spec has the key " + quoted, "no spec has the key " + quoted + "; the nearest is x", quoted + " is no number"} {
			got, ok := book.Again("it", english)
			if !ok || !strings.Contains(got, quoted) {
				t.Errorf("%q became %q", english, got)
			}
		}
		_, _ = book.Again("fr", sent)
	})
}

func BenchmarkAgain(b *testing.B) {
	book := text.New()
	b.ReportAllocs()
	for b.Loop() {
		_, _ = book.Again("de", `no spec has the key "pl-85/counter-shaft/axail-play"; the nearest is pl-85/counter-shaft/axial-play`)
	}
}

func BenchmarkNew(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_ = text.New()
	}
}
