package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

type shimOption struct {
	Rank   int
	Text   string
	Places []struct {
		Shims, Place string
		Pieces       []struct {
			Thickness                  json.Number
			From, SKU, FromPlace, Unit string
		}
	}
	Predicted []struct {
		Spec, Unit, Verdict string
		Confirmed           string      `json:"verdict_if_confirmed"`
		Value               json.Number `json:"value"`
		Lowest, Highest     json.Number
		Standard            json.Number `json:"standard_uncertainty"`
		Probability         json.Number `json:"probability_within"`
		Deviation           json.Number `json:"target_deviation"`
		None                bool        `json:"no_uncertainty"`
		Hot                 json.Number
	}
	Offset    json.Number
	Offsets   []struct{ Shims string }
	NewPieces int `json:"new_pieces"`
	Pieces    int
	Meets     bool        `json:"meets_demand"`
	Value     json.Number `json:"value"`
	Miss      json.Number
	Allowed   bool
	Why       []string
	Reasons   []struct{ Code, Text string }
}

type shimPlan struct {
	Outcome, Reason, Text, Objective string
	Needed, Proven                   bool
	FitNow                           []shimOption `json:"fit_now"`
	ToOrder                          []shimOption `json:"to_order"`
	Rejected                         []shimOption
	NoChange                         shimOption `json:"no_change"`
	Nearest                          struct{ Tight, Loose shimOption }
	Thickness                        struct{ Lower, Upper, Ideal json.Number }
	Practical                        json.Number `json:"practical_target"`
	Refused                          []struct {
		Spec, Reason, Text string
		Places             []struct{ Place string }
		Next               []struct{ Code, Text string }
	} `json:"refused_points"`
	Order       []struct{ Display string }
	Sensitivity []struct{ Text string }
	Now         []judgedRow
	Next        []struct{ Code, Text string }
	Trace       []struct{ Code, Text string }
	Warnings    []struct{ Code, Text string }
	Cautions    []caution
}

func planned(t *testing.T, h http.Handler, body string) shimPlan {
	t.Helper()
	w := post(h, "/v1/shim-plans", body)
	if w.Code != 200 {
		t.Fatalf("%d %s", w.Code, w.Body)
	}
	var p shimPlan
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
		t.Fatalf("%v in %s", err, w.Body)
	}
	if !p.Proven || p.Text == "" || codes(p.Trace) == "" {
		t.Errorf("proven %t, text %q", p.Proven, p.Text)
	}
	return p
}

// shimLine is an option as "left 1.20 | right 1.20 → 0.22".
func shimLine(o shimOption) string {
	var b strings.Builder
	for i, p := range o.Places {
		if i > 0 {
			b.WriteString(" | ")
		}
		b.WriteString(p.Place)
		for _, c := range p.Pieces {
			b.WriteString(" " + c.Thickness.String())
		}
	}
	b.WriteString(" →")
	for _, p := range o.Predicted {
		b.WriteString(" " + p.Value.String())
	}
	return b.String()
}

func sizes(from, to, step int, tolerance string) string {
	var list []string
	for v := from; v <= to; v += step {
		list = append(list, fmt.Sprintf(`{"thickness":%d.%03d%s}`, v/1000, v%1000, tolerance))
	}
	return strings.Join(list, ",")
}

// stackOf is a request for a caller's stack of one or two places.
func stackOf(band, measured, places, ladder, rest string) string {
	return `{"unit":"mm","caller_shims":[{"id":"stack","specs":[{"id":"play","caller_spec":{"kind":"dimension","unit":"mm",` + band + `}}],"places":[` + places +
		`],"ladder":[` + ladder + `]` + "%OFFSET%" + `}],"measured":[{"spec":"play","unit":"mm",` + measured + `}]` + rest + `}`
}

const (
	onePlace  = `{"id":"p","per_mm":[{"spec":"play","change":-1}]}`
	leftRight = `{"id":"left","per_mm":[{"spec":"play","change":-1}]},{"id":"right","per_mm":[{"spec":"play","change":-1}]}`
	notBelow  = `"band":{"lower":0.10,"upper":0.40},"target":0.10,"target_policy":"not_below"`
)

