package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// besides are sheets that POST /v1/sheets takes with a problem of a line, and where that is beside a token.
var besides = []struct{ name, line, code, pointer string }{
	{"a word that is none", `{"spec":"pl-85/flywheel/air-gap","as_built":{"readings":[{"value":0.3}],"how":"guessed"}}`, "unknown_word", "/sheet/lines/0/as_built/how"},
	{"a text that is too long", `{"spec":"pl-85/flywheel/air-gap","by":"` + strings.Repeat("x", 65) + `"}`, "too_long", "/sheet/lines/0/by"},
	{"a spec that is none", `{"spec":"pl-85/flywheel/nothing"}`, "unknown_spec", "/sheet/lines/0/spec"},
	{"a day that is none", `{"spec":"pl-85/flywheel/air-gap","at":"2026-02-30"}`, "bad_date", "/sheet/lines/0/at"},
	{"a number as text", `{"spec":"pl-85/flywheel/air-gap","unit":"mm","as_built":{"readings":[{"value":"0,30"}]}}`, "decimal_comma", "/sheet/lines/0/as_built/readings/0/value"},
}

// A sheet beside a token passes the same checks as one that is sent to be judged, whatever the token is worth.
func TestSheetBesideATokenIsReadAsOneToBeJudged(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	signed := judgeSheet(t, h, example(t)).Signed
	stranger := judgeSheet(t, signing(t, "retired.pem"), example(t)).Signed
	for _, token := range []string{signed, stranger, "no.token.here", signed[:len(signed)-4]} {
		for _, row := range besides {
			var a struct {
				Valid    bool
				Problems []struct {
					Spec    string
					Index   int
					Problem struct {
						Code   string
						Errors []struct{ Pointer string }
					}
				}
			}
			w := post(h, "/v1/sheets/verify", `{"signed":"`+token+`","sheet":{"family":"pl-85","lines":[`+row.line+`]}}`)
			if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil || w.Code != http.StatusOK {
				t.Fatalf("%s: %d %s", row.name, w.Code, w.Body)
			}
			if a.Valid || len(a.Problems) != 1 || a.Problems[0].Problem.Code != row.code || a.Problems[0].Problem.Errors[0].Pointer != row.pointer {
				t.Errorf("%s: %s", row.name, w.Body)
			}
		}
		for _, row := range []struct{ sheet, code, pointer string }{
			{`{"family":"pl-85"}`, "missing_lines", "/sheet/lines"},
			{`{"family":"zz-1","lines":[]}`, "unknown_family", "/sheet/family"},
			{`{"family":"pl-85","rule":"strict","lines":[]}`, "unknown_word", "/sheet/rule"},
			{`{"family":"pl-85","hours":-1,"lines":[]}`, "negative", "/sheet/hours"},
			{`{"family":"pl-85","scope":"roof","lines":[]}`, "unknown_scope", "/sheet/scope"},
			{`{"family":"pl-85","variant":"zz","lines":[]}`, "unknown_variant", "/sheet/variant"},
			{`{"family":"pl-85","at":"yesterday","lines":[]}`, "bad_date", "/sheet/at"},
		} {
			w := post(h, "/v1/sheets/verify", `{"signed":"`+token+`","sheet":`+row.sheet+`}`)
			if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `"`+row.code+`"`) || !strings.Contains(w.Body.String(), `"`+row.pointer+`"`) {
				t.Errorf("%s: %d %s", row.sheet, w.Code, w.Body)
			}
		}
	}
}

// What was signed was taken then: it is verified with itself beside it, problems and all.
func TestSignedSheetWithAProblemIsVerified(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	for _, row := range besides {
		sheet := `{"family":"pl-85","lines":[` + row.line + `]}`
		if v := verify(t, h, judgeSheet(t, h, sheet).Signed, sheet); v.Outcome != "valid" {
			t.Errorf("%s: %+v", row.name, v)
		}
	}
}

