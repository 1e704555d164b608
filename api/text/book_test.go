package text_test

import (
	"strings"
	"testing"

	"endfloat/api/text"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func TestEverySentenceExistsInEveryLanguage(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, code := range book.Codes() {
		for _, lang := range spec.Languages {
			if s := book.Word(lang, code); strings.TrimSpace(s) == "" || s == code || strings.Contains(s, "%!") {
				t.Errorf("%s in %s is %q", code, lang, s)
			}
		}
	}
	if len(book.Codes()) < 20 {
		t.Errorf("only %d sentences", len(book.Codes()))
	}
}

func TestEveryLanguageShowsEveryValue(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, code := range book.Codes() {
		for _, lang := range spec.Languages {
			sentence, params := book.Template(lang, code)
			for _, p := range params {
				if !strings.Contains(sentence, "{"+p+"}") {
					t.Errorf("%s in %s does not show {%s}: %q", code, lang, p, sentence)
				}
			}
		}
	}
}

func TestWhatIsMissingIsNeverDropped(t *testing.T) {
	t.Parallel()
	book := text.New()
	if s := book.Word("en", "no_such_code"); s != "no_such_code" {
		t.Errorf("%q", s)
	}
	if s := book.Word("en", "word_at_most"); s != "at most ?" {
		t.Errorf("%q", s)
	}
	if s := book.Word("xx", "word_not_below"); s != "not below" {
		t.Errorf("%q", s)
	}
}

func TestValuesStayAsTheyAre(t *testing.T) {
	t.Parallel()
	book := text.New()
	n := note.New("word_at_most", note.Qty("value", quantity.MustParse("1234.50"), quantity.Millimetre))
	for _, lang := range spec.Languages {
		if s := book.Note(lang, n); !strings.Contains(s, "1234.50 mm") {
			t.Errorf("%s: %q", lang, s)
		}
	}
}

func BenchmarkNote(b *testing.B) {
	book := text.New()
	n := note.New("word_at_most", note.Qty("value", quantity.MustParse("0.50"), quantity.Millimetre))
	b.ReportAllocs()
	for b.Loop() {
		_ = book.Note("de", n)
	}
}
