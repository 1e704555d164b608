package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
)

type judgedRow struct {
	ID, Spec, Verdict, Basis, Position, Action, Unit, Text string
	Index                                                  int
	Decided                                                bool
	Because                                                string      `json:"undecided_because"`
	Value                                                  json.Number `json:"value"`
	Interval                                               struct{ Lower, Upper json.Number }
	Source                                                 string      `json:"uncertainty_source"`
	Rule                                                   string      `json:"rule_used"`
	Probability                                            json.Number `json:"probability_within"`
	Deviation                                              json.Number `json:"target_deviation"`
	Allowance                                              json.Number `json:"allowance_used"`
	Places                                                 struct {
		Count            int
		Min, Max, Spread json.Number
	}
	Readings []struct {
		Number  int
		Verdict string
		Because string `json:"undecided_because"`
	}
	Views          []struct{ CanProve bool }
	Warnings, Next []struct{ Code, Text string }
	Cautions       []string
	Problem        struct {
		Code, Detail string
		Errors       []struct {
			Code, Pointer, Column string
			Row                   int
		}
	}
}

type evaluation struct {
	Revision, Rules string
	Summary         struct {
		Rows, Pass, Fail, Problems int
		ConditionalPass            int `json:"conditional_pass"`
		ConditionalFail            int `json:"conditional_fail"`
		NotJudged                  int `json:"not_judged"`
	}
	Results  []judgedRow
	Cautions []caution
}

func evaluate(t *testing.T, h http.Handler, body string) evaluation {
	t.Helper()
	w := post(h, "/v1/evaluations", body)
	if w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	var e evaluation
	if err := json.Unmarshal(w.Body.Bytes(), &e); err != nil {
		t.Fatalf("%v in %s", err, w.Body)
	}
	return e
}

// one is the answer to a single check.
func judgeOne(t *testing.T, h http.Handler, check string) judgedRow {
	t.Helper()
	e := evaluate(t, h, `{"checks":[`+check+`]}`)
	if len(e.Results) != 1 {
		t.Fatalf("%d results", len(e.Results))
	}
	return e.Results[0]
}

func codes(list []struct{ Code, Text string }) string {
	var out []string
	for _, n := range list {
		if n.Text == "" || n.Text == n.Code || strings.Contains(n.Text, "?") {
			out = append(out, "no sentence: "+n.Code)
			continue
		}
		out = append(out, n.Code)
	}
	return strings.Join(out, " ")
}

// A gear stack that may have 0.10 to 0.40 mm and aims at 0.10: common practice, no source.
const stack = `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40},"target":0.10,"target_policy":"not_below"},"unit":"mm",`

// bolt is 28 to 32 N·m with a left-hand thread: common practice, no source.
const bolt = `"caller_spec":{"kind":"torque","unit":"N·m","band":{"lower":28,"upper":32},"fastener":{"hand":"left"}},"unit":"N·m",`

