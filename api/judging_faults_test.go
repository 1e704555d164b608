package api_test

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestFaultyRowsNameTheirPlace(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const reading = `"readings":[{"value":0.2}]`
	for _, row := range []struct{ name, check, code, pointer string }{
		{"no unit", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"upper":1}},` + reading + `}`, "missing_unit", "/unit"},
		{"unknown unit", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"upper":1}},"unit":"parsec",` + reading + `}`, "unknown_unit", "/unit"},
		{"unit of the wrong kind", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"upper":1}},"unit":"N·m",` + reading + `}`, "unit_of_wrong_kind", "/unit"},
		{"another unit than the spec's own", `{"caller_spec":{"kind":"other","unit":"psi","band":{"lower":100}},"unit":"bar",` + reading + `}`, "unit_of_wrong_kind", "/unit"},
		{"an unknown unit beside the spec's own", `{"caller_spec":{"kind":"other","unit":"psi","band":{"lower":100}},"unit":"PSI",` + reading + `}`, "unknown_unit", "/unit"},
		{"decimal comma", `{` + stack + `"readings":[{"value":"0,15"}]}`, "decimal_comma", "/readings/0/value"},
		{"ten decimals", `{` + stack + `"readings":[{"value":0.0000000001}]}`, "too_many_decimals", "/readings/0/value"},
		{"1e400", `{` + stack + `"readings":[{"value":1e400}]}`, "number_out_of_range", "/readings/0/value"},
		{"over ten metres", `{` + stack + `"readings":[{"value":10001}]}`, "number_out_of_range", "/readings/0/value"},
		{"negative blade", `{` + stack + `"readings":[{"blades":[{"size":-0.1,"feel":"free"}]}]}`, "not_positive", "/readings/0/blades/0/size"},
		{"a blade without its feel", `{` + stack + `"readings":[{"blades":[{"size":0.1,"feel":""}]}]}`, "missing_feel", "/readings/0/blades/0/feel"},
		{"an unknown feel", `{` + stack + `"readings":[{"blades":[{"size":0.1,"feel":"tight"}]}]}`, "unknown_word", "/readings/0/blades/0/feel"},
		{"both specs", `{"spec":"pl-85/counter-shaft/axial-play",` + stack + reading + `}`, "two_specs", "/caller_spec"},
		{"neither spec", `{"unit":"mm",` + reading + `}`, "missing_spec", ""},
		{"unknown spec", `{"spec":"pl-85/counter-shaft/axial-pley","unit":"mm",` + reading + `}`, "unknown_spec", "/spec"},
		{"unknown stage", `{` + stack + `"stage":"as_is",` + reading + `}`, "unknown_word", "/stage"},
		{"two kinds of reading in one", `{` + stack + `"readings":[{"value":0.2,"repeats":[0.2]}]}`, "several_readings", "/readings/0"},
		{"two kinds of reading in a check", `{` + stack + `"readings":[{"value":0.2},{"repeats":[0.2]}]}`, "mixed_readings", "/readings/1"},
		{"a word for a number", `{` + stack + `"readings":[{"category":"centred"}]}`, "wrong_reading", "/readings/0/category"},
		{"two figures of uncertainty", `{` + stack + reading + `,"instrument":{"standard_uncertainty":0.01,"accuracy":0.02}}`, "several_uncertainties", "/instrument"},
		{"negative uncertainty", `{` + stack + reading + `,"instrument":{"standard_uncertainty":-0.01}}`, "negative", "/instrument/standard_uncertainty"},
		{"k alone", `{` + stack + reading + `,"instrument":{"k":2}}`, "k_alone", "/instrument/k"},
		{"a distribution of nothing", `{` + stack + reading + `,"instrument":{"standard_uncertainty":0.01,"distribution":"triangular"}}`, "distribution_alone", "/instrument/distribution"},
		{"an unknown distribution", `{` + stack + reading + `,"instrument":{"accuracy":0.01,"distribution":"flat"}}`, "unknown_word", "/instrument/distribution"},
		{"normal without its level", `{` + stack + reading + `,"instrument":{"accuracy":0.01,"distribution":"normal"}}`, "missing_level", "/instrument/level"},
		{"a level of 1", `{` + stack + reading + `,"instrument":{"accuracy":0.01,"distribution":"normal","level":1}}`, "out_of_range", "/instrument/level"},
		{"a level alone", `{` + stack + reading + `,"instrument":{"accuracy":0.01,"level":0.95}}`, "level_alone", "/instrument/level"},
		{"lower over upper", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":2,"upper":1}},"unit":"mm",` + reading + `}`, "lower_over_upper", "/caller_spec/band"},
		{"wear limit inside the band", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":1,"upper":2},"wear_limit":{"upper":1.5}},"unit":"mm",` + reading + `}`, "wear_limit_inside_band", "/caller_spec/wear_limit/upper"},
		{"readings and sizes", `{` + stack + reading + `,"sizes":[{"part":"a","sign":1,"readings":[{"value":1}]}]}`, "readings_and_sizes", "/sizes"},
		{"a size without its sign", `{` + stack + `"sizes":[{"part":"a","readings":[{"value":1}]}]}`, "missing_sign", "/sizes/0/sign"},
		{"a warm size without expansion", `{` + stack + `"sizes":[{"part":"a","sign":1,"temperature_c":30,"readings":[{"value":1}]}]}`, "missing_expansion", "/sizes/0/expansion_per_k"},
		{"an id that is too long", `{"id":"` + strings.Repeat("x", 65) + `",` + stack + reading + `}`, "too_long", "/id"},
		{"101 places", `{` + stack + `"readings":[` + strings.TrimSuffix(strings.Repeat(`{"value":0.2},`, 101), ",") + `]}`, "too_many", "/readings"},
		{"blades on a torque", `{` + bolt + `"readings":[{"blades":[{"size":0.1,"feel":"free"}]}]}`, "wrong_reading", "/readings/0/blades"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := judgeOne(t, h, row.check)
			if r.Verdict != "not_judged" || r.Action != "ask" || r.Problem.Code != row.code || len(r.Problem.Errors) == 0 || r.Problem.Errors[0].Pointer != "/checks/0"+row.pointer {
				t.Errorf("got %s %+v", r.Verdict, r.Problem)
			}
		})
	}
}