func value(v string) string { return `"readings":[{"value":` + v + `}]` }

func withU(v, u string) string {
	return value(v) + `,"instrument":{"standard_uncertainty":` + u + `}`
}

func fits(place, pieces string) string {
	return `,"fitted":[{"place":"` + place + `","pieces":[` + pieces + `]}]`
}

// The worked cases of the trade. Common practice, no source.
func TestShimPlansOfTheTrade(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	sides := `,"offset":{"between":["left","right"],"limit":0.10}`
	both := `,"fitted":[{"place":"left","pieces":[{"thickness":1.00,"measured":true}]},{"place":"right","pieces":[{"thickness":1.00,"measured":true}]}]`
	rows := []struct {
		name, body, offset string
		outcome            string
		needed             bool
		first              []string
	}{
		{"one place", stackOf(notBelow, value("0.50"), onePlace, sizes(2000, 2600, 150, ""), fits("p", `{"thickness":2.00}`)), "",
			"change", true, []string{"p 2.300 → 0.20", "p 2.150 → 0.35"}},
		{"in order", stackOf(notBelow, value("0.13"), onePlace, sizes(1700, 2100, 50, ""), fits("p", `{"thickness":1.90}`)), "",
			"leave", false, []string{"p 1.850 → 0.18"}},
		{"coarse ladder", stackOf(`"band":{"lower":0.05,"upper":0.20},"target":0.125`, value("0.28"), onePlace, sizes(1500, 2000, 250, ""), fits("p", `{"thickness":1.50}`)), "",
			"none_in_band", true, nil},
		{"two sides", stackOf(`"band":{"lower":0.10,"upper":0.40},"target":0.20`, value("0.62"), leftRight, sizes(1000, 1500, 50, ""), both), sides,
			"change", true, []string{"left 1.200 | right 1.200 → 0.22"}},
		{"two sides, off centre", stackOf(`"band":{"lower":0.10,"upper":0.40},"target":0.20`, value("0.62"), leftRight, sizes(1000, 1500, 50, ""), both+`,"offset_now":0.06`), sides,
			"change", true, []string{"left 1.150 | right 1.250 → 0.22"}},
		{"tolerance as two ends", stackOf(notBelow, withU("0.42", "0.02"), onePlace, sizes(1600, 1900, 50, `,"tolerance":{"lower":-0.02,"upper":0.02}`), fits("p", `{"thickness":1.50,"measured":true}`)), "",
			"change", true, []string{"p 1.750 → 0.17", "p 1.700 → 0.22"}},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p := planned(t, h, strings.Replace(row.body, "%OFFSET%", row.offset, 1))
			if p.Outcome != row.outcome || p.Needed != row.needed {
				t.Errorf("%s %t: %s", p.Outcome, p.Needed, p.Text)
			}
			var got []string
			for _, o := range p.ToOrder[:min(len(row.first), len(p.ToOrder))] {
				got = append(got, shimLine(o))
			}
			if d := cmp.Diff(row.first, got); d != "" {
				t.Error(d)
			}
			if len(p.ToOrder) > 0 && !strings.Contains(p.Text, p.ToOrder[0].Text) && row.outcome == "change" {
				t.Error("the answer does not say first what to fit:", p.Text)
			}
		})
	}
}

func TestShimPlanFindsNothing(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	p := planned(t, h, strings.Replace(stackOf(`"band":{"lower":0.05,"upper":0.20},"target":0.125`, value("0.28"), onePlace, sizes(1500, 2000, 250, ""), fits("p", `{"thickness":1.50}`)), "%OFFSET%", "", 1))
	got := []string{p.Thickness.Lower.String(), p.Thickness.Upper.String(), p.Thickness.Ideal.String(), p.Nearest.Tight.Value.String(), p.Nearest.Tight.Miss.String(),
		p.Nearest.Loose.Value.String(), p.Nearest.Loose.Miss.String(), fmt.Sprint(p.NoChange.Allowed), strings.Join(p.NoChange.Why, " ")}
	if d := cmp.Diff([]string{"1.580", "1.730", "1.655", "0.030", "0.020", "0.280", "0.080", "false", "over_aim above"}, got); d != "" {
		t.Error(d)
	}
	if !strings.Contains(p.Text, "1.580–1.730 mm") || len(p.ToOrder)+len(p.FitNow) != 0 {
		t.Error(p.Text)
	}
}

