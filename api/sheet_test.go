package api_test

import (
	"encoding/base64"
	"encoding/csv"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/api"
	"endfloat/api/apitest"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb"
)

// signing is the demo with a key that signs; every exchange is held against the OpenAPI file.
func signing(t testing.TB, file string) http.Handler {
	t.Helper()
	source, err := specdb.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: source, Log: slog.New(slog.DiscardHandler), Version: "test", Signing: signingKeys(t, file)}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	return apitest.Handler(t, h)
}

type sheetAnswer struct {
	Revision, Rules, Signed string
	Outcome                 struct {
		Verdict, Text string
		Complete      bool
		Summary       map[string]int
	}
	Lines []struct {
		ID, Spec, Verdict, Action, Text, Note string
		Estimated, Waived, Decided            bool
		Cautions                              []string
		AsFound                               map[string]any `json:"as_found"`
		AsBuilt                               map[string]any `json:"as_built"`
		Problem                               struct {
			Code   string
			Errors []struct {
				Code, Pointer, Column string
				Row                   int
			}
		}
	}
	Missing []struct{ Spec, Because string }
	Gates   []struct {
		Gate, State, Text string
		BlockedBy         []struct{ Spec, Because, Gate string } `json:"blocked_by"`
		Waived            []struct{ Spec string }
	}
	Contradictions []struct {
		Code  string
		Specs []string
		IDs   []string
	}
	Order     []struct{ SKU, Because string }
	Cautions  []caution
	Signature struct {
		Signed                 bool
		Algorithm, Digest, KID string
		Text                   string
	}
}