func TestRequestsThatCannotBeRead(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	one := `{` + stack + `"readings":[{"value":0.2}]}`
	for _, row := range []struct {
		name, body string
		status     int
		code       string
	}{
		{"no JSON", `{"checks":[`, 400, "bad_json"},
		{"empty", ``, 400, "empty_body"},
		{"trailing text", `{"checks":[` + one + `]} x`, 400, "trailing_data"},
		{"unknown key", `{"checks":[{"readinsg":[]}]}`, 400, "unknown_key"},
		{"key in the wrong case", `{"Checks":[]}`, 400, "unknown_key"},
		{"a key twice", `{"checks":[],"checks":[]}`, 400, "duplicate_key"},
		{"null", `{"checks":null}`, 400, "null_value"},
		{"a string for a list", `{"checks":"all"}`, 400, "wrong_type"},
		{"NaN", `{"checks":[{"readings":[{"value":NaN}]}]}`, 400, "bad_json"},
		{"10,000 nested brackets", `{"checks":` + strings.Repeat("[", 10000), 400, ""},
		{"no checks", `{}`, 422, "invalid_values"},
		{"unknown stage for all", `{"stage":"as_is","checks":[` + one + `]}`, 422, "invalid_values"},
		{"5,001 checks", `{"checks":[` + strings.TrimSuffix(strings.Repeat(`{},`, 5001), ",") + `]}`, 422, "invalid_values"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			w := post(h, "/v1/evaluations", row.body)
			var p struct{ Code string }
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != row.status || row.code != "" && p.Code != row.code {
				t.Errorf("%d %s", w.Code, w.Body)
			}
		})
	}
	if e := evaluate(t, h, `{"checks":[]}`); e.Summary.Rows != 0 || e.Results == nil {
		t.Errorf("no checks: %+v", e)
	}
}

