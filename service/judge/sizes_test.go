package judge_test

import (
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func size(sign int, ins measure.Instrument, vs ...string) judge.Size {
	return judge.Size{Part: map[int]string{1: "bore", -1: "piston"}[sign], Sign: sign, Readings: values(vs...), Instrument: ins}
}

func warm(z judge.Size, celsius, expansion string) judge.Size {
	z.Celsius, z.HasTemp, z.Expansion, z.HasExp = dec(celsius), true, dec(expansion), true
	return z
}

func gauged(z judge.Size, celsius, expansion string) judge.Size {
	z.Gauge, z.HasGauge = dec(celsius), true
	if expansion != "" {
		z.GaugeExp, z.HasGaugeExp = dec(expansion), true
	}
	return z
}

func id(name string, u float64) measure.Instrument {
	return measure.Instrument{ID: name, Standard: measure.Some(u)}
}

// Each row is worked by hand from value = Σ sign · size and L20 = L · (1 + α_i (t_i − 20) − α (t − 20)).
func TestRulesOfSizes(t *testing.T) {
	t.Parallel()
	two := mm("0.030", "0.050")
	two.Decimals = 3
	worst := with(two, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} })
	one := with(two, func(s *spec.Spec) { s.Band = quantity.AtMost(dec("0.050")) })
	loose := with(two, func(s *spec.Spec) { s.Points.Combine = spec.Max })
	few := with(two, func(s *spec.Spec) { s.Points.Minimum = 2 })
	limit := func(a float64) measure.Instrument { return measure.Instrument{Accuracy: measure.Some(a)} }
	for _, row := range []struct {
		name string
		s    *spec.Spec
		z    []judge.Size
		w    want
	}{
		{"each size is the mean of its places", two, []judge.Size{size(1, u(0.001), "52.06", "52.07"), size(-1, u(0.001), "52.02", "52.03")},
			want{verdict: judge.Pass, value: "0.040", lower: "0.037171573", upper: "0.042828427", basis: judge.Derived}},
		{"against_lower and against_upper: tightest and loosest pairing", worst, []judge.Size{size(1, u(0), "52.06", "52.07"), size(-1, u(0), "52.02", "52.03")},
			want{verdict: judge.Pass, p: 0.999, value: "0.040", action: judge.AcceptWithNote, warning: "uneven_places"}},
		{"the loosest pairing is over", worst, []judge.Size{size(1, u(0.0001), "52.06", "52.071"), size(-1, u(0.0001), "52.02", "52.02")}, want{verdict: judge.Fail, position: judge.Above}},
		{"the tightest pairing is under", worst, []judge.Size{size(1, u(0.0001), "52.05", "52.06"), size(-1, u(0.0001), "52.02", "52.021")}, want{verdict: judge.Fail, position: judge.Below}},
		{"one-sided: the worst pairing", one, []judge.Size{size(1, u(0.0001), "52.06", "52.071"), size(-1, u(0.0001), "52.02", "52.02")}, want{verdict: judge.Fail, value: "0.0455"}},
		{"a stated combine: the loosest pairing is the value", loose, []judge.Size{size(1, u(0.0001), "52.06", "52.065"), size(-1, u(0.0001), "52.02", "52.02")}, want{verdict: judge.Pass, value: "0.045"}},
		{"a sign twice: two depths and a gasket", two, []judge.Size{size(1, u(0.001), "30.10"), size(-1, u(0.001), "29.50"), {Part: "gasket", Sign: -1, Readings: values("0.56"), Instrument: u(0.001)}},
			want{verdict: judge.Pass, value: "0.040", lower: "0.036535898", upper: "0.043464102"}},
		{"one instrument for both: its error cancels", two, []judge.Size{size(1, id("m", 0.1), "52.06"), size(-1, id("m", 0.1), "52.02")}, want{verdict: judge.Pass, lower: "0.040", upper: "0.040"}},
		{"one instrument of two figures: the difference stays", two, []judge.Size{size(1, id("m", 0.003), "52.06"), size(-1, id("m", 0.001), "52.02")}, want{verdict: judge.Pass, lower: "0.036", upper: "0.044"}},
		{"two instruments: in squares", two, []judge.Size{size(1, id("m", 0.003), "52.06"), size(-1, id("n", 0.004), "52.02")}, want{verdict: judge.Pass, lower: "0.030", upper: "0.050"}},
		{"limits of error: U is at most their sum", two, []judge.Size{size(1, limit(0.005), "52.06"), size(-1, limit(0.001), "52.02")}, want{verdict: judge.Pass, lower: "0.034112159", upper: "0.045887841"}},
		{"two equal limits of error: 2u is less than their sum", two, []judge.Size{size(1, limit(0.004), "52.06"), size(-1, limit(0.004), "52.02")}, want{verdict: judge.Pass, lower: "0.033468027", upper: "0.046531973"}},
		{"a size without uncertainty leaves the check without", two, []judge.Size{size(1, u(0.001), "52.06"), size(-1, measure.Instrument{}, "52.02")}, want{verdict: judge.Pass, warning: "no_uncertainty"}},
		{"a percentage is of each size", two, []judge.Size{size(1, measure.Instrument{Percent: measure.Some(0.01)}, "52.06"), size(-1, u(0), "52.02")}, want{verdict: judge.Pass, lower: "0.034794", upper: "0.045206"}},
		{"a warm part: 50·23e-6·10 = 0.0115 less", two, []judge.Size{warm(size(1, u(0), "50.05"), "30", "0.000023"), size(-1, u(0), "50.00")}, want{verdict: judge.Pass, value: "0.03849", warning: "temperature_differs"}},
		{"2 K apart is no difference", two, []judge.Size{warm(size(1, u(0), "50.04"), "22", "0.00002"), size(-1, u(0), "50.00")}, want{verdict: judge.Pass, value: "0.038", noWarnings: true}},
		{"the same warmth in part and gauge of steel", two, []judge.Size{gauged(warm(size(1, u(0), "50.04"), "21", "0.0000115"), "21", ""), size(-1, u(0), "50.00")}, want{verdict: judge.Pass, value: "0.040", noWarnings: true}},
		{"a gauge of another expansion", two, []judge.Size{gauged(warm(size(1, u(0), "50.04"), "21", "0.0000115"), "21", "0.0000215"), size(-1, u(0), "50.00")}, want{verdict: judge.Pass, value: "0.0405"}},
		{"nothing read of one part", two, []judge.Size{size(1, u(0), "50.04"), size(-1, u(0))}, want{verdict: judge.NotJudged, basis: judge.Missing}},
		{"too few places of each part", few, []judge.Size{size(1, u(0), "50.04"), size(-1, u(0), "50.00", "50.00")}, want{verdict: judge.Pass, warning: "few_places"}},
		{"one repeat is few", two, []judge.Size{{Sign: 1, Readings: []measure.Reading{repeats("50.04")}, Instrument: u(0)}, size(-1, u(0), "50.00")}, want{verdict: judge.Pass, warning: "few_repeats"}},
		{"four repeats of a part join in squares: s/√4 of 0.02 steps is 0.01291", two, []judge.Size{{Sign: 1, Readings: []measure.Reading{repeats("50.01", "50.03", "50.05", "50.07")}, Instrument: u(0)}, size(-1, u(0), "50.00")},
			want{verdict: judge.ConditionalPass, value: "0.040", lower: "0.014180111", upper: "0.065819889"}},
		{"implausible: 500 mm for 50", two, []judge.Size{size(1, u(0), "500.04"), size(-1, u(0), "50.00")}, want{verdict: judge.NotJudged, basis: judge.Implausible, action: judge.Ask}},
		{"a slip of ten in the clearance", two, []judge.Size{size(1, u(0), "50.40"), size(-1, u(0), "50.00")}, want{verdict: judge.Fail, warning: "possible_slip"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			look(t, judge.Check{Spec: row.s, Unit: quantity.Millimetre, Sizes: row.z}, row.w)
		})
	}
}

