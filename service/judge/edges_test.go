package judge_test

import (
	"math"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Rows at the edge of a clause: one unit of the grid, one place, one digit either way. Worked by hand.
func TestEdgesOfTheRules(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	minmax := with(s, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} })
	spread := with(mm("0", "0.10"), func(s *spec.Spec) { s.Points.Combine = spec.Spread })
	most := with(s, func(s *spec.Spec) { s.Band = quantity.AtMost(dec("0.40")) })
	worn := with(mm("0.008", "0.020"), func(s *spec.Spec) { s.Decimals, s.WearLimit = 3, quantity.AtMost(dec("0.050")) })
	twice := with(s, func(s *spec.Spec) { s.Points.Minimum = 2 })
	single := &spec.Spec{Kind: spec.Torque, Unit: "N·m", ValueForm: spec.Single, Target: dec("28"), HasTarget: true, PolicyPercent: dec("10"), HasPolicy: true}
	turn := &spec.Spec{Kind: spec.Torque, Unit: "N·m", ValueForm: spec.TorqueAngle, Target: dec("20"), HasTarget: true, TurnAngle: dec("90"), HasTurnAngle: true}
	far := values("9000")
	far[0].Angle, far[0].HasAngle = dec("90"), true
	for _, row := range []struct {
		name string
		unit quantity.Unit
		c    judge.Check
		w    want
	}{
		{"two places of four repeats: √(s²/4 + s²/4)/2 is 0.004564", "mm", judge.Check{Spec: s, Readings: []measure.Reading{repeats("0.30", "0.31", "0.32", "0.33"), repeats("0.20", "0.21", "0.22", "0.23")}},
			want{verdict: judge.Pass, value: "0.265", lower: "0.255871291", upper: "0.274128709", noWarnings: true}},
		{"a range of brackets that lie apart", "mm", judge.Check{Spec: spread, Readings: []measure.Reading{blades("0.10", "drag", "0.12", "forced"), blades("0.14", "drag", "0.16", "forced")}},
			want{verdict: judge.Pass, value: "0.04", lower: "0.02", upper: "0.06"}},
		{"a resolution in thou of a range in mm", "thou", judge.Check{Spec: spread, Readings: values("10", "11"), Instrument: measure.Instrument{Resolution: measure.Some(0.1)}},
			want{verdict: judge.Pass, value: "0.0254", lower: "0.018215795", upper: "0.032584205"}},
		{"a resolution of a corrected range", "mm", judge.Check{Spec: spread, Readings: values("0.30", "0.36"), Instrument: measure.Instrument{Resolution: measure.Some(0.01), Correction: measure.Correction{TipAngle: dec("60")}}},
			want{verdict: judge.Pass, value: "0.03", lower: "0.015857864", upper: "0.044142136"}},
		{"the probability under one upper limit", "mm", judge.Check{Spec: most, Readings: values("0.39"), Instrument: u(0.02)}, want{verdict: judge.ConditionalPass, p: 0.691}},
		{"a slip of the lowest place alone", "mm", judge.Check{Spec: minmax, Readings: values("0.03", "0.20"), Instrument: u(0)}, want{verdict: judge.Fail, warning: "possible_slip"}},
		{"no slip is looked for on one side", "mm", judge.Check{Spec: most, Readings: values("4"), Instrument: u(0)}, want{verdict: judge.Fail, noWarnings: true}},
		{"a slip of a single figure under a policy", "N·m", judge.Check{Spec: single, Readings: values("280"), Instrument: u(0)}, want{verdict: judge.Fail, warning: "possible_slip"}},
		{"an angle is judged whatever the torque", "N·m", judge.Check{Spec: turn, Readings: far}, want{verdict: judge.Pass}},
		{"exactly the upper band, as found: no wear used", "mm", judge.Check{Spec: worn, Stage: judge.AsFound, Readings: values("0.020"), Instrument: u(0)}, want{verdict: judge.Pass, noWarnings: true, action: judge.Accept}},
		{"a thousandth over it: worn", "mm", judge.Check{Spec: worn, Stage: judge.AsFound, Readings: values("0.021"), Instrument: u(0)}, want{verdict: judge.Pass, warning: "worn_but_serviceable"}},
		{"exactly as many places as asked", "mm", judge.Check{Spec: twice, Readings: values("0.2", "0.2"), Instrument: u(0)}, want{verdict: judge.Pass, noWarnings: true}},
		{"exactly as many places of each size", "mm", judge.Check{Spec: twice, Sizes: []judge.Size{size(1, u(0), "50.2", "50.2"), size(-1, u(0), "50.0", "50.0")}}, want{verdict: judge.Pass, noWarnings: true}},
		{"the tightest pairing as the value", "mm", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Points.Combine = spec.Min }), Sizes: []judge.Size{size(1, u(0), "50.20", "50.24"), size(-1, u(0), "50.00", "50.02")}},
			want{verdict: judge.Pass, value: "0.18"}},
		{"U of exactly half the band is not too coarse", "mm", judge.Check{Spec: mm("0.10", "0.14"), Readings: values("0.12"), Instrument: u(0.01)}, want{verdict: judge.Pass, noWarnings: true}},
		{"repeats of two places of a size", "mm", judge.Check{Spec: s, Sizes: []judge.Size{{Sign: 1, Readings: []measure.Reading{repeats("50.20", "50.21", "50.22", "50.23"), repeats("50.20", "50.21", "50.22", "50.23")}, Instrument: u(0)}, size(-1, u(0), "50.0")}},
			want{verdict: judge.Pass, value: "0.215", lower: "0.205871291", upper: "0.224128709"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = row.unit
			look(t, row.c, row.w)
		})
	}
}

