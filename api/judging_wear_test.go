package api_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// Invented parts with figures of the usual size; the results are worked by hand from the formulas named.
func TestWearSizesAndTorqueOverHTTP(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const bigEnd = `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.008,"upper":0.020},"wear_limit":{"upper":0.050}},"unit":"mm","readings":[{"value":0.045}],"instrument":{"standard_uncertainty":0.001}`
	const clearance = `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.030,"upper":0.050}},"unit":"mm",`
	const single = `"caller_spec":{"kind":"torque","unit":"N·m","value_form":"single","target":28,"policy":{"percent":PCT}},"unit":"N·m","readings":[{"value":26.5}],"instrument":{"kind":"click_wrench","accuracy_percent":4}`
	for _, row := range []struct {
		name, check, verdict, position, action, value, share, warnings string
	}{
		{"as found, between band and wear limit", `{` + bigEnd + `,"stage":"as_found"}`, "pass", "within", "accept_with_note", "0.045", "0.999", "worn_but_serviceable"},
		{"as built with new parts", `{` + bigEnd + `}`, "fail", "above", "adjust", "0.045", "0.001", ""},
		{"as built, reused", `{` + bigEnd + `,"part":"reused"}`, "pass", "within", "accept_with_note", "0.045", "0.999", "worn_but_serviceable"},
		{"a fork tip past its wear limit", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":4.50},"wear_limit":{"lower":4.30}},"unit":"mm","readings":[{"value":4.20}],"instrument":{"standard_uncertainty":0.004},"stage":"as_found"}`,
			"fail", "worn_out", "replace", "4.20", "0.001", ""},
		{"the worst place of a minimum", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":3.0}},"unit":"mm","readings":[{"value":3.2},{"value":3.2},{"value":3.2},{"value":2.7}],"instrument":{"standard_uncertainty":0.025}}`,
			"fail", "below", "adjust", "3.075", "0.001", ""},
		{"bore minus piston, u = 0.004·√2", `{` + clearance + `"sizes":[{"part":"bore","sign":1,"readings":[{"value":52.065}],"instrument":{"standard_uncertainty":0.004}},{"part":"piston","sign":-1,"readings":[{"value":52.018}],"instrument":{"standard_uncertainty":0.004}}]}`,
			"conditional_pass", "within", "accept_with_note", "0.047", "0.701", "coarse_instrument"},
		{"the same, bore at 18 °C and piston at 28 °C: 0.0474 mm more", `{` + clearance + `"sizes":[{"part":"bore","sign":1,"temperature_c":18,"expansion_per_k":0.000023,"readings":[{"value":52.065}],"instrument":{"standard_uncertainty":0.004}},{"part":"piston","sign":-1,"temperature_c":28,"expansion_per_k":21e-6,"readings":[{"value":52.018}],"instrument":{"standard_uncertainty":0.004}}]}`,
			"conditional_fail", "above", "measure_again", "0.05813", "0.075", "temperature_differs coarse_instrument"},
		{"26.5 of 28 under a policy of 10 %", `{` + strings.Replace(single, "PCT", "10", 1) + `}`, "pass", "within", "accept", "26.5", "0.983", ""},
		{"26.5 of 28 under a policy of 5 %", `{` + strings.Replace(single, "PCT", "5", 1) + `}`, "conditional_fail", "below", "measure_again", "26.5", "0.435", ""},
		{"a torque that needs its angle", `{"caller_spec":{"kind":"torque","unit":"N·m","value_form":"torque_angle","target":20,"angle":90,"angle_tolerance":5},"unit":"N·m","readings":[{"value":58}]}`,
			"not_judged", "", "measure_again", "58", "", ""},
		{"80° is 10° short", `{"caller_spec":{"kind":"torque","unit":"N·m","value_form":"torque_angle","target":20,"angle":90,"angle_tolerance":5},"unit":"N·m","readings":[{"value":58,"angle":80}]}`,
			"fail", "below", "adjust", "58", "", "angle_short torque_not_judged"},
		{"40 on 28 to 32 is over-tight and judged", `{` + bolt + `"readings":[{"value":40}],"instrument":{"accuracy_percent":4}}`, "fail", "above", "adjust", "40", "0.001", "possible_slip"},
		{"0.03 on 0.10 to 0.40 is judged", `{` + stack + `"readings":[{"value":0.03}],"instrument":{"standard_uncertainty":0.005}}`, "fail", "below", "adjust", "0.03", "0.001", "possible_slip"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := judgeOne(t, h, row.check)
			got := strings.Join([]string{r.Verdict, r.Position, r.Action, string(r.Value), string(r.Probability), codes(r.Warnings)}, " | ")
			want := strings.Join([]string{row.verdict, row.position, row.action, row.value, row.share, row.warnings}, " | ")
			if got != want {
				t.Errorf("got  %s\nwant %s\n%s", got, want, r.Text)
			}
		})
	}
}