// A cell that could not be taken stands in what is signed as it was sent, and the line is a problem whenever it is judged
// again.
func TestNothingOfATableIsLost(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	for _, row := range []struct{ name, query, table, kept string }{
		{"a point where a comma was declared", "&delimiter=semicolon&decimal=comma", "spec;unit;as_built_1\npl-85/flywheel/air-gap;mm;0.31\n", `{"column":"as_built_1","text":"0.31"}`},
		{"neither true nor false", "", "spec,unit,as_built_1,retorqued\npl-85/flywheel/air-gap,mm,0.30,perhaps\n", `{"column":"retorqued","text":"perhaps"}`},
		{"shims", "&delimiter=semicolon&decimal=comma", "spec;unit;shims_after\npl-85/counter-shaft/axial-play;mm;left:1,20 right:1.20\n", `{"column":"shims_after","text":"left:1,20 right:1.20"}`},
		{"cells that are too many", "", "spec,unit,as_built_1\npl-85/flywheel/air-gap,mm,0.30,0.31,=x\n", `{"text":"0.31,=x"}`},
	} {
		r := httptest.NewRequest("POST", "/v1/sheets?format=json"+row.query, strings.NewReader(row.table))
		r.Header.Set("Content-Type", "text/csv")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		var a sheetAnswer
		if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil || w.Code != http.StatusOK {
			t.Fatalf("%s: %d %s", row.name, w.Code, w.Body)
		}
		if a.Lines[0].Verdict != "not_judged" || !strings.Contains(payloadOf(t, a.Signed), row.kept) {
			t.Errorf("%s: %s is not in %s", row.name, row.kept, payloadOf(t, a.Signed))
		}
		if v := verify(t, h, a.Signed, ""); v.Outcome != "valid" {
			t.Errorf("%s: %+v", row.name, v)
		}
	}
}

// The day of a sheet is the one that it names, else the latest of its lines, else that of the revision: never today.
func TestDayOfASheet(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	const tool = `"as_built":{"readings":[{"value":0.3}]},"tool":{"id":"dial 4","calibration_due":"`
	for _, row := range []struct{ name, sheet, want string }{
		{"due on the day of the sheet", `{"at":"2026-11-20","lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm",` + tool + `2026-11-20"}}]}`, ""},
		{"due the day before", `{"at":"2026-11-20","lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm",` + tool + `2026-11-19"}}]}`, "calibration_past"},
		{"due before the day of another line", `{"lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm",` + tool + `2026-11-19"}},{"spec":"pl-85/flywheel/key-fit","at":"2026-11-20"}]}`, "calibration_past"},
		{"no day at all, due before the revision", `{"lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm",` + tool + `2020-01-01"}}]}`, "calibration_past"},
		{"no day at all, due long after", `{"lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm",` + tool + `2999-01-01"}}]}`, ""},
		{"a line after the sheet", `{"at":"2026-11-20","lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm","as_built":{"readings":[{"value":0.3}]},"at":"2026-11-21"}]}`, "date_in_future"},
		{"a line on the day of the sheet", `{"at":"2026-11-20","lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm","as_built":{"readings":[{"value":0.3}]},"at":"2026-11-20"}]}`, ""},
		{"a line of any day where the sheet has none", `{"lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm","as_built":{"readings":[{"value":0.3}]},"at":"2999-01-01"}]}`, ""},
	} {
		got := ""
		for _, c := range judgeSheet(t, h, row.sheet).Contradictions {
			if c.Code == "calibration_past" || c.Code == "date_in_future" {
				got = c.Code
			}
		}
		if got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

// After the journal was ground, undersize shells go in; the standard ones are then neither missed nor ordered.
func TestUndersizeShellsAreRenewedShells(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	for sku, missed := range map[string]bool{"QB-SHL-U1": false, "QB-SHL-STD": false, "QB-BLT-ROD": true} {
		a := judgeSheet(t, h, `{"family":"qb-270","scope":"crank","lines":[{"spec":"qb-270/crank/oil-clearance","unit":"mm","as_built":{"readings":[{"value":0.04}]},"renewed":["`+sku+`"]}]}`)
		text, _ := json.Marshal(a)
		if got := strings.Contains(string(text), "QB-SHL-STD:") || strings.Contains(string(text), `"SKU":"QB-SHL-STD"`); got != missed {
			t.Errorf("%s: missed %v in %s", sku, got, text)
		}
	}
}