// The counter shaft of the demo, as the answers of the look-ups describe it.
func TestShimPlanFromTheCatalogue(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	p := planned(t, h, `{"unit":"mm","variant":"b","shims":["pl-85/counter-shaft/stack-shims"],
	 "measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.62}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}],
	 "fitted":[{"place":"left","pieces":[{"thickness":1.00,"measured":true}],"fixed":[],"locked":false},{"place":"right","pieces":[{"thickness":1.00,"measured":true}]}],
	 "offset_now":0,"on_hand":[{"thickness":1.20,"count":2}],"max_options":5}`)
	if p.Outcome != "change" || len(p.FitNow) != 1 || shimLine(p.FitNow[0]) != "left 1.20 | right 1.20 → 0.24" || p.FitNow[0].NewPieces != 0 {
		t.Error(p.Text)
	}
	for _, o := range p.FitNow {
		for _, pl := range o.Places {
			for _, c := range pl.Pieces {
				if c.From == "order" {
					t.Error("fit_now buys", c)
				}
			}
		}
	}
	if len(p.ToOrder) != 5 || p.ToOrder[0].Offset.String() != "0.00" || len(p.Order) != 1 || p.Order[0].Display != "2 × 1.25 mm PL-SH-125" {
		t.Error(p.Order, len(p.ToOrder))
	}
	have := map[string]bool{}
	for _, c := range p.Cautions {
		have[c.Code] = true
	}
	for _, code := range []string{"circlip_eye_protection", "demo_values", "verify_with_maker"} {
		if !have[code] {
			t.Error("the caution", code, "is missing")
		}
	}
	if !strings.Contains(codes(p.Next), "renew_circlip") || !strings.Contains(codes(p.Next), "turn_through") || strings.Contains(codes(p.Next), "no sentence") {
		t.Error(codes(p.Next))
	}
}

// Valves of one head share one box, and a valve under which no blade enters keeps its bucket. Common practice, no source.
func TestShimPlanForValves(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	spec := func(id, lower, upper, target string) string {
		return `{"id":"` + id + `","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":` + lower + `,"upper":` + upper + `},"target":` + target + `}}`
	}
	place := func(id string) string { return `{"id":"` + id + `","per_mm":[{"spec":"` + id + `","change":-1}]}` }
	fitted := func(id, thickness string) string {
		return `{"place":"` + id + `","pieces":[{"thickness":` + thickness + `,"measured":true}]}`
	}
	read := func(id, reading string) string {
		return `{"spec":"` + id + `","unit":"mm","readings":[{` + reading + `}]}`
	}
	p := planned(t, h, `{"unit":"mm","caller_shims":[{"id":"buckets","specs":[`+strings.Join([]string{spec("IN1", "0.10", "0.16", "0.13"), spec("IN2", "0.10", "0.16", "0.13"),
		spec("EX1", "0.17", "0.23", "0.20"), spec("EX2", "0.17", "0.23", "0.20"), spec("EX3", "0.17", "0.23", "0.20")}, ",")+`],"places":[`+
		strings.Join([]string{place("IN1"), place("IN2"), place("EX1"), place("EX2"), place("EX3")}, ",")+`],"ladder":[`+sizes(2300, 2800, 25, "")+`]}],"measured":[`+
		strings.Join([]string{read("IN1", `"value":0.05`), read("IN2", `"value":0.13`), read("EX1", `"value":0.10`), read("EX2", `"value":0.26`),
			read("EX3", `"blades":[{"size":0.03,"feel":"refused"}]`)}, ",")+`],"fitted":[`+
		strings.Join([]string{fitted("IN1", "2.60"), fitted("IN2", "2.55"), fitted("EX1", "2.50"), fitted("EX2", "2.45"), fitted("EX3", "2.70")}, ",")+`]}`)
	if d := cmp.Diff("EX1 2.400 | EX2 2.500 | EX3 2.700 | IN1 2.525 | IN2 2.550 → 0.20 0.21 0.125 0.13", shimLine(p.ToOrder[0])); d != "" {
		t.Error(d)
	}
	if p.ToOrder[0].NewPieces != 2 || p.Objective != "fewest_new" || len(p.Order) != 2 {
		t.Error(p.ToOrder[0].NewPieces, p.Objective, p.Order)
	}
	if len(p.Refused) != 1 || p.Refused[0].Spec != "EX3" || p.Refused[0].Reason != "below_gauge" || !strings.Contains(codes(p.Refused[0].Next), "fit_trial_shim") {
		t.Error(p.Refused)
	}
	if !strings.Contains(codes(p.Next), "fit_trial_shim") {
		t.Error(codes(p.Next))
	}
}