// 0.045 lies (0.045 − 0.020)/(0.050 − 0.020) = 83.3 % of the way from band to wear limit.
func TestAllowanceIsShown(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	r := judgeOne(t, h, `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.008,"upper":0.020},"wear_limit":{"upper":0.050}},"unit":"mm","readings":[{"value":0.045}],"stage":"as_found","instrument":{"standard_uncertainty":0.001}}`)
	if r.Allowance != "0.833" || !strings.Contains(r.Text, "83 %") {
		t.Errorf("%s %q", r.Allowance, r.Text)
	}
}

// Four head nuts after the first run, 22 N·m by a policy of 5 %: each nut is judged by itself.
func TestEveryNutIsJudgedByItself(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	r := judgeOne(t, h, `{"caller_spec":{"kind":"torque","unit":"N·m","value_form":"single","target":22,"policy":{"percent":5}},"unit":"N·m","how":"check","readings":[{"value":21,"position":"1"},{"value":24,"position":"2"},{"value":15,"position":"3"},{"value":22,"position":"4"}]}`)
	var each []string
	for _, f := range r.Readings {
		each = append(each, f.Verdict+" "+f.Because)
	}
	if got := strings.Join(each, ", "); got != "pass , not_judged check_high, fail , pass " {
		t.Errorf("each: %s", got)
	}
	if r.Verdict != "fail" || r.Value != "15" || !strings.Contains(codes(r.Warnings), "relaxed") {
		t.Errorf("%+v", r)
	}
}

// 0.50 before, 0.40 added, 0.15 after with u 0.02 each: 0.05 left over against U = 2·√2·0.02 = 0.0566. Common
// practice, no source.
func TestClosures(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, row := range []struct {
		name, after, outcome, residual, first, text string
	}{
		{"0.05 left over", "0.15", "explained", "0.05", "", "it adds up: 0.05 mm left over, within ± 0.06 mm"},
		{"0.057 left over, which rounds to the bound and is more", "0.157", "unexplained", "0.057", "suspect_shim_thinner", "it does not add up: 0.06 mm left over, more than ± 0.0566 mm"},
		{"0.12 left over", "0.22", "unexplained", "0.12", "suspect_shim_thinner", "it does not add up: 0.12 mm left over, more than ± 0.06 mm"},
		{"as before", "0.50", "unexplained", "0.40", "suspect_not_changed", "it does not add up: 0.40 mm left over, more than ± 0.06 mm"},
		{"the other way round", "0.90", "unexplained", "0.80", "suspect_other_way_round", "it does not add up: 0.80 mm left over, more than ± 0.06 mm"},
		{"tighter than expected", "0.03", "unexplained", "-0.07", "suspect_dirt_under_shim", "it does not add up: -0.07 mm left over, more than ± 0.06 mm"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			w := post(h, "/v1/closures", `{`+stack+`"before":{"readings":[{"value":0.50}],"instrument":{"standard_uncertainty":0.02}},"after":{"readings":[{"value":`+row.after+`}],"instrument":{"standard_uncertainty":0.02}},"added":0.40,"trace":true}`)
			var a struct {
				Trace    []struct{ Code, Text string }
				Outcome  string
				Text     string
				Residual json.Number
				Expanded json.Number `json:"expanded_uncertainty"`
				Suspects []struct{ Code, Text string }
			}
			if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil || w.Code != 200 {
				t.Fatalf("%d %s", w.Code, w.Body)
			}
			first, _, _ := strings.Cut(codes(a.Suspects), " ")
			if U, _ := a.Expanded.Float64(); a.Outcome != row.outcome || a.Text != row.text || string(a.Residual) != row.residual || first != row.first || math.Abs(U-0.0566) > 0.0001 || codes(a.Trace) != "trace_before trace_added trace_expected trace_after trace_residual" {
				t.Errorf("got %+v", a)
			}
		})
	}
}