// example is the sheet that the OpenAPI file shows.
func example(t testing.TB) string {
	t.Helper()
	b, err := os.ReadFile("../openapi/examples/judgeSheet.json")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func judgeSheet(t *testing.T, h http.Handler, body string) (a sheetAnswer) {
	t.Helper()
	w := post(h, "/v1/sheets", body)
	if w.Code != http.StatusOK {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

func TestBlankSheetHasEveryLineInOrder(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	for _, f := range rev.Families {
		var want []string
		for _, c := range f.Components {
			for _, e := range c.Specs {
				want = append(want, string(e.Base.Key))
			}
		}
		for _, lang := range spec.Languages {
			var a struct {
				Lines []struct {
					Spec, Text string
					Cautions   []string
				}
				Cautions []caution
			}
			fetch(t, h, "/v1/families/"+f.Key+"/sheet?lang="+lang, &a)
			var got []string
			for _, l := range a.Lines {
				got = append(got, l.Spec)
				if l.Text == "" || !slices.Contains(l.Cautions, catalogue.VerifyMaker) {
					t.Errorf("%s: %+v", lang, l)
				}
				for _, c := range l.Cautions {
					if !slices.ContainsFunc(a.Cautions, func(x caution) bool { return x.Code == c && x.Text != "" }) {
						t.Errorf("%s: the caution %s of %s is not resolved", lang, c, l.Spec)
					}
				}
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Error(diff)
			}
		}
	}
}

func TestBlankSheetOnPaper(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	for _, row := range []struct{ query, size string }{{"", "size:A4"}, {"&paper=a4", "size:A4"}, {"&paper=letter", "size:letter"}} {
		for _, lang := range spec.Languages {
			w := do(h, "GET", "/v1/families/pl-85/sheet?format=html&lang="+lang+row.query)
			page := w.Body.String()
			if w.Code != 200 || !strings.Contains(page, row.size) || !strings.Contains(page, `<html lang="`+lang+`">`) || !strings.Contains(page, rev.Name) {
				t.Fatalf("%d %s", w.Code, page)
			}
			if strings.Contains(page, "<script") || strings.Contains(page, "http:") || strings.Contains(page, "https:") || strings.Contains(page, "style=") {
				t.Error("the page brings more than itself")
			}
			if strings.Count(page, `class="left"`) != 3 {
				t.Errorf("%s: %d left-hand threads stand out", lang, strings.Count(page, `class="left"`))
			}
			if policy := w.Header().Get("Content-Security-Policy"); !strings.HasPrefix(policy, "default-src 'none'; style-src 'sha256-") {
				t.Errorf("%q", policy)
			}
		}
	}
}

func TestBlankSheetNarrowed(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, row := range []struct {
		query string
		code  int
		has   string
	}{
		{"?scope=gearbox", 200, "pl-85/counter-shaft/axial-play"},
		{"?scope=head", 200, "pl-85/head/head-nuts"},
		{"?scope=full&engine_number=PLC%207001", 200, `"variant":"b"`},
		{"?unit_system=imperial", 200, `"converted"`},
		{"?scope=nothing", 400, "bad_parameter"},
		{"?variant=z", 400, `"parameter":"variant"`},
		{"?engine_number=OVM%201000", 400, `"parameter":"engine_number"`},
		{"?mark=x", 400, `"parameter":"mark"`},
		{"?paper=a5", 400, `"parameter":"paper"`},
		{"?unit_system=roman", 400, `"parameter":"unit_system"`},
	} {
		if w := do(h, "GET", "/v1/families/pl-85/sheet"+row.query); w.Code != row.code || !strings.Contains(w.Body.String(), row.has) {
			t.Errorf("%s: %d %s", row.query, w.Code, w.Body)
		}
	}
	if w := do(h, "GET", "/v1/families/none/sheet"); w.Code != 404 {
		t.Errorf("%d", w.Code)
	}
	if w := do(h, "GET", "/v1/families/pl-85/sheet?scope=head"); strings.Contains(w.Body.String(), "counter-shaft/axial-play\",\"name") {
		t.Error("the scope is one component")
	}
}

func TestFilledSheet(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	a := judgeSheet(t, h, example(t))
	if a.Outcome.Verdict != "not_judged" || a.Outcome.Complete || len(a.Lines) != 2 || a.Lines[0].Verdict != "pass" {
		t.Fatalf("%+v", a)
	}
	bolt := a.Lines[1]
	if bolt.Verdict != "conditional_pass" || !bolt.Estimated || !bolt.Waived || bolt.Decided || !strings.HasPrefix(bolt.Text, "LEFT-HAND") || bolt.Cautions[0] != "left_hand_thread" {
		t.Errorf("%+v", bolt)
	}
	if s := a.Outcome.Summary; s["pass"]+s["conditional_pass"]+s["conditional_fail"]+s["fail"]+s["not_judged"] != s["lines"] || s["missing"] != len(a.Missing) || s["estimated"] != 1 {
		t.Errorf("%+v", s)
	}
	if len(a.Gates) != 1 || a.Gates[0].State != "may_close_with_waiver" || len(a.Gates[0].Waived) != 1 {
		t.Errorf("%+v", a.Gates)
	}
	if len(a.Contradictions) != 0 {
		t.Errorf("%+v", a.Contradictions)
	}
	for _, o := range a.Order {
		if o.SKU == "PL-CIR-20" || o.SKU == "PL-KEY-08" {
			t.Errorf("%s was renewed", o.SKU)
		}
	}
}

// Found 0.63, shims from 2.00 to 2.40, built 0.51: the first three rows change one thing each.
func TestFilledSheetContradicts(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	for _, row := range []struct{ name, old, new, code, because string }{
		{"the shims explain less", `"shims_after": [{ "place": "left", "thickness": 1.20 }, { "place": "right", "thickness": 1.20 }]`, `"shims_after": [{ "place": "left", "thickness": 1.20 }, { "place": "right", "thickness": 1.00 }]`, "closure_open", ""},
		{"no part renewed", `"renewed": ["PL-CIR-20"]`, `"renewed": []`, "not_renewed", ""},
		{"tool past its calibration", `2027-03-01`, `2026-03-01`, "calibration_past", ""},
		{"no witness", `"witness": "foreman",`, ``, "", "gate_witness_missing"},
		{"witness is the builder", `"witness": "foreman"`, `"witness": "bench 3"`, "", "gate_witness_is_builder"},
		{"checked in thread lock", `"how": "estimated"`, `"how": "check"`, "retorqued", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			body := strings.Replace(example(t), row.old, row.new, 1)
			if body == example(t) {
				t.Fatal("nothing was changed")
			}
			a := judgeSheet(t, h, body)
			found := row.code == ""
			for _, c := range a.Contradictions {
				found = found || c.Code == row.code
			}
			if !found {
				t.Errorf("%+v", a.Contradictions)
			}
			if row.because != "" && (a.Gates[0].State != "blocked" || a.Gates[0].BlockedBy[0].Because != row.because || a.Lines[1].Verdict != "conditional_pass") {
				t.Errorf("%+v", a.Gates)
			}
			if a.Gates[0].State == "blocked" && !slices.ContainsFunc(a.Cautions, func(c caution) bool { return c.Code == "do_not_close" }) {
				t.Errorf("%+v", a.Cautions)
			}
		})
	}
}

// One bad line never fails the others, and every one of them says what is wrong with it and where.
func TestBadLines(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	const good = `{"id":"good","spec":"pl-85/head/head-nuts","unit":"N.m","as_built":{"readings":[{"value":22}]}}`
	for _, row := range []struct{ name, line, code, pointer string }{
		{"unknown spec", `{"spec":"pl-85/head/none"}`, "unknown_spec", "/lines/1/spec"},
		{"spec of another family", `{"spec":"ov-120/crank/runout"}`, "other_family", "/lines/1/spec"},
		{"no spec", `{"spec":""}`, "missing_spec", "/lines/1/spec"},
		{"twice", good, "line_twice", "/lines/1/spec"},
		{"decimal comma", `{"spec":"pl-85/flywheel/air-gap","unit":"mm","as_built":{"readings":[{"value":"0,30"}]}}`, "decimal_comma", "/lines/1/as_built/readings/0/value"},
		{"wrong unit", `{"spec":"pl-85/flywheel/air-gap","unit":"N.m","as_built":{"readings":[{"value":0.3}]}}`, "unit_of_wrong_kind", "/lines/1/unit"},
		{"no unit, said once", `{"spec":"pl-85/flywheel/air-gap","as_found":{"readings":[{"value":0.3}]},"as_built":{"readings":[{"value":0.3}]}}`, "missing_unit", "/lines/1/unit"},
		{"bad date", `{"spec":"pl-85/flywheel/air-gap","at":"yesterday"}`, "bad_date", "/lines/1/at"},
		{"bad calibration", `{"spec":"pl-85/flywheel/air-gap","tool":{"calibration_due":"2026-13-01"}}`, "bad_date", "/lines/1/tool/calibration_due"},
		{"bad part number", `{"spec":"pl-85/flywheel/air-gap","renewed":["a b"]}`, "bad_sku", "/lines/1/renewed/0"},
		{"shims where none belong", `{"spec":"pl-85/flywheel/air-gap","unit":"mm","shims_after":[{"thickness":1}]}`, "not_shimmed", "/lines/1/shims_after"},
		{"a shim of no thickness", `{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","shims_after":[{"thickness":0}]}`, "not_positive", "/lines/1/shims_after/0/thickness"},
		{"a shim at no place", `{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","shims_after":[{"place":"top","thickness":1}]}`, "unknown_place", "/lines/1/shims_after/0/place"},
		{"part", `{"spec":"pl-85/flywheel/air-gap","part":"old"}`, "unknown_word", "/lines/1/part"},
		{"too long", `{"spec":"pl-85/flywheel/air-gap","note":"` + strings.Repeat("x", 2001) + `"}`, "too_long", "/lines/1/note"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			a := judgeSheet(t, h, `{"family":"pl-85","lines":[`+good+`,`+row.line+`]}`)
			bad := a.Lines[1]
			if a.Lines[0].Verdict == "not_judged" || bad.Verdict != "not_judged" || bad.Action != "ask" || bad.Problem.Code != row.code || bad.Text == "" {
				t.Fatalf("%+v", a.Lines)
			}
			if len(bad.Problem.Errors) != 1 || bad.Problem.Errors[0].Pointer != row.pointer {
				t.Errorf("%+v", bad.Problem.Errors)
			}
			if a.Outcome.Summary["problems"] != 1 || a.Outcome.Complete || a.Outcome.Verdict == "pass" {
				t.Errorf("%+v", a.Outcome)
			}
		})
	}
}

func TestBadSheets(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	long := `{"family":"pl-85","lines":[` + strings.Repeat(`{"spec":"x"},`, 1000) + `{"spec":"x"}]}`
	for _, row := range []struct {
		name, body string
		status     int
		has        string
	}{
		{"no lines", `{"family":"pl-85"}`, 422, "missing_lines"},
		{"lines past the limit", long, 422, "too_many"},
		{"no family anywhere", `{"lines":[{"spec":"x/y/z"}]}`, 422, "missing_family"},
		{"unknown family", `{"family":"xx","lines":[]}`, 422, "unknown_family"},
		{"unknown variant", `{"family":"pl-85","variant":"z","lines":[]}`, 422, "unknown_variant"},
		{"engine of another family", `{"family":"pl-85","engine_number":"OVM 1000","lines":[]}`, 422, "engine_number_of_other_family"},
		{"unknown scope", `{"family":"pl-85","scope":"roof","lines":[]}`, 422, "unknown_scope"},
		{"negative hours", `{"family":"pl-85","hours":-1,"lines":[]}`, 422, "negative"},
		{"unknown rule", `{"family":"pl-85","rule":"loose","lines":[]}`, 422, "unknown_word"},
		{"unknown key", `{"family":"pl-85","lines":[{"spec":"x","as_build":{}}]}`, 400, "/lines/0/as_build"},
		{"null", `{"family":"pl-85","lines":[{"spec":"x","as_built":null}]}`, 400, "null_value"},
		{"family from a line", `{"lines":[{"spec":"pl-85/flywheel/air-gap"}]}`, 200, `"family":"pl-85"`},
		{"no line at all", `{"family":"pl-85","lines":[]}`, 200, `"verdict":"not_judged","complete":false`},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if w := post(h, "/v1/sheets", row.body); w.Code != row.status || !strings.Contains(w.Body.String(), row.has) {
				t.Errorf("%d %.400s", w.Code, w.Body)
			}
		})
	}
}