func TestTheRatioOfACoarseInstrumentIsNamed(t *testing.T) {
	t.Parallel()
	r := judge.Judge(judge.Check{Spec: mm("0.10", "0.12"), Unit: "mm", Readings: values("0.11"), Instrument: u(0.02)})
	if len(r.Warnings) != 1 || params(r.Warnings[0]) != "coarse_instrument 0.25" {
		t.Errorf("%v", r.Warnings)
	}
}

// What a planner is given before anything is judged, or the reason for nothing.
func TestHold(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	minmax := with(s, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} })
	for _, row := range []struct {
		name    string
		c       judge.Check
		because string
		held    [3]string // value, against lower, against upper
		u       float64   // negative: none
	}{
		{"places held to the mean", judge.Check{Spec: s, Readings: values("0.20", "0.30"), Instrument: u(0.01)}, "", [3]string{"0.25", "0.25", "0.25"}, 0.01},
		{"places held at the worst", judge.Check{Spec: minmax, Readings: values("0.20", "0.30")}, "", [3]string{"0.25", "0.20", "0.30"}, -1},
		{"sizes", judge.Check{Spec: minmax, Sizes: []judge.Size{size(1, u(0.003), "50.20", "50.30"), size(-1, u(0.004), "50.00")}}, "", [3]string{"0.25", "0.20", "0.30"}, 0.005},
		{"nothing read", judge.Check{Spec: s}, "missing", [3]string{}, -1},
		{"no band", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Band = quantity.Range{} }), Readings: values("0.2")}, "no_band", [3]string{}, -1},
		{"blades that contradict", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.2", "drag", "0.3", "drag")}}, "blades_contradict", [3]string{}, -1},
		{"not plausible", judge.Check{Spec: s, Readings: values("70")}, "implausible", [3]string{}, -1},
		{"sizes that are not plausible", judge.Check{Spec: s, Sizes: []judge.Size{size(1, u(0), "500"), size(-1, u(0), "50")}}, "implausible", [3]string{}, -1},
		{"a size of blades that contradict", judge.Check{Spec: s, Sizes: []judge.Size{{Sign: 1, Readings: []measure.Reading{blades("0.2", "drag", "0.3", "drag")}}}}, "blades_contradict", [3]string{}, -1},
		{"one reading of a form", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Form = true }), Readings: values("0.2")}, "few_places", [3]string{}, -1},
		{"under the gauge", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.05", "refused")}}, "below_gauge", [3]string{}, -1},
		{"units of two kinds", judge.Check{Spec: s, Unit: "N·m", Readings: values("0.2")}, "mixed_units", [3]string{}, -1},
	} {
		if row.c.Unit == "" {
			row.c.Unit = "mm"
		}
		h, because := judge.Hold(row.c)
		if because != row.because {
			t.Errorf("%s: %q, want %q", row.name, because, row.because)
			continue
		}
		if because != "" {
			continue
		}
		if got := [3]string{h.Value.Print(2, 2).String(), h.AgainstLower.Print(2, 2).String(), h.AgainstUpper.Print(2, 2).String()}; got != row.held {
			t.Errorf("%s: %v", row.name, got)
		}
		if h.HasStandard != (row.u >= 0) || row.u >= 0 && math.Abs(h.Standard-row.u) > 1e-12 || !h.Lower.Has || !h.Upper.Has {
			t.Errorf("%s: %+v", row.name, h)
		}
	}
}

