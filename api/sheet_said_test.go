package api_test

import (
	"encoding/csv"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func getText(t *testing.T, h http.Handler, target string) string {
	t.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", target, nil))
	if w.Code != http.StatusOK {
		t.Fatalf("%s: %d %s", target, w.Code, w.Body)
	}
	return w.Body.String()
}

// A spec that the sheet leaves open shows the base and every alternative, whatever the form.
func TestBlankSheetNamesAlternatives(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, format := range []string{"json", "csv", "html"} {
		open := getText(t, h, "/v1/families/pl-85/sheet?format="+format)
		for _, want := range []string{"0.15–0.40 mm", "variant b: 0.20–0.45 mm"} {
			if !strings.Contains(open, want) {
				t.Errorf("%s: no %q", format, want)
			}
		}
		if narrowed := getText(t, h, "/v1/families/pl-85/sheet?variant=b&format="+format); strings.Contains(narrowed, "variant b: ") {
			t.Errorf("%s: an alternative to what is known", format)
		}
	}
}

// A component is a scope by its id and by its key.
func TestScopeOfAComponent(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	if a, b := getText(t, h, "/v1/families/qb-270/sheet?scope=valves"), getText(t, h, "/v1/families/qb-270/sheet?scope=qb-270/valves"); a != b {
		t.Errorf("%s", b)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", "/v1/families/qb-270/sheet?scope=pl-85/crank", nil))
	if w.Code != http.StatusBadRequest {
		t.Errorf("a component of another family: %d", w.Code)
	}
}

// A blank table in a declared form is filled and sent back in that form; a negative limit stays a number.
func TestBlankTableInADeclaredForm(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const form = "delimiter=semicolon&decimal=comma"
	in := csv.NewReader(strings.NewReader(getText(t, h, "/v1/families/pl-85/sheet?variant=b&format=csv&"+form)))
	in.Comma = ';'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := func(name string) int { return slices.Index(rows[0], name) }
	found := false
	for _, r := range rows[1:] {
		if r[column("spec")] == "pl-85/case/bearing-seat" {
			found = true
			if r[column("lower")] != "-0,030" || r[column("upper")] != "-0,010" {
				t.Errorf("%q %q", r[column("lower")], r[column("upper")])
			}
			r[column("as_built_1")] = "-0,020"
		}
	}
	if !found {
		t.Fatal("no such line")
	}
	var filled strings.Builder
	out := csv.NewWriter(&filled)
	out.Comma = ';'
	if err := out.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	w := postTable(h, "/v1/sheets?format=json&"+form, filled.String())
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), `"value":-0.020`) {
		t.Errorf("%d %.300s", w.Code, w.Body)
	}
}

// On paper every figure has its unit, and places, instruments and policies have names.
func TestReportIsInWords(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	body := strings.NewReplacer(`"thickness": 1.20`, `"thickness": 1.2`, `{ "value": 0.21 }, { "value": 0.22 }`, `{ "value": 0.2 }, { "value": 0.22 }`).Replace(example(t))
	w := post(h, "/v1/sheets?format=html&lang=de", body)
	text := regexp.MustCompile(`<[^>]*>`).ReplaceAllString(w.Body.String(), "|")
	for _, want := range []string{"linke Seite 1.20; rechte Seite 1.20\u00a0mm", "0.20; 0.22; 0.21\u00a0mm; Messuhr", "Richtlinie default, Regeln ", "24 N·m"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q", want)
		}
	}
	inches := strings.NewReplacer(`"unit": "mm"`, `"unit": "in"`, "0.62 }", "0.0244 }", "0.64 }", "0.0252 }", "0.21 }", "0.0083 }", "0.22 }", "0.0087 }",
		`"thickness": 1.00`, `"thickness": 0.039`, `"thickness": 1.20`, `"thickness": 0.047`).Replace(example(t))
	if w := post(h, "/v1/sheets?format=html", inches); !strings.Contains(w.Body.String(), "0.0083; 0.0087; 0.0083\u00a0in; ") {
		t.Errorf("%d: figures without their unit", w.Code)
	}
	idle := strings.Replace(example(t), `"tool": {`, `"waiver": { "who": "foreman", "reason": "none" }, "tool": {`, 1)
	if w := post(h, "/v1/sheets?format=html", idle); !strings.Contains(w.Body.String(), "Axial play of the gear stack: foreman is named as letting it stand, which has no effect here.") {
		t.Errorf("%d: a waiver without effect is not told", w.Code)
	}
}
