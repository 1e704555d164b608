package rim_test

import (
	"net/url"
	"strings"
	"testing"

	"endfloat/api/rim"
	"endfloat/service/fault"
)

// The Accept rows marked RFC are the examples of RFC 9110, section 12.5.1, with the types offered here in mind.
func TestForm(t *testing.T) {
	t.Parallel()
	all := []string{rim.MediaJSON, rim.MediaText, rim.MediaHTML, rim.MediaCSV}
	for _, row := range []struct {
		name, format, accept string
		offered              []string
		want, code           string
	}{
		{"nothing said", "", "", all, rim.MediaJSON, ""},
		{"anything", "", "*/*", all, rim.MediaJSON, ""},
		{"RFC: preference by weight", "", "text/plain; q=0.5, text/html, text/x-dvi; q=0.8, text/x-c", all, rim.MediaHTML, ""},
		{"RFC: the most specific range counts", "", "text/*;q=0.3, text/plain;q=0.7, text/plain;format=flowed, */*;q=0.5", []string{rim.MediaHTML, rim.MediaJSON}, rim.MediaJSON, ""},
		{"RFC: parameters that no answer has count less", "", "text/plain;format=fixed;q=0.4, text/plain;q=0.7, text/html;q=0.5", []string{rim.MediaText, rim.MediaHTML}, rim.MediaText, ""},
		{"a profile of JSON-LD is not asked about", "", `application/ld+json;profile="http://www.w3.org/ns/json-ld#compacted"`, []string{rim.MediaJSON, rim.MediaJSONLD}, rim.MediaJSONLD, ""},
		{"the charset that every text has", "", "text/csv;charset=UTF-8, text/plain;q=0.9", all, rim.MediaCSV, ""},
		{"RFC: audio first, anything of audio", "", "audio/*; q=0.2, audio/basic", all, "", "not_acceptable"},
		{"browser", "", "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", all, rim.MediaHTML, ""},
		{"of equals the first offered", "", "text/csv, text/plain", all, rim.MediaText, ""},
		{"refused by weight 0", "", "application/json;q=0, */*;q=0.1", all, rim.MediaText, ""},
		{"all refused", "", "*/*;q=0", all, "", "not_acceptable"},
		{"case and spaces", "", " Application/JSON ;Q=1 ", all, rim.MediaJSON, ""},
		{"broken weight is none", "", "text/csv;q=lots, text/plain;q=0.1", all, rim.MediaText, ""},
		{"another type", "", "image/png", all, "", "not_acceptable"},
		{"the word beats the header", "csv", "text/html", all, rim.MediaCSV, ""},
		{"word that is not offered", "svg", "", all, "", "bad_format"},
		{"word in another case", "CSV", "", all, "", "bad_format"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got, err := rim.Form(row.format, row.accept, row.offered)
			if row.code == "" && (err != nil || got != row.want) {
				t.Errorf("%q %v", got, err)
			}
			if row.code != "" && faultOf(t, err).Code != row.code {
				t.Error(err)
			}
		})
	}
}

func TestTongue(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, lang, accept, want, code string }{
		{"nothing said", "", "", "en", ""},
		{"RFC 9110, section 12.5.4: Danish is not spoken here, English is", "", "da, en-gb;q=0.8, en;q=0.7", "en", ""},
		{"region", "", "de-AT", "de", ""},
		{"weights", "", "fr;q=0.3, it;q=0.9", "it", ""},
		{"none of ours", "", "ja", "en", ""},
		{"broken header", "", ";;;=", "en", ""},
		{"a language that nobody knows hides none", "", "xx, de;q=0.8, it;q=0.5", "de", ""},
		{"one that is broken hides none", "", "de;q=2x, it;q=0.5", "it", ""},
		{"any but English", "", "en;q=0, *", "de", ""},
		{"none but English", "", "de;q=0, fr;q=0", "en", ""},
		{"any but the first two", "", "EN ; q=0.000, de;q=0, *;q=0.1", "fr", ""},
		{"none at all", "", "en;q=0, de;q=0, fr;q=0, it;q=0, es;q=0", "en", ""},
		{"one that is refused beside one that is wished for", "", "en;q=0, it;q=0.1", "it", ""},
		{"very long header", "", strings.Repeat("de,", 400), "en", ""},
		{"the word beats the header", "es", "de", "es", ""},
		{"word that is none", "pt", "", "", "bad_language"},
		{"region as a word", "de-AT", "", "", "bad_language"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got, err := rim.Tongue(row.lang, row.accept)
			if row.code == "" && (err != nil || got != row.want) {
				t.Errorf("%q %v", got, err)
			}
			if row.code != "" && faultOf(t, err).Code != row.code {
				t.Error(err)
			}
		})
	}
}

func TestParameters(t *testing.T) {
	t.Parallel()
	names := []string{"unit", "mark*"}
	for _, row := range []struct{ name, raw, code, param string }{
		{"none", "", "", ""},
		{"one", "unit=mm", "", ""},
		{"micro sign", "unit=%C2%B5m", "", ""},
		{"repeatable", "mark=a:1&mark=b:2", "", ""},
		{"unknown", "colour=red", "unknown_parameter", "colour"},
		{"another case", "Unit=mm", "unknown_parameter", "Unit"},
		{"twice", "unit=mm&unit=in", "repeated_parameter", "unit"},
		{"empty", "unit=", "empty_parameter", "unit"},
		{"name alone", "unit", "empty_parameter", "unit"},
		{"broken escape", "unit=%zz", "bad_query", "unit"},
		{"semicolon", "unit=mm;mark=x", "bad_query", "unit"},
		{"control character", "unit=%0d%0aX", "bad_parameter", "unit"},
		{"no UTF-8", "unit=%ff", "bad_parameter", "unit"},
		{"too long", "unit=" + strings.Repeat("m", 2001), "bad_parameter", "unit"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, err := rim.Parameters(row.raw, names)
			if row.code == "" {
				if err != nil {
					t.Error(err)
				}
				return
			}
			if f := faultOf(t, err); f.Code != row.code || f.Kind != fault.Malformed || f.Violations[0].At.Parameter != row.param || f.Violations[0].Fix.Code == "" {
				t.Errorf("%+v", f)
			}
		})
	}
}

func FuzzParameters(f *testing.F) {
	for _, s := range []string{"", "unit=mm", "unit=%zz", "a;b", "mark=1&mark=2", "=", "&&&", "unit=%ff%00", "%", "unit=1&unit=2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, raw string) {
		values, err := rim.Parameters(raw, []string{"unit", "mark*"})
		if err != nil {
			if e := faultOf(t, err); e.Kind != fault.Malformed || len(e.Violations) != 1 {
				t.Errorf("%q: %+v", raw, e)
			}
			return
		}
		again, err := url.ParseQuery(raw)
		if err != nil || len(again) != len(values) {
			t.Errorf("%q: %v and %v", raw, values, again)
		}
		for k := range values {
			if k != "unit" && k != "mark" {
				t.Errorf("%q let %q through", raw, k)
			}
		}
	})
}

func TestInertCells(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{"": "", "0.15": "0.15", "-0.02": "-0.02", "=1+1": "'=1+1", "@SUM(A1)": "'@SUM(A1)", "+49 30": "'+49 30",
		"-x": "'-x", "\t=1": "'\t=1", "M8x1.25": "M8x1.25", "−1": "−1"} {
		if got := rim.Inert(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
	table := rim.NewTable("a", "b")
	table.Row("=1", "x,y")
	if got := string(table.Bytes()); got != "a,b\n'=1,\"x,y\"\n" {
		t.Errorf("%q", got)
	}
}