func TestShimPlanInFiveLanguages(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	body := strings.Replace(stackOf(notBelow, withU("0.50", "0.01"), onePlace, sizes(2000, 2600, 150, ""), fits("p", `{"thickness":2.00}`)), "%OFFSET%", "", 1)
	seen := map[string]bool{}
	for _, lang := range []string{"en", "de", "fr", "it", "es"} {
		w := post(h, "/v1/shim-plans?lang="+lang, body)
		var p shimPlan
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != 200 {
			t.Fatal(w.Code, err)
		}
		if seen[p.Text] || strings.Contains(codes(p.Next)+codes(p.Trace)+codes(p.ToOrder[0].Reasons), "no sentence") {
			t.Error(lang, p.Text, codes(p.Next), codes(p.Trace), codes(p.ToOrder[0].Reasons))
		}
		seen[p.Text] = true
	}
}

// The same problem in another order of input is answered with the same bytes.
func TestShimPlanDoesNotDependOnOrder(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	a := `{"unit":"mm","caller_shims":[{"id":"s","specs":[{"id":"a","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.20}}},{"id":"b","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.20}}}],
	 "places":[{"id":"x","per_mm":[{"spec":"a","change":-1},{"spec":"b","change":0.5}]},{"id":"y","per_mm":[{"spec":"b","change":-1}]}],"ladder":[{"thickness":1.00,"sku":"A"},{"thickness":1.05,"sku":"B"},{"thickness":1.10,"sku":"C"}]}],
	 "measured":[{"spec":"a","unit":"mm","readings":[{"value":0.25}]},{"spec":"b","unit":"mm","readings":[{"value":0.12}]}],
	 "fitted":[{"place":"x","pieces":[{"thickness":1.00}]},{"place":"y","pieces":[{"thickness":1.00}]}],"on_hand":[{"thickness":1.07,"sku":"H"},{"thickness":1.02,"count":2}]}`
	b := `{"on_hand":[{"thickness":1.02,"count":2},{"thickness":1.07,"sku":"H"}],"fitted":[{"place":"y","pieces":[{"thickness":1.00}]},{"place":"x","pieces":[{"thickness":1.00}]}],
	 "measured":[{"spec":"b","unit":"mm","readings":[{"value":0.12}]},{"spec":"a","unit":"mm","readings":[{"value":0.25}]}],
	 "caller_shims":[{"id":"s","ladder":[{"thickness":1.10,"sku":"C"},{"thickness":1.00,"sku":"A"},{"thickness":1.05,"sku":"B"}],
	 "places":[{"id":"y","per_mm":[{"spec":"b","change":-1}]},{"id":"x","per_mm":[{"spec":"b","change":0.5},{"spec":"a","change":-1}]}],
	 "specs":[{"id":"b","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.20}}},{"id":"a","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.20}}}]}],"unit":"mm"}`
	one, two := post(h, "/v1/shim-plans", a), post(h, "/v1/shim-plans", b)
	if one.Code != 200 || two.Code != 200 {
		t.Fatal(one.Code, two.Code, one.Body, two.Body)
	}
	if d := cmp.Diff(one.Body.String(), two.Body.String()); d != "" {
		t.Error(d)
	}
}
