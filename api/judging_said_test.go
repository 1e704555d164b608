package api_test

import (
	"encoding/json"
	"net/http/httptest"
	"strings"
	"testing"
)

// What a line says is what was judged.
func TestWhatALineSays(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const turned = `"caller_spec":{"kind":"torque","unit":"N·m","value_form":"torque_angle","band":{"lower":22,"upper":26},"angle":90,"angle_tolerance":5},"unit":"N·m",`
	for _, row := range []struct{ name, check, says, warnings string }{
		{"an angle, and not the torque beside it", turned + `"readings":[{"value":300,"angle":90}]`, "in order: 90°; allowed: 90° ±5°; accept;", "torque_not_judged"},
		{"an angle that is short", turned + `"readings":[{"value":24,"angle":80.5}]`, "the angle is too small: 80.5°; allowed: 90° ±5°;", "angle_short torque_not_judged"},
		{"over a free blade, the thickest of the set", `"caller_spec":{"kind":"dimension","unit":"mm","decimals":2,"band":{"lower":0.08,"upper":0.35}},"unit":"mm","readings":[{"blades":[{"size":0.30,"feel":"free"},{"size":0.35,"feel":"free"}]}]`,
			"more than 0.35 mm", ""},
		{"at or over a dragging one", `"caller_spec":{"kind":"dimension","unit":"mm","decimals":2,"band":{"lower":0.08,"upper":0.35}},"unit":"mm","readings":[{"blades":[{"size":0.30,"feel":"free"},{"size":0.35,"feel":"drag"}]}]`,
			"at least 0.35 mm", ""},
		{"under the thinnest blade", `"caller_spec":{"kind":"dimension","unit":"mm","decimals":2,"band":{"lower":0.08,"upper":0.35}},"unit":"mm","readings":[{"blades":[{"size":0.05,"feel":"forced"}]}]`,
			"less than 0.05 mm", ""},
		{"nothing read: what is allowed is said to be", stack + `"readings":[]`, "; allowed: 0.10–0.40 mm; measure again", ""},
		{"on the wear limit all is used", `"spec":"pl-85/counter-shaft/axial-play","unit":"mm","stage":"as_found","readings":[{"value":0.50},{"value":0.50},{"value":0.50}],"instrument":{"standard_uncertainty":0}`,
			"(100 % of the allowance used): 0.50 mm", "worn_but_serviceable"},
		{"what is not nothing does not look like it", `"caller_spec":{"kind":"dimension","unit":"mm","band":{"upper":2}},"unit":"mm","readings":[{"value":0.4}],"instrument":{"standard_uncertainty":0.1}`,
			"inside: 0.4 mm (0.2 to 1 mm)", ""},
		{"an instrument that nobody knows", stack + `"readings":[{"value":0.2}],"instrument":{"kind":"dail"}`, "inside", "unknown_instrument no_uncertainty"},
		{"one that nobody knows, with a figure", stack + `"readings":[{"value":0.2}],"instrument":{"kind":"dail","standard_uncertainty":0.01}`, "inside", ""},
		{"a wrench on a length", stack + `"readings":[{"value":0.2}],"instrument":{"kind":"click_wrench"}`, "inside", "instrument_of_other_kind no_uncertainty"},
		{"a dial on a torque", bolt + `"readings":[{"value":30}],"instrument":{"kind":"dial"}`, "inside", "instrument_of_other_kind no_uncertainty"},
	} {
		r := judgeOne(t, h, `{`+row.check+`}`)
		if !strings.Contains(r.Text, row.says) || codes(r.Warnings) != row.warnings {
			t.Errorf("%s: %q, warnings %q", row.name, r.Text, codes(r.Warnings))
		}
	}
	w := post(h, "/v1/evaluations", `{"checks":[{`+turned+`"readings":[{"value":300,"angle":88}]}]}`)
	if !strings.Contains(w.Body.String(), `"margin":{"to_lower":3,"to_upper":7,"unit":"°"}`) {
		t.Errorf("the margin of an angle: %s", w.Body)
	}
}

// In an address an instrument is one of those that are listed.
func TestAnInstrumentThatNobodyKnowsInAnAddress(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, what := range []string{"verdict?value=0.15&unit=mm&", "measuring-plan?", "band.svg?value=0.15&unit=mm&"} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest("GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-play/"+what+"instrument=dail", nil))
		var p struct {
			Code   string
			Errors []struct{ Parameter, Fix string }
		}
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != 400 || p.Code != "unknown_instrument" || p.Errors[0].Parameter != "instrument" || !strings.Contains(p.Errors[0].Fix, "dial") {
			t.Errorf("%s: %d %s", what, w.Code, w.Body)
		}
	}
}