// The figures of this table are common practice, no source, or worked by hand from the rule in the name of the row.
func TestVerdictsOverHTTP(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, row := range []struct {
		name, check                                    string
		verdict, action, because, basis, value, bounds string
		share, warnings, next                          string
	}{
		{"the dragging blade is the value", `{` + stack + `"readings":[{"blades":[{"size":0.10,"feel":"free"},{"size":0.15,"feel":"drag"},{"size":0.20,"feel":"forced"}]}]}`,
			"pass", "accept", "", "measured", "0.15", "0.15 0.20", "0.999", "", ""},
		{"the lowest place stands on the limit", `{` + stack + `"readings":[{"value":0.15},{"value":0.20},{"value":0.10},{"value":0.15}],"instrument":{"standard_uncertainty":0.005}}`,
			"pass", "accept", "", "measured", "0.15", "0.14 0.16", "0.999", "", ""},
		{"0.39 with u 0.02", `{` + stack + `"readings":[{"value":0.39}],"instrument":{"standard_uncertainty":0.02}}`,
			"conditional_pass", "accept_with_note", "uncertainty", "measured", "0.39", "0.35 0.43", "0.691", "", "use_finer_instrument use_instrument"},
		{"0.50 with u 0.02", `{` + stack + `"readings":[{"value":0.50}],"instrument":{"standard_uncertainty":0.02}}`,
			"fail", "adjust", "", "measured", "0.50", "0.46 0.54", "0.001", "", ""},
		{"a left-hand bolt by feel", `{` + bolt + `"readings":[{"value":30}],"how":"estimated"}`,
			"conditional_pass", "accept_with_note", "estimated", "estimated", "30", "18 42", "0.261", "", "measure_with_instrument"},
		{"an instrument by feel is an estimate", `{` + bolt + `"readings":[{"value":30}],"instrument":{"kind":"by_feel"}}`,
			"conditional_pass", "accept_with_note", "estimated", "estimated", "30", "18 42", "0.261", "", "measure_with_instrument"},
		{"nothing read", `{` + stack + `"readings":[]}`, "not_judged", "measure_again", "missing", "missing", "", " ", "", "", "measure_it"},
		{"a blank place", `{` + stack + `"readings":[{"value":0.2},{}]}`, "not_judged", "measure_again", "missing", "missing", "", " ", "", "", "measure_it"},
		{"zero is a value", `{` + stack + `"readings":[{"value":0}],"rule":"simple","instrument":{"standard_uncertainty":0.01}}`,
			"fail", "adjust", "", "measured", "0.00", "-0.02 0.02", "0.001", "", ""},
		{"15 for 0.15", `{` + stack + `"readings":[{"value":15}]}`, "not_judged", "ask", "implausible", "implausible", "15.00", " ", "", "implausible_slip", "check_unit_and_figure"},
		{"the 0.40 blade settles it", `{` + stack + `"readings":[{"blades":[{"size":0.35,"feel":"free"},{"size":0.45,"feel":"refused"}]}]}`,
			"conditional_pass", "accept_with_note", "uncertainty", "measured", "0.40", "0.35 0.45", "0.5", "", "try_blade"},
		{"a limit of error, its errors in a triangle: U is 2·0.06/√6", `{` + stack + `"readings":[{"value":0.25}],"instrument":{"accuracy":0.06,"distribution":"triangular"}}`,
			"pass", "accept", "", "measured", "0.25", "0.201 0.299", "0.999", "", ""},
		{"±0.0196 for 95 % is a standard uncertainty of 0.01 and no limit", `{` + stack + `"readings":[{"value":0.25}],"instrument":{"accuracy":0.0196,"distribution":"normal","level":0.95}}`,
			"pass", "accept", "", "measured", "0.25", "0.23 0.27", "0.999", "", ""},
		{"one repeat is few", `{` + stack + `"readings":[{"repeats":[0.2]}],"instrument":{"standard_uncertainty":0.01}}`,
			"pass", "accept_with_note", "", "measured", "0.20", "0.18 0.22", "0.999", "few_repeats", ""},
		{"a check reading above the band is not over-tight", `{` + bolt + `"readings":[{"value":34}],"how":"check"}`,
			"not_judged", "ask", "check_high", "measured", "34", " ", "", "check_high", "leave_as_it_is"},
		{"tightened in another condition", `{"caller_spec":{"kind":"torque","unit":"N·m","band":{"lower":28,"upper":32},"fastener":{"condition":"dry"}},"unit":"N·m","readings":[{"value":30}],"condition":"oiled"}`,
			"not_judged", "ask", "condition", "measured", "30", " ", "", "condition_differs", "tighten_in_published_condition"},
		{"a contact pattern in a word that is allowed", `{"caller_spec":{"kind":"category","allowed":["centred"],"rejected":["toe"]},"readings":[{"category":"centred"}]}`,
			"pass", "accept", "", "measured", "", " ", "", "", ""},
		{"a steering bolt is refused", `{"caller_spec":{"kind":"torque","unit":"N·m","value_form":"out_of_scope"},"unit":"N·m","readings":[{"value":30}]}`,
			"not_judged", "ask", "out_of_scope", "measured", "", " ", "", "", "ask_the_maker"},
		{"a spec that does not exist", `{"spec":"pl-85/no-such/spec","unit":"mm","readings":[{"value":1}]}`, "not_judged", "ask", "problem", "", "", " ", "", "", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := judgeOne(t, h, row.check)
			got := []string{r.Verdict, r.Action, r.Because, r.Basis, string(r.Value), string(r.Interval.Lower) + " " + string(r.Interval.Upper), string(r.Probability), codes(r.Warnings), codes(r.Next)}
			want := []string{row.verdict, row.action, row.because, row.basis, row.value, row.bounds, row.share, row.warnings, row.next}
			if !slices.Equal(got, want) {
				t.Errorf("got  %q\nwant %q\n%s", got, want, r.Text)
			}
			if r.Decided != (r.Verdict == "pass" || r.Verdict == "fail") || r.Text == "" {
				t.Errorf("decided %v, text %q", r.Decided, r.Text)
			}
		})
	}
}