// What somebody writes into a note is text on the page and inert in a table.
func TestNothingInANoteIsExecuted(t *testing.T) {
	t.Parallel()
	h := signing(t, "private.pem")
	const html = `<script>alert(1)</script><img src=x onerror=alert(2)>`
	for _, evil := range []string{html, `=cmd|'/C calc'!A0`, "@SUM(1)", "+1+1", "-2+3", "\t=1"} {
		text, _ := json.Marshal(evil)
		body := `{"family":"pl-85","customer_reference":` + string(text) + `,"lines":[{"id":` + string(text) + `,"spec":"pl-85/flywheel/air-gap","note":` + string(text) + `,"by":` + string(text) + `,"waiver":{"who":` + string(text) + `,"reason":` + string(text) + `}}]}`
		page := asked(t, h, body, "text/html")
		if strings.Contains(page, "<script") || strings.Contains(page, "<img src=x") {
			t.Errorf("%s", page)
		}
		table := asked(t, h, body, "text/csv")
		rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			for _, cell := range r {
				if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
					t.Errorf("%q would be computed", cell)
				}
			}
		}
		if evil[0] != '<' && !strings.Contains(table, "'"+evil) {
			t.Errorf("%q is lost: %s", evil, table)
		}
		if a := judgeSheet(t, h, body); a.Lines[0].Note != evil {
			t.Errorf("%q", a.Lines[0].Note)
		}
	}
}

func asked(t *testing.T, h http.Handler, body, media string) string {
	t.Helper()
	r := httptest.NewRequest("POST", "/v1/sheets", strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Accept", media)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), media) {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	return w.Body.String()
}

// payloadOf is what a token signs.
func payloadOf(t *testing.T, token string) string {
	t.Helper()
	parts := strings.Split(token, ".")
	if len(parts) != 3 {
		t.Fatalf("%q", token)
	}
	b, err := base64.RawURLEncoding.DecodeString(parts[1])
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
