package judge_test

import (
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func repeats(vs ...string) measure.Reading {
	var r measure.Reading
	for _, v := range vs {
		r.Repeats = append(r.Repeats, dec(v))
	}
	return r
}

func with(s *spec.Spec, change func(*spec.Spec)) *spec.Spec {
	c := *s
	change(&c)
	return &c
}

// usual are the default instruments of the tests; the figures are common practice, no source.
func usual() []spec.Instrument {
	return []spec.Instrument{
		{Kind: "feeler"},
		{Kind: "dial", Unit: quantity.Millimetre, Standard: dec("0.010"), HasStandard: true},
		{Kind: "micrometer", Unit: quantity.Millimetre, Standard: dec("0.004"), HasStandard: true},
		{Kind: "click_wrench", Percent: dec("4"), HasPercent: true, SmallMax: dec("10"), SmallPercent: dec("6"), HasSmall: true},
		{Kind: "by_feel"},
	}
}

// Each row is a clause of the way readings are judged; the results are worked by hand.
func TestRulesOfPlacesAndUncertainty(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	minmax := with(s, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} })
	spread := with(mm("0", "0.10"), func(s *spec.Spec) { s.Points.Combine = spec.Spread })
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"a limit of error is ±a: U is a, not 2a/√3", judge.Check{Spec: s, Readings: values("0.37"), Instrument: measure.Instrument{Accuracy: measure.Some(0.03)}},
			want{verdict: judge.Pass, lower: "0.34", upper: "0.40"}},
		{"an expanded uncertainty with k = 3", judge.Check{Spec: s, Readings: values("0.37"), Instrument: measure.Instrument{Expanded: measure.Some(0.045), K: 3}},
			want{verdict: judge.Pass, lower: "0.34", upper: "0.40"}},
		{"an expanded uncertainty without k has k = 2", judge.Check{Spec: s, Readings: values("0.37"), Instrument: measure.Instrument{Expanded: measure.Some(0.03)}},
			want{verdict: judge.Pass, lower: "0.34", upper: "0.40"}},
		{"a percentage is of the judged value", judge.Check{Spec: s, Readings: values("0.20", "0.40"), Instrument: measure.Instrument{Percent: measure.Some(10)}},
			want{verdict: judge.Pass, lower: "0.27", upper: "0.33"}},
		{"the default of the kind", judge.Check{Spec: s, Readings: values("0.37"), Instrument: measure.Instrument{Kind: "dial"}, Defaults: usual()},
			want{verdict: judge.Pass, lower: "0.35", upper: "0.39"}},
		{"a declared figure goes before the default", judge.Check{Spec: s, Readings: values("0.37"), Instrument: measure.Instrument{Kind: "dial", Standard: measure.Some(0)}, Defaults: usual()},
			want{verdict: judge.Pass, lower: "0.37", upper: "0.37"}},
		{"the guard 1.65u is narrower", judge.Check{Spec: s, Guard: judge.Guard95, Readings: values("0.37"), Instrument: u(0.018)},
			want{verdict: judge.Pass, lower: "0.3403", upper: "0.3997"}},
		{"with guard U the same is not proven", judge.Check{Spec: s, Readings: values("0.37"), Instrument: u(0.018)},
			want{verdict: judge.ConditionalPass, lower: "0.334", upper: "0.406"}},
		{"1.65u never exceeds U", judge.Check{Spec: s, Guard: judge.Guard95, Readings: values("0.37"), Instrument: measure.Instrument{Accuracy: measure.Some(0.03)}},
			want{verdict: judge.Pass, lower: "0.341421162", upper: "0.398578838"}},
		{"averaging reduces no instrument", judge.Check{Spec: s, Readings: values("0.37", "0.37", "0.37", "0.37"), Instrument: u(0.02)},
			want{verdict: judge.ConditionalPass, lower: "0.33", upper: "0.41"}},
		{"three repeats tell no scatter", judge.Check{Spec: s, Readings: []measure.Reading{repeats("0.30", "0.31", "0.32")}, Instrument: u(0.01)},
			want{verdict: judge.Pass, value: "0.31", lower: "0.29", upper: "0.33", warning: "few_repeats", action: judge.AcceptWithNote}},
		{"four repeats: s/√4 of 0.30 0.31 0.32 0.33 is 0.006455", judge.Check{Spec: s, Readings: []measure.Reading{repeats("0.30", "0.31", "0.32", "0.33")}},
			want{verdict: judge.Pass, value: "0.315", lower: "0.302090056", upper: "0.327909944", noWarnings: true}},
		{"by feel the scatter joins the 20 %: √(0.063² + 0.006455²) = 0.06333", judge.Check{Spec: s, How: "estimated", Readings: []measure.Reading{repeats("0.30", "0.31", "0.32", "0.33")}},
			want{verdict: judge.ConditionalPass, because: "estimated", value: "0.315", lower: "0.188340351", upper: "0.441659649"}},
		{"repeats without scatter and without instrument leave 0", judge.Check{Spec: s, Readings: []measure.Reading{repeats("0.30", "0.30", "0.30", "0.30")}},
			want{verdict: judge.Pass, lower: "0.30", upper: "0.30", noWarnings: true}},
		{"Student's t at 95.45 % for three degrees is 3.30685 (scipy)", judge.Check{Spec: s, Coverage: "t", Readings: []measure.Reading{repeats("0.30", "0.31", "0.32", "0.33")}},
			want{verdict: judge.Pass, lower: "0.293654505", upper: "0.336345495"}},
		{"a scatter of next to nothing leaves the factor 2", judge.Check{Spec: s, Coverage: "t", Instrument: u(0.01), Readings: []measure.Reading{repeats("0.30", "0.30", "0.30001", "0.30")}},
			want{verdict: judge.Pass, lower: "0.280002475", upper: "0.320002525"}},
		{"the worst place is judged by its own value", judge.Check{Spec: minmax, Readings: values("0.09", "0.30"), Instrument: u(0.002)},
			want{verdict: judge.Fail, position: judge.Below, value: "0.195"}},
		{"a stated combine other than the mean is held against both limits", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Points.Combine = spec.Max }), Readings: values("0.05", "0.30"), Instrument: u(0.002)},
			want{verdict: judge.Pass, value: "0.30"}},
		{"no uncertainty: the values alone, and said so", judge.Check{Spec: s, Readings: values("0.40")}, want{verdict: judge.Pass, warning: "no_uncertainty", action: judge.AcceptWithNote}},
		{"a policy that requires an uncertainty", judge.Check{Spec: s, Readings: values("0.30"), Policy: spec.JudgePolicy{RequireUncertainty: true}},
			want{verdict: judge.NotJudged, because: "no_uncertainty", warning: "uncertainty_required", action: judge.MeasureAgain, next: "name_the_instrument"}},
		{"a range has √2 times the resolution", judge.Check{Spec: spread, Readings: values("0.30", "0.36"), Instrument: measure.Instrument{Standard: measure.Some(1), Resolution: measure.Some(0.01)}},
			want{verdict: judge.Pass, value: "0.06", lower: "0.031715729", upper: "0.088284271"}},
		{"a range of one place", judge.Check{Spec: spread, Readings: values("0.30"), Instrument: u(0.01)}, want{verdict: judge.NotJudged, because: "few_places", action: judge.MeasureAgain}},
		{"form refuses a single reading", judge.Check{Spec: with(mm("0", "0.10"), func(s *spec.Spec) { s.Form = true }), Readings: values("0.01"), Instrument: u(0.001)},
			want{verdict: judge.NotJudged, because: "few_places"}},
		{"the range of brackets: no less than 0, no more than the outermost ends", judge.Check{Spec: spread, Readings: []measure.Reading{blades("0.10", "drag", "0.15", "forced"), blades("0.15", "drag", "0.20", "forced")}},
			want{verdict: judge.Pass, value: "0.05", lower: "0.00", upper: "0.10"}},
		{"the blade tolerance moves both ends outward", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "drag", "0.40", "forced")}, Instrument: measure.Instrument{Tolerance: dec("0.005")}},
			want{verdict: judge.ConditionalPass, value: "0.35", lower: "0.345", upper: "0.405"}},
		{"a bracket ignores the figure of the instrument", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "drag", "0.40", "forced")}, Instrument: u(1)},
			want{verdict: judge.Pass, lower: "0.35", upper: "0.40"}},
		{"a lone blade is closed by 0.05 mm", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "free")}}, want{verdict: judge.Pass, value: "0.375", lower: "0.35", upper: "0.40"}},
		{"the thickest of the set enters", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "free")}, Instrument: measure.Instrument{BladeSet: []quantity.Decimal{dec("0.30"), dec("0.35")}}},
			want{verdict: judge.NotJudged, basis: judge.AboveGauge, action: judge.MeasureAgain}},
		{"an open end that meets the band is wholly outside", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.40", "free", "0.45", "forced")}}, want{verdict: judge.Fail, position: judge.Above}},
		{"a closed end that meets the band is not", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.40", "drag", "0.45", "forced")}}, want{verdict: judge.ConditionalPass}},
		{"a refused blade thinner than one that enters", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.20", "refused", "0.25", "free")}}, want{verdict: judge.NotJudged, because: "blades_contradict"}},
		{"a free blade thicker than a dragging one", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.20", "drag", "0.25", "free")}}, want{verdict: judge.NotJudged, because: "blades_contradict"}},
		{"one size twice", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.20", "drag", "0.20", "drag")}}, want{verdict: judge.NotJudged, because: "blades_contradict"}},
		{"one place beyond the gauge among several", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.20", "drag", "0.25", "forced"), blades("0.15", "refused")}},
			want{verdict: judge.NotJudged, basis: judge.BelowGauge, because: "below_gauge"}},
		{"unless it alone is wholly outside a limit held at the worst place", judge.Check{Spec: minmax, Readings: []measure.Reading{blades("0.20", "drag", "0.25", "forced"), blades("0.05", "refused")}},
			want{verdict: judge.Fail, basis: judge.BelowGauge, position: judge.Below}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.Millimetre
			look(t, row.c, row.w)
		})
	}
}

func TestRulesOfStagesSlipsAndActions(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	worn := with(s, func(s *spec.Spec) { s.WearLimit = quantity.AtMost(dec("0.50")) })
	shimmed := with(worn, func(s *spec.Spec) { s.AdjustedBy = "a/b/c" })
	remedied := with(s, func(s *spec.Spec) { s.Remedy = spec.Machine })
	critical := with(s, func(s *spec.Spec) { s.Critical = true })
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"estimated: a clear pass is conditional", judge.Check{Spec: s, How: "estimated", Rule: judge.Simple, Readings: values("0.25"), Instrument: u(0.01)},
			want{verdict: judge.ConditionalPass, because: "estimated", basis: judge.Estimated}},
		{"estimated: a clear fail is conditional", judge.Check{Spec: s, How: "estimated", Readings: values("0.80"), Instrument: u(0.01)},
			want{verdict: judge.ConditionalFail, because: "estimated", action: judge.MeasureAgain}},
		{"one place that was estimated makes the check so", judge.Check{Spec: s, Readings: []measure.Reading{{Value: dec("0.25"), HasValue: true}, {Value: dec("0.25"), HasValue: true, How: "estimated"}}, Instrument: u(0.01)},
			want{verdict: judge.ConditionalPass, because: "estimated"}},
		{"sizes by feel: 20 % of the clearance", judge.Check{Spec: s, How: "estimated", Sizes: []judge.Size{{Sign: 1, Readings: values("10.25")}, {Sign: -1, Readings: values("10.00")}}},
			want{verdict: judge.ConditionalPass, value: "0.25", lower: "0.15", upper: "0.35"}},
		{"past the wear limit: worn out, replaced", judge.Check{Spec: worn, Stage: judge.AsFound, Readings: values("0.60"), Instrument: u(0.01)}, want{verdict: judge.Fail, position: judge.WornOut, action: judge.Replace}},
		{"past the wear limit, and shims adjust it", judge.Check{Spec: shimmed, Stage: judge.AsFound, Readings: values("0.60"), Instrument: u(0.01)}, want{verdict: judge.Fail, position: judge.WornOut, action: judge.Adjust}},
		{"past the wear limit, shims adjust it, and a remedy is stated", judge.Check{Spec: with(shimmed, func(s *spec.Spec) { s.Remedy = spec.Machine }), Stage: judge.AsFound, Readings: values("0.60"), Instrument: u(0.01)},
			want{verdict: judge.Fail, position: judge.WornOut, action: judge.Machine}},
		{"past the wear limit, whatever the remedy", judge.Check{Spec: with(worn, func(s *spec.Spec) { s.Remedy = spec.Machine }), Stage: judge.AsFound, Readings: values("0.60"), Instrument: u(0.01)},
			want{verdict: judge.Fail, position: judge.WornOut, action: judge.Replace}},
		{"a torque as found asks for no wear limit", judge.Check{Spec: &spec.Spec{Kind: spec.Torque, Unit: "mm", Band: quantity.Between(dec("28"), dec("32"))}, Stage: judge.AsFound, Readings: values("40"), Instrument: u(0.1)},
			want{verdict: judge.Fail, position: judge.Above, action: judge.Adjust}},
		{"estimated, and the interval reaches over the limit", judge.Check{Spec: s, How: "estimated", Readings: values("0.41"), Instrument: u(0.02)}, want{verdict: judge.ConditionalFail, because: "estimated"}},
		{"out on both sides, further above", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} }), Readings: values("0.05", "0.50"), Instrument: u(0.001)},
			want{verdict: judge.Fail, position: judge.Above}},
		{"out on both sides, further below", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} }), Readings: values("0.01", "0.41"), Instrument: u(0.001)},
			want{verdict: judge.Fail, position: judge.Below}},
		{"out on the side without a wear limit", judge.Check{Spec: worn, Stage: judge.AsFound, Readings: values("0.05"), Instrument: u(0.01)}, want{verdict: judge.Fail, position: judge.Below, action: judge.Ask}},
		{"out on that side, and shims adjust it", judge.Check{Spec: shimmed, Stage: judge.AsFound, Readings: values("0.05"), Instrument: u(0.01)}, want{verdict: judge.Fail, position: judge.Below, action: judge.Adjust}},
		{"as found without a wear limit, undecided", judge.Check{Spec: s, Stage: judge.AsFound, Readings: values("0.41"), Instrument: u(0.01)}, want{verdict: judge.ConditionalFail, action: judge.MeasureAgain, warning: "no_wear_limit"}},
		{"as found without a wear limit, failed", judge.Check{Spec: s, Stage: judge.AsFound, Readings: values("0.60"), Instrument: u(0.01)}, want{verdict: judge.Fail, action: judge.Ask}},
		{"as found without a wear limit, with a remedy", judge.Check{Spec: remedied, Stage: judge.AsFound, Readings: values("0.60"), Instrument: u(0.01)}, want{verdict: judge.Fail, action: judge.Machine}},
		{"as built without a band", judge.Check{Spec: with(worn, func(s *spec.Spec) { s.Band = quantity.Range{} }), Readings: values("0.20")}, want{verdict: judge.NotJudged, because: "no_band", action: judge.Ask}},
		{"the remedy of the spec", judge.Check{Spec: remedied, Readings: values("0.60"), Instrument: u(0.01)}, want{verdict: judge.Fail, action: judge.Machine}},
		{"a critical value that is not proven is measured again", judge.Check{Spec: critical, Readings: values("0.39"), Instrument: u(0.02)}, want{verdict: judge.ConditionalPass, action: judge.MeasureAgain}},
		{"outside what is plausible", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Plausible = quantity.Between(dec("0"), dec("2")) }), Readings: values("0.20", "2.01"), Instrument: u(0.01)},
			want{verdict: judge.NotJudged, basis: judge.Implausible, value: "2.01"}},
		{"exactly plausible is judged", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Plausible = quantity.Between(dec("0"), dec("2")) }), Readings: values("2"), Instrument: u(0.01)},
			want{verdict: judge.Fail}},
		{"exactly ten times the largest limit is judged", judge.Check{Spec: s, Readings: values("4.0"), Instrument: u(0.01)}, want{verdict: judge.Fail, warning: "possible_slip"}},
		{"over ten times is not", judge.Check{Spec: s, Readings: values("4.01"), Instrument: u(0.01)}, want{verdict: judge.NotJudged, basis: judge.Implausible, warning: "implausible_slip"}},
		{"the wear limit counts as a limit", judge.Check{Spec: worn, Readings: values("4.5"), Instrument: u(0.01)}, want{verdict: judge.Fail}},
		{"no slip explains it", judge.Check{Spec: s, Readings: values("7000"), Instrument: u(0.01)}, want{verdict: judge.NotJudged, warning: "implausible_value"}},
		{"an inch for a millimetre: 0.008 is 0.2032", judge.Check{Spec: s, Readings: values("0.008"), Instrument: u(0.001)}, want{verdict: judge.Fail, warning: "possible_slip"}},
		{"a limit of 0 says nothing about slips", judge.Check{Spec: with(mm("0", "0"), func(*spec.Spec) {}), Readings: values("0.01"), Instrument: u(0.001)}, want{verdict: judge.Fail}},
		{"uneven places", judge.Check{Spec: s, Readings: values("0.15", "0.26"), Instrument: u(0.001)}, want{verdict: judge.Pass, warning: "uneven_places", action: judge.AcceptWithNote}},
		{"a third of the band exactly is not uneven", judge.Check{Spec: s, Readings: values("0.15", "0.25"), Instrument: u(0.001)}, want{verdict: judge.Pass, noWarnings: true, action: judge.Accept}},
		{"fewer places than the spec asks", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Points.Minimum = 3 }), Readings: values("0.2", "0.2"), Instrument: u(0.001)}, want{verdict: judge.Pass, warning: "few_places"}},
		{"another state than published", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Conditions = []string{"cold"} }), Condition: "hot", Readings: values("0.2"), Instrument: u(0.001)},
			want{verdict: judge.NotJudged, because: "condition", action: judge.Ask, value: "0.20"}},
		{"the spec differs between variants", judge.Check{Spec: s, Undecided: true, Readings: values("0.2")}, want{verdict: judge.NotJudged, because: "variant", action: judge.Ask, next: "name_the_variant"}},
		{"an instrument too coarse for the band", judge.Check{Spec: mm("0.10", "0.12"), Readings: values("0.11"), Instrument: u(0.02)}, want{verdict: judge.ConditionalPass, warning: "coarse_instrument"}},
		{"a source whose review is overdue", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Source = &spec.Source{ReviewBy: "2026-01-01"} }), Today: "2026-01-02", Readings: values("0.2"), Instrument: u(0.001)},
			want{verdict: judge.Pass, warning: "source_overdue", action: judge.AcceptWithNote}},
		{"a source whose review is due today", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Source = &spec.Source{ReviewBy: "2026-01-02"} }), Today: "2026-01-02", Readings: values("0.2"), Instrument: u(0.001)},
			want{verdict: judge.Pass, noWarnings: true}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.Millimetre
			look(t, row.c, row.w)
		})
	}
}