// The first line names what the verdict hangs on: the place or the pairing that was held to the limit.
func TestWhatDecidesIsNamedFirst(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const least = `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":3.00},"decimals":2},"unit":"mm",`
	sizes := `"caller_spec":{"kind":"dimension","unit":"mm","decimals":3,"band":{"upper":0.050}},"unit":"mm","sizes":[{"part":"bore","sign":1,"readings":[{"value":52.060},{"value":52.075}],"instrument":{"standard_uncertainty":0.001}},{"part":"piston","sign":-1,"readings":[{"value":52.018}],"instrument":{"standard_uncertainty":0.001}}]`
	for _, row := range []struct{ name, check, text string }{
		{"the lowest place", `{` + least + `"readings":[{"value":3.2},{"value":3.2},{"value":3.2},{"value":2.7}],"instrument":{"standard_uncertainty":0.025}}`,
			"outside: below the lower limit: lowest place 2.70 mm, mean 3.08 mm (3.02 to 3.12 mm); allowed: at least 3.00 mm; adjust; caller's own value"},
		{"the loosest pairing", `{` + sizes + `}`, "outside: above the upper limit: loosest pairing 0.057 mm, mean 0.0495 mm (0.047 to 0.052 mm); allowed: at most 0.050 mm; adjust; caller's own value"},
		{"a place that is out under a good mean", `{` + stack + `"readings":[{"value":0.20},{"value":0.42}],"instrument":{"standard_uncertainty":0.001}}`,
			"the mean is inside, a place is outside: highest place 0.42 mm, mean 0.31 mm (0.308 to 0.312 mm); allowed: 0.10–0.40 mm; accept with a note; caller's own value"},
		{"an upper limit that the lowest place is held to", `{"caller_spec":{"kind":"dimension","unit":"mm","decimals":2,"band":{"upper":0.38},"points":{"against_upper":"min"}},"unit":"mm","readings":[{"value":0.41},{"value":0.39}],"instrument":{"standard_uncertainty":0}}`,
			"outside: above the upper limit: lowest place 0.39 mm, mean 0.40 mm (0.40 to 0.40 mm); allowed: at most 0.38 mm; adjust; caller's own value"},
		{"one place is the mean", `{` + stack + `"readings":[{"value":0.50}],"instrument":{"standard_uncertainty":0.02}}`,
			"outside: above the upper limit: 0.50 mm (0.46 to 0.54 mm); allowed: 0.10–0.40 mm; adjust; caller's own value"},
		{"a doubt under the last digit", `{"caller_spec":{"kind":"torque","unit":"N·m","band":{"lower":22,"upper":26}},"unit":"N·m","readings":[{"value":24}],"instrument":{"accuracy_percent":2}}`,
			"inside: 24 N·m (23.5 to 24.5 N·m); allowed: 22–26 N·m; accept; caller's own value"},
		{"an angle", `{"caller_spec":{"kind":"torque","unit":"N·m","value_form":"torque_angle","target":20,"angle":90,"angle_tolerance":5},"unit":"N·m","readings":[{"value":58,"angle":80}]}`,
			"outside: the angle is too small: 80°; allowed: 90° ±5°; adjust; caller's own value"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if r := judgeOne(t, h, row.check); r.Text != row.text {
				t.Errorf("got  %s\nwant %s", r.Text, row.text)
			}
		})
	}
}