// What one place, or a set of them, says beyond the gauge; worked by hand.
func TestRulesBeyondTheGauge(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	minmax := with(s, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} })
	top := with(s, func(s *spec.Spec) { s.Band = quantity.AtMost(dec("0.40")) })
	worn := with(s, func(s *spec.Spec) { s.WearLimit = quantity.AtMost(dec("0.50")) })
	in := blades("0.20", "drag", "0.25", "forced")
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"all under the band at every place", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.05", "refused"), blades("0.08", "refused")}}, want{verdict: judge.Fail, basis: judge.BelowGauge, position: judge.Below, upper: "0.065", action: judge.Adjust}},
		{"all over the band", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.40", "free", "0.45", "free"), blades("0.40", "free", "0.50", "free")}}, want{verdict: judge.Fail, basis: judge.AboveGauge, position: judge.Above, lower: "0.475"}},
		{"one over and one under say nothing together", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.40", "free", "0.45", "free"), blades("0.05", "refused")}}, want{verdict: judge.NotJudged, basis: judge.AboveGauge, action: judge.MeasureAgain}},
		{"one over among several, held to the mean", judge.Check{Spec: s, Readings: []measure.Reading{in, blades("0.40", "free", "0.45", "free")}}, want{verdict: judge.NotJudged, basis: judge.AboveGauge}},
		{"one over among several, held at the worst place", judge.Check{Spec: minmax, Readings: []measure.Reading{in, blades("0.40", "free", "0.45", "free")}}, want{verdict: judge.Fail, position: judge.Above, lower: "0.45"}},
		{"a one-sided limit is held at the worst place", judge.Check{Spec: top, Readings: []measure.Reading{in, blades("0.40", "free", "0.45", "free")}}, want{verdict: judge.Fail, position: judge.Above}},
		{"over the last blade, which lies inside", judge.Check{Spec: top, Readings: []measure.Reading{in, blades("0.30", "free", "0.35", "free")}}, want{verdict: judge.NotJudged, basis: judge.AboveGauge}},
		{"past the wear limit", judge.Check{Spec: worn, Stage: judge.AsFound, Readings: []measure.Reading{blades("0.50", "free", "0.55", "free")}}, want{verdict: judge.Fail, position: judge.WornOut, action: judge.Replace}},
		{"as found without a wear limit", judge.Check{Spec: s, Stage: judge.AsFound, Readings: []measure.Reading{blades("0.50", "free", "0.55", "free")}}, want{verdict: judge.Fail, warning: "no_wear_limit", action: judge.Ask}},
		{"by feel of the blades", judge.Check{Spec: s, How: "estimated", Readings: []measure.Reading{blades("0.05", "refused")}}, want{verdict: judge.ConditionalFail, because: "estimated"}},
		{"not judged, one known end", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.30", "free", "0.35", "free")}}, want{verdict: judge.NotJudged, lower: "0.35", next: "try_thicker_blade_or_dial"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.Millimetre
			look(t, row.c, row.w)
			if r := judge.Judge(row.c); r.HasValue || r.HasLower && r.HasUpper {
				t.Errorf("a value or two ends: %+v", r)
			}
		})
	}
}
