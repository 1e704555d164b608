package problem_test

import (
	"testing"

	"endfloat/api/problem"
	"endfloat/api/text"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

func TestEveryProblemHasItsWordsInEveryLanguage(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, c := range problem.Table() {
		plain, _ := problem.Of(fault.New(c.Kind, "", note.Note{}), "urn:uuid:x", problem.Voice{Book: book, Lang: "en"})
		for _, lang := range spec.Languages[1:] {
			v := problem.Voice{Book: book, Lang: lang}
			got, _ := problem.Of(fault.New(c.Kind, "", note.Note{}), "urn:uuid:x", v)
			if got.Title == plain.Title || got.Detail == plain.Detail || got.Title == "" || c.About(v) == c.About(problem.Voice{Book: book, Lang: "en"}) {
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
	german := problem.Voice{Book: text.New(), Lang: "de"}
	at := fault.Place{Pointer: "/checks/0/unit"}
	for _, row := range []struct {
		name                string
		detail, fix         note.Note
		wantDetail, wantFix string
	}{
		{"what was sent is quoted", note.New("found_no_unit_read", note.Str("unit", `"kg"`)), note.New("fix_send_one_of", note.Str("list", "mm, µm, in")),
			`"kg" ist keine Einheit, die hier gelesen wird`, "eines davon senden: mm, µm, in"},
		{"a word within is said too", note.New("found_type", note.Str("type", "string")), note.New("fix_send_type", note.Str("wanted", "string")), "das ist ein Text", "einen Text senden"},
		{"what was sent is no word of ours", note.New("found_not_a_number", note.Str("value", `"array"`)), note.New("fix_leave_out"), `"array" ist keine Zahl`, "weglassen"},
		{"the nearest is kept", note.New("found_no_spec_key_nearest", note.Str("key", `"a/b/c"`), note.Str("near", "a/b/d")), note.New("fix_get_v1_specs_lists"),
			`keine Vorgabe hat den Schlüssel "a/b/c"; am nächsten kommt a/b/d`, "GET /v1/specs nennt jeden Schlüssel"},
		{"no remedy", note.New("found_null"), note.Note{}, "null ist kein Wert", ""},
	} {
		var list fault.List
		list.Add(fault.Violation{Code: "some_code", Detail: row.detail, Fix: row.fix, At: at})
		got, _ := problem.Of(list.Err(), "", german)
		e := got.Errors[0]
		if e.Detail != row.wantDetail || e.Fix != row.wantFix || e.Code != "some_code" || e.Pointer == nil || *e.Pointer != at.Pointer {
			t.Errorf("%s: %+v", row.name, e)
		}
		want := row.wantDetail
		if row.wantFix != "" {
			want += ": " + row.wantFix
		}
		if got.Detail != want {
			t.Errorf("%s: %q", row.name, got.Detail)
		}
	}
}