// The tool decides what is good enough at the very edge: U of exactly a quarter of the band, and a declared 0.
func TestEdgesOfAPlan(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.50")
	own := func(s *spec.Spec, figure float64, unit quantity.Unit) judge.Fitness {
		p, ok := judge.PlanMeasuring(judge.Check{Spec: s, Unit: unit, Instrument: measure.Instrument{Kind: "own", Standard: measure.Some(figure)}})
		if !ok || len(p.Instruments) != 1 {
			t.Fatalf("%v %+v", ok, p)
		}
		return p.Instruments[0]
	}
	if f := own(s, 0.05, "mm"); !f.GoodEnough || f.Ratio != 2 || f.HasScatter || f.Repeats != 1 {
		t.Errorf("a quarter of the band: %+v", f)
	}
	if f := own(s, 0.0501, "mm"); f.GoodEnough {
		t.Errorf("over a quarter of the band: %+v", f)
	}
	if f := own(s, 0, ""); !f.GoodEnough || f.HasRatio || f.Guard.Lower.String() != "0.10" || f.Guard.Upper.String() != "0.50" {
		t.Errorf("a declared 0: %+v", f)
	}
	if f := own(s, 1, "thou"); math.Abs(f.Standard-0.0254) > 1e-12 {
		t.Errorf("thou: %+v", f)
	}
	if f := own(s, 0.1, "mm"); f.Guard.Lower.String() != "0.30" || f.Guard.Upper.String() != "0.30" {
		t.Errorf("one value is left: %+v", f)
	}
	if f := own(mm("0", "0"), 0.1, "mm"); f.GoodEnough {
		t.Errorf("a band without width: %+v", f)
	}
	ranged, _ := judge.PlanMeasuring(judge.Check{Spec: with(s, func(s *spec.Spec) { s.Points.Combine = spec.Spread })})
	if ranged.Places != 2 {
		t.Errorf("a range needs two places: %+v", ranged)
	}
}

// 0.37 0.41 0.39 0.41 beside an instrument of 0.002: s is 0.019149, the mean 0.395 lies 0.005 under the limit, so u must
// be 0.0025, and n is 0.019149²/(0.0025² − 0.002²) = 162.9: more than anyone repeats.
func TestRepeatsBesideAnInstrument(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		u    float64
		vs   []string
		want string
	}{
		{0.002, []string{"0.37", "0.41", "0.39", "0.41"}, ""},
		{0.001, []string{"0.37", "0.41", "0.39", "0.41"}, "more_repeats 70"}, // 0.00036667/(6.25e-6 − 1e-6) = 69.8
		{0.003, []string{"0.37", "0.41", "0.39", "0.41"}, ""},                // the instrument alone is too coarse
		{0, []string{"0.39", "0.39", "0.39", "0.39"}, ""},                    // proven as it is
	} {
		r := judge.Judge(judge.Check{Spec: mm("0.10", "0.40"), Unit: "mm", Readings: []measure.Reading{repeats(row.vs...)}, Instrument: u(row.u)})
		got := ""
		for _, n := range r.Next {
			if n.Code == "more_repeats" {
				got = params(n)
			}
		}
		if got != row.want {
			t.Errorf("u %v: %q, want %q", row.u, got, row.want)
		}
	}
}