func TestALeftHandThreadComesBeforeTheValue(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, lang := range []string{"en", "de", "fr", "it", "es"} {
		w := do(h, "GET", "/v1/families/pl-85/components/counter-shaft/specs/key-bolt/verdict?value=24&unit=N.m&format=text&lang="+lang)
		warned := strings.ToLower(w.Body.String())
		hand := map[string]string{"en": "left-hand", "de": "linksgewinde", "fr": "filetage à gauche", "it": "filettatura sinistra", "es": "rosca a izquierdas"}[lang]
		at, value := strings.Index(warned, hand), strings.Index(warned, "24 n·m")
		if w.Code != 200 || at < 0 || value < at || strings.Count(w.Body.String(), "\n") != 1 {
			t.Errorf("%s: %d %s", lang, w.Code, w.Body)
		}
	}
	r := judgeOne(t, h, `{`+bolt+`"readings":[{"value":30}],"how":"estimated"}`)
	if !strings.HasPrefix(r.Text, "LEFT-HAND THREAD") || !strings.Contains(r.Text, "not measured") || r.Cautions[0] != "left_hand_thread" {
		t.Errorf("%q %q", r.Text, r.Cautions)
	}
}

func TestABatchKeepsItsOrderAndItsGoodRows(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	good := `"readings":[{"value":0.2}],"instrument":{"standard_uncertainty":0.01}`
	e := evaluate(t, h, `{"checks":[{"id":"a",`+stack+good+`},{"id":"b",`+stack+`"readings":[{"value":"0,15"}]},{"id":"c","unit":"mm",`+good+`},{"id":"d",`+stack+good+`}]}`)
	if s := e.Summary; s.Rows != 4 || s.Pass != 2 || s.NotJudged != 2 || s.Problems != 2 || s.Pass+s.Fail+s.ConditionalPass+s.ConditionalFail+s.NotJudged != s.Rows {
		t.Errorf("%+v", s)
	}
	for i, id := range []string{"a", "b", "c", "d"} {
		r := e.Results[i]
		if r.ID != id || r.Index != i {
			t.Errorf("row %d is %+v", i, r)
		}
	}
	if p := e.Results[1].Problem; p.Code != "decimal_comma" || p.Errors[0].Pointer != "/checks/1/readings/0/value" {
		t.Errorf("%+v", p)
	}
	if p := e.Results[2].Problem; p.Code != "missing_spec" || p.Errors[0].Pointer != "/checks/2" {
		t.Errorf("%+v", p)
	}
	if r := e.Results[1]; r.Verdict != "not_judged" || r.Action != "ask" || r.Text == "" {
		t.Errorf("%+v", r)
	}
	for _, c := range e.Results[0].Cautions {
		if !slices.ContainsFunc(e.Cautions, func(d caution) bool { return d.Code == c && d.Text != "" }) {
			t.Errorf("%s is not resolved in %+v", c, e.Cautions)
		}
	}
}

// sendCSV posts a table.
func sendCSV(h http.Handler, target, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", target, strings.NewReader(body))
	r.Header.Set("Content-Type", "text/csv")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}