func TestTheVerdictOnOneNumberNamesItsParameter(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const one = "/v1/families/pl-85/components/counter-shaft/specs/axial-play/verdict"
	for _, row := range []struct {
		query  string
		status int
		code   string
	}{
		{"?value=0.15&unit=mm", 200, ""},
		{"?unit=mm", 400, "missing_value"},
		{"?value=0.15", 400, "missing_unit"},
		{"?value=0,15&unit=mm", 400, "decimal_comma"},
		{"?value=NaN&unit=mm", 400, "not_a_number"},
		{"?value=0.15&unit=kg", 400, "unknown_unit"},
		{"?value=0.15&unit=Nm", 400, "unit_of_wrong_kind"},
		{"?value=0.15&unit=mm&stage=soon", 400, "unknown_word"},
		{"?value=0.15&unit=mm&variant=zz", 400, "unknown_variant"},
		{"?value=0.15&unit=mm&standard_uncertainty=-1", 400, "negative"},
		{"?value=0.15&unit=mm&colour=red", 400, "unknown_parameter"},
	} {
		w := do(h, "GET", one+row.query)
		var p struct {
			Code   string
			Errors []struct{ Parameter string }
		}
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != row.status || p.Code != row.code {
			t.Errorf("%s: %d %s", row.query, w.Code, w.Body)
		}
		if row.status == 400 && (len(p.Errors) != 1 || !strings.Contains(row.query+"value unit", p.Errors[0].Parameter)) {
			t.Errorf("%s: %s", row.query, w.Body)
		}
	}
	if w := do(h, "GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-pley/verdict?value=1&unit=mm"); w.Code != 404 || !strings.Contains(w.Body.String(), "axial-play") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

// FuzzEvaluations holds that no body is a fault of ours and that what is answered is text in UTF-8.
func FuzzEvaluations(f *testing.F) {
	h, _ := bare(f)
	for _, seed := range []string{
		`{"checks":[{` + stack + `"readings":[{"value":0.2}]}]}`,
		`{"checks":[{` + bolt + `"readings":[{"value":30,"how":"check"},{"repeats":[1,2,3,4]}]}]}`,
		`{"checks":[{` + stack + `"readings":[{"blades":[{"size":0.1,"feel":"free"},{"size":0.1,"feel":"refused"}]}]}]}`,
		`{"checks":[{` + stack + `"sizes":[{"part":"a","sign":1,"readings":[{"value":1e-9}],"instrument":{"accuracy_percent":99}}]}]}`,
		`{"checks":[{"spec":"pl-85/counter-shaft/axial-play","unit":"thou","coverage":"t","readings":[{"repeats":[1,2,3,4,5]}]}],"view":"both","trace":true}`,
	} {
		f.Add(seed, false)
	}
	f.Add("id,unit,reading_1,kind,lower\n=a,mm,0.1:drag 0.2:forced,dimension,0.1\n", true)
	f.Fuzz(func(t *testing.T, body string, table bool) {
		r := httptest.NewRequest("POST", "/v1/evaluations?format=csv", strings.NewReader(body))
		if table {
			r = httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader(body))
			r.Header.Set("Content-Type", "text/csv")
		} else {
			r.Header.Set("Content-Type", "application/json")
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code >= 500 || !utf8.Valid(w.Body.Bytes()) {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
	})
}

// A spec of kind other keeps the unit in which it was published, whatever that is.
func TestAnyPublishedUnitOfKindOther(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, unit := range []string{"kPa", "psi", "°C", "mm²/s", "r/min"} {
		r := judgeOne(t, h, `{"caller_spec":{"kind":"other","unit":"`+unit+`","decimals":0,"band":{"lower":100,"upper":140}},"unit":"`+unit+`","readings":[{"value":120}],"instrument":{"standard_uncertainty":5}}`)
		if r.Verdict != "pass" || r.Unit != unit || !strings.HasPrefix(r.Text, "inside: 120 "+unit) {
			t.Errorf("%s: %+v", unit, r)
		}
	}
}

// A batch of wrong keys is no search of the whole catalogue for each of them: the first hundred are told the nearest.
func TestTheNearestKeyIsSoughtForTheFirstHundred(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	var body strings.Builder
	body.WriteString("id,spec,unit,reading_1\n")
	for i := range 150 {
		fmt.Fprintf(&body, "%d,pl-85/counter-shaft/axail-play,mm,0.15\n", i)
	}
	w := sendCSV(h, "/v1/evaluations", body.String())
	answer := w.Body.String()
	if n, all := strings.Count(answer, "; the nearest is pl-85/counter-shaft/axial-play\""), strings.Count(answer, "unknown_spec"); w.Code != 200 || n == 0 || all != 150 {
		t.Fatalf("%d: %d of %d", w.Code, n, all)
	}
	lines := strings.Split(strings.TrimSpace(answer), "\n")
	if !strings.Contains(lines[100], "the nearest is") || strings.Contains(lines[101], "the nearest is") {
		t.Errorf("%s\n%s", lines[100], lines[101])
	}
}
