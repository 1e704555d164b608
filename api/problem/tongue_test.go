package problem_test

import (
	"strings"
	"testing"

	"endfloat/api/problem"
	"endfloat/api/text"
	"endfloat/service/fault"
	"endfloat/service/spec"
)

// The table and the book say the same in English, and every other language says something of its own.
func TestEveryProblemHasItsWordsInEveryLanguage(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, c := range problem.Table() {
		err := fault.New(c.Kind, "", "")
		plain, _ := problem.Of(err, "urn:uuid:x")
		for _, lang := range spec.Languages {
			got := plain.In(book, lang)
			if lang == "en" {
				code := "word_problem_" + strings.ReplaceAll(c.Slug, "-", "_")
				if book.Word("en", code) != c.Title || book.Word("en", code+"_detail") != c.Detail {
					t.Errorf("%s: the book says %q %q", c.Slug, book.Word("en", code), book.Word("en", code+"_detail"))
				}
				continue
			}
			if got.Title == plain.Title || got.Detail == plain.Detail || got.Title == "" {
				t.Errorf("%s in %s: %q %q", c.Slug, lang, got.Title, got.Detail)
			}
			if got.Type != plain.Type || got.Status != plain.Status || got.Code != plain.Code || got.Instance != plain.Instance {
				t.Errorf("%s in %s is another problem: %+v", c.Slug, lang, got)
			}
		}
	}
}

func TestAFaultIsSaidInALanguage(t *testing.T) {
	t.Parallel()
	book := text.New()
	at := fault.Place{Pointer: "/checks/0/unit"}
	for _, row := range []struct {
		name, code, detail, fix, wantDetail, wantFix string
	}{
		{"what was sent is quoted", "unknown_unit", `"kg" is no unit that is read here`, "send one of: mm, µm, in", `"kg" ist keine Einheit, die hier gelesen wird`, "eines davon senden: mm, µm, in"},
		{"quotes in quotes, where only the code has a sentence", "unknown_key", `the key "a\"b" is a walrus`, "", `Dieser Schlüssel ist hier nicht bekannt: "a\"b"`, ""},
		{"nothing quoted", "negative", "a spread is never negative", "send 0 or more", "eine Spanne ist nie negativ", "0 oder mehr senden"},
		{"a remedy without a translation", "missing_sign", "a size has a sign", "send a walrus", "Ein Maß sagt, ob es addiert oder abgezogen wird", "send a walrus"},
		{"the nearest is kept", "unknown_spec", `no spec has the key "a/b/c"; the nearest is a/b/d`, "GET /v1/specs lists every key", `keine Vorgabe hat den Schlüssel "a/b/c"; am nächsten kommt a/b/d`, "GET /v1/specs nennt jeden Schlüssel"},
		{"a code without a sentence", "never_heard_of", "as it is", "mend it", "as it is", "mend it"},
	} {
		var list fault.List
		list.Add(fault.Violation{Code: row.code, Detail: row.detail, Fix: row.fix, At: at})
		english, _ := problem.Of(list.Err(), "")
		got := english.In(book, "de")
		e := got.Errors[0]
		if e.Detail != row.wantDetail || e.Fix != row.wantFix || e.Code != row.code || e.Pointer == nil || *e.Pointer != at.Pointer {
			t.Errorf("%s: %+v", row.name, e)
		}
		if want := row.wantDetail; !strings.HasPrefix(got.Detail, want) {
			t.Errorf("%s: %q", row.name, got.Detail)
		}
		if again := english.Errors[0]; again.Detail != row.detail || again.Fix != row.fix {
			t.Errorf("%s: the English one was changed: %+v", row.name, again)
		}
	}
}
