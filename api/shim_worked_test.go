package api_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func number(t *testing.T, n interface{ Float64() (float64, error) }) float64 {
	t.Helper()
	f, err := n.Float64()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func firstLines(list []shimOption, n int) []string {
	var out []string
	for _, o := range list[:min(n, len(list))] {
		out = append(out, shimLine(o))
	}
	return out
}

// A picked shim, and a demand that only it meets. Common practice, no source; the probabilities are those of a normal
// error with the uncertainties of reading and piece in squares.
func TestShimPlanWithAPickedShim(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	body := func(rest string) string {
		return strings.Replace(stackOf(notBelow, withU("0.42", "0.02"), onePlace, sizes(1500, 1900, 50, `,"tolerance":{"lower":-0.02,"upper":0.02}`),
			fits("p", `{"thickness":1.50,"measured":true}`)+rest), "%OFFSET%", "", 1)
	}
	const asked = `,"min_probability":0.95,"max_options":10`
	const picked = `,"on_hand":[{"thickness":1.785,"standard_uncertainty":0.003,"stamped":1.80}]`
	p := planned(t, h, body(asked))
	first, last := p.ToOrder[0], p.ToOrder[len(p.ToOrder)-1]
	if d := cmp.Diff([]string{"p 1.750 → 0.17", "p 1.800 → 0.12"}, []string{shimLine(first), shimLine(last)}); d != "" {
		t.Error(d)
	}
	if first.Predicted[0].Probability != "0.999" || last.Predicted[0].Probability != "0.807" || !first.Meets || last.Meets {
		t.Error(first.Predicted[0].Probability, last.Predicted[0].Probability)
	}
	p = planned(t, h, body(asked+picked))
	first = p.ToOrder[0]
	if shimLine(first) != "p 1.785 → 0.135" || first.Predicted[0].Probability != "0.958" || first.Predicted[0].Confirmed != "conditional_pass" || shimLine(p.FitNow[0]) != "p 1.785 → 0.135" {
		t.Error(shimLine(first), first.Predicted[0])
	}
	if codes(p.Warnings) != "stamp_differs_on_hand" {
		t.Error(codes(p.Warnings))
	}
	if p = planned(t, h, body(picked)); shimLine(p.ToOrder[0]) != "p 1.750 → 0.17" {
		t.Error("under the demand that nobody states 1.75 is first, not", shimLine(p.ToOrder[0]))
	}
}

// A fixed washer of 1.50 and a pack of thin shims, at most three. Common practice, no source.
func TestShimPlanOfAThinPack(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const place = `{"id":"p","max_pieces":3,"per_mm":[{"spec":"play","change":-1}]}`
	const thin = `{"thickness":0.10},{"thickness":0.15},{"thickness":0.20},{"thickness":0.30},{"thickness":0.50}`
	body := func(measured, rest string) string {
		return strings.Replace(stackOf(`"band":{"lower":0.10,"upper":0.30},"target":0.15`, measured, place, thin,
			`,"fitted":[{"place":"p","fixed":[{"thickness":1.50}],"pieces":[{"thickness":0.30}]}]`+rest), "%OFFSET%", "", 1)
	}
	p := planned(t, h, body(value("0.70"), ""))
	if d := cmp.Diff([]string{"p 0.50 0.20 0.15 → 0.15", "p 0.50 0.30 → 0.20"}, firstLines(p.ToOrder, 2)); d != "" {
		t.Error(d)
	}
	p = planned(t, h, body(withU("0.70", "0.06"), `,"min_probability":0.7`))
	if o := p.ToOrder[0]; shimLine(o) != "p 0.50 0.30 → 0.20" || o.NewPieces != 1 || o.Pieces != 2 {
		t.Error(shimLine(o), o.NewPieces, o.Pieces)
	}
}

// Depths of a case, a squeezed gasket and a shaft; cold, and hot over 80 mm with 70 K, 23e-6 against 11.5e-6. Common
// practice, no source.
func TestShimPlanFromDepths(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	size := func(part string, sign int, v string) string {
		return `{"part":"` + part + `","sign":` + strconv.Itoa(sign) + `,"readings":[{"value":` + v + `}],"instrument":{"standard_uncertainty":0.015}}`
	}
	measured := `"sizes":[` + strings.Join([]string{size("left depth", 1, "41.32"), size("right depth", 1, "38.90"), size("gasket", 1, "0.16"), size("shaft", -1, "79.60")}, ",") +
		`],"expansion":{"length":80,"unit":"mm","rise_k":70,"around_per_k":0.000023,"inside_per_k":0.0000115}`
	p := planned(t, h, strings.Replace(stackOf(`"band":{"lower":0.10,"upper":0.30},"target":0.20,"target_policy":"nearest"`, measured, leftRight, sizes(100, 600, 50, ""),
		`,"fitted":[{"place":"left","pieces":[]},{"place":"right","pieces":[]}]`), "%OFFSET%", `,"offset":{"between":["left","right"],"limit":0.10}`, 1))
	o := p.ToOrder[0]
	if d := cmp.Diff("left 0.300 | right 0.300 → 0.18", shimLine(o)); d != "" {
		t.Error(d)
	}
	if u := number(t, o.Predicted[0].Standard); u != 0.030 || o.Predicted[0].Hot != "0.2444" {
		t.Error(u, o.Predicted[0].Hot)
	}
	if now := p.Now[0]; now.Value != "0.78" || p.NoChange.Allowed {
		t.Error(now.Value, p.NoChange.Allowed)
	}
}

// Where grinding is allowed, what to grind a piece to stands beside the plan.
func TestShimPlanSaysWhatToGrind(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	both := `,"fitted":[{"place":"left","pieces":[{"thickness":1.00,"measured":true}]},{"place":"right","pieces":[{"thickness":1.00,"measured":true}]}],"offset_now":0.06`
	body := strings.Replace(stackOf(`"band":{"lower":0.10,"upper":0.40},"target":0.20`, value("0.62"), leftRight, sizes(1000, 1500, 50, ""), both), "%OFFSET%",
		`,"offset":{"between":["left","right"],"limit":0.10},"grind_to_size":true`, 1)
	w := post(h, "/v1/shim-plans", body)
	if w.Code != 200 || !strings.Contains(w.Body.String(), `"grind_to":[{"place":"left"`) && !strings.Contains(w.Body.String(), `"grind_to":[{"shims":"stack","place":"left"`) {
		t.Fatal(w.Code, w.Body)
	}
}

// What cannot be planned is an answer with its reason.
func TestShimPlanAtTheLimits(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	one := func(ladder, rest string) string {
		return strings.Replace(stackOf(notBelow, value("0.50"), onePlace, ladder, rest), "%OFFSET%", "", 1)
	}
	bevel := func(second string) string {
		band := `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.20},"target":0.15}`
		return `{"unit":"mm","caller_shims":[{"id":"bevel","grind_to_size":true,"specs":[{"id":"float",` + band + `},{"id":"lash",` + band + `}],"places":[` +
			`{"id":"pinion","per_mm":[{"spec":"float","change":-1},{"spec":"lash","change":-1}]},{"id":"wheel","per_mm":[{"spec":"float","change":-1},{"spec":"lash","change":` + second + `}]}],` +
			`"ladder":[` + sizes(900, 1200, 50, "") + `]}],"measured":[{"spec":"float","unit":"mm",` + value("0.30") + `},{"spec":"lash","unit":"mm",` + value("0.25") + `}],` +
			`"fitted":[{"place":"pinion","pieces":[{"thickness":1.00}]},{"place":"wheel","pieces":[{"thickness":1.00}]}]}`
	}
	for _, row := range []struct{ name, body, outcome, first string }{
		{"no ladder: what is on hand", one("", fits("p", `{"thickness":2.00}`)+`,"on_hand":[{"thickness":2.30}]`), "change", "p 2.30 → 0.20"},
		{"no ladder and nothing on hand", one("", fits("p", `{"thickness":2.00}`)), "none_in_band", ""},
		{"none on hand of what would fit", one("", fits("p", `{"thickness":2.00}`)+`,"on_hand":[{"thickness":2.30,"count":0}]`), "none_in_band", ""},
		{"a thousand on hand", one("", fits("p", `{"thickness":2.00}`)+`,"on_hand":[{"thickness":2.30,"count":1000}]`), "change", "p 2.30 → 0.20"},
		{"a stamp that is not what was measured", one("", fits("p", `{"thickness":2.00,"stamped":2.05,"measured":true}`)+`,"on_hand":[{"thickness":2.30}]`), "change", "p 2.30 → 0.20"},
		{"both places change both specs alike: a singular matrix", bevel("-1"), "change", ""},
		{"places that change them unlike", bevel("0.5"), "change", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := planned(t, h, row.body)
			if p.Outcome != row.outcome || row.first != "" && (len(p.ToOrder) == 0 || shimLine(p.ToOrder[0]) != row.first) {
				t.Error(p.Outcome, p.Text)
			}
		})
	}
}
