package judge_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// anything is a check of any kind, sensible or not.
func anything(t *rapid.T) judge.Check {
	number := func(name string) quantity.Decimal {
		return quantity.NewDecimal(rapid.Int64Range(-20000, 60000).Draw(t, name), rapid.IntRange(0, 4).Draw(t, name+" places"))
	}
	limits := func(name string) (r quantity.Range) {
		a, b := number(name+" a"), number(name+" b")
		if b.Cmp(a) < 0 {
			a, b = b, a
		}
		switch rapid.IntRange(0, 3).Draw(t, name) {
		case 1:
			return quantity.AtLeast(a)
		case 2:
			return quantity.AtMost(b)
		case 3:
			return quantity.Between(a, b)
		}
		return r
	}
	rule := func(name string) spec.Combine {
		return rapid.SampledFrom([]spec.Combine{"", spec.Mean, spec.Min, spec.Max, spec.Spread}).Draw(t, name)
	}
	kind := rapid.SampledFrom([]spec.Kind{spec.Dimension, spec.Torque, spec.Other, spec.Angle, spec.Category}).Draw(t, "kind")
	unit := map[spec.Kind]quantity.Unit{spec.Dimension: "mm", spec.Torque: "N·m", spec.Other: "kPa", spec.Angle: "°"}[kind]
	s := &spec.Spec{Kind: kind, Unit: unit, Decimals: rapid.IntRange(0, 4).Draw(t, "decimals"), Band: limits("band"), WearLimit: limits("wear"),
		Plausible: limits("plausible"), HasTarget: rapid.Bool().Draw(t, "aimed"), Target: number("target"), Form: rapid.Bool().Draw(t, "form"),
		Critical: rapid.Bool().Draw(t, "critical"), Allowed: []string{"centred"},
		Points: spec.Points{Minimum: rapid.IntRange(0, 4).Draw(t, "minimum"), Combine: rule("combine"), AgainstLower: rule("lower"), AgainstUpper: rule("upper")}}
	if kind == spec.Torque {
		s.ValueForm = rapid.SampledFrom([]spec.ValueForm{"", spec.Range, spec.Single, spec.Stages, spec.TorqueAngle, spec.NotPublished, spec.OutOfScope}).Draw(t, "form of value")
		s.HasPolicy, s.PolicyPercent = rapid.Bool().Draw(t, "policy"), quantity.NewDecimal(rapid.Int64Range(0, 100).Draw(t, "percent"), 0)
		s.HasTurnAngle, s.TurnAngle = rapid.Bool().Draw(t, "turn"), quantity.NewDecimal(90, 0)
		s.Fastener = &spec.Fastener{Condition: "dry", Prevailing: rapid.SampledFrom([]string{"", "included", "extra", "unstated"}).Draw(t, "prevailing"), HasRunning: true, Running: number("running")}
		if rapid.Bool().Draw(t, "staged") {
			s.Stages = []spec.Stage{{Value: number("stage"), HasValue: true}, {Angle: quantity.NewDecimal(90, 0), HasAngle: true}}
		}
	}
	c := judge.Check{Spec: s, Unit: unit, Trace: rapid.Bool().Draw(t, "trace"), Defaults: usual(),
		How: rapid.SampledFrom([]string{"", "measured", "estimated", "check"}).Draw(t, "how"), Stage: rapid.SampledFrom([]string{"", judge.AsFound}).Draw(t, "stage"),
		Rule: rapid.SampledFrom([]string{"", judge.Simple}).Draw(t, "rule"), Guard: rapid.SampledFrom([]string{"", judge.Guard95}).Draw(t, "guard"),
		Coverage: rapid.SampledFrom([]string{"", "t"}).Draw(t, "coverage"), Condition: rapid.SampledFrom([]string{"", "dry", "oiled"}).Draw(t, "condition")}
	figure := measure.Some(float64(rapid.IntRange(0, 3000).Draw(t, "figure")) / 1000)
	c.Instrument = []measure.Instrument{{}, {Standard: figure}, {Accuracy: figure}, {Percent: figure}, {Expanded: figure}, {Kind: "dial"}, {Kind: "by_feel"}, {Resolution: figure}}[rapid.IntRange(0, 7).Draw(t, "instrument")]
	what := rapid.IntRange(0, 2).Draw(t, "readings")
	for range rapid.IntRange(0, 4).Draw(t, "places") {
		c.Readings = append(c.Readings, anyReading(t, kind, what, number))
	}
	if rapid.IntRange(0, 4).Draw(t, "sized") == 0 {
		c.Sizes = []judge.Size{{Part: "a", Sign: 1, Readings: c.Readings, Instrument: c.Instrument}, {Part: "b", Sign: -1, Readings: c.Readings}}
		c.Readings = nil
	}
	return c
}

func anyReading(t *rapid.T, kind spec.Kind, what int, number func(string) quantity.Decimal) (r measure.Reading) {
	switch {
	case kind == spec.Category:
		r.Category = rapid.SampledFrom([]string{"", "centred", "toe"}).Draw(t, "word")
	case what == 1:
		for range rapid.IntRange(0, 5).Draw(t, "repeats") {
			r.Repeats = append(r.Repeats, number("repeat"))
		}
	case what == 2 && kind == spec.Dimension:
		for range rapid.IntRange(0, 4).Draw(t, "blades") {
			r.Blades = append(r.Blades, measure.Blade{Size: quantity.NewDecimal(rapid.Int64Range(1, 20).Draw(t, "blade")*5, 2),
				Feel: rapid.SampledFrom([]measure.Feel{measure.Free, measure.Drag, measure.Forced, measure.Refused}).Draw(t, "feel")})
		}
	default:
		r.Value, r.HasValue = number("value"), true
	}
	r.HasAngle, r.Angle = rapid.Bool().Draw(t, "angled"), quantity.NewDecimal(85, 0)
	r.HasRunning, r.Running = rapid.Bool().Draw(t, "ran"), quantity.NewDecimal(2, 0)
	return r
}

// Whatever is asked, the answer is whole and does not contradict itself.
func TestAnythingHasAWholeAnswer(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := anything(t)
		r := judge.Judge(c)
		verdicts := []judge.Verdict{judge.Pass, judge.ConditionalPass, judge.ConditionalFail, judge.Fail, judge.NotJudged}
		actions := []judge.Action{judge.Accept, judge.AcceptWithNote, judge.Adjust, judge.Machine, judge.Replace, judge.MeasureAgain, judge.Ask}
		switch {
		case !slices.Contains(verdicts, r.Verdict) || !slices.Contains(actions, r.Action) || r.Basis == "":
			t.Fatalf("words %q %q %q", r.Verdict, r.Action, r.Basis)
		case r.Decided != (r.Verdict == judge.Pass || r.Verdict == judge.Fail):
			t.Fatalf("%s decided %v", r.Verdict, r.Decided)
		case r.Decided != (r.Because == ""):
			t.Fatalf("%s because %q", r.Verdict, r.Because)
		case r.Action == judge.Accept && (r.Verdict != judge.Pass || slices.ContainsFunc(r.Warnings, func(n note.Note) bool { return n.Code != "torque_not_judged" })):
			t.Fatalf("accepted: %s %v", r.Verdict, r.Warnings)
		case r.HasProb && (!r.HasStandard || r.Probability < 0 || r.Probability > 1):
			t.Fatalf("probability %v with u %v", r.Probability, r.HasStandard)
		case r.HasLower && r.HasUpper && r.Upper.Cmp(r.Lower) < 0:
			t.Fatalf("interval %v to %v", r.Lower, r.Upper)
		case c.How == "estimated" && r.Decided:
			t.Fatalf("estimated and decided: %s", r.Verdict)
		case r.Verdict == judge.Pass && r.Position != judge.Within && c.Spec.Kind != spec.Category:
			t.Fatalf("passes %s", r.Position)
		case r.Verdict == judge.Fail && r.Position == judge.Within:
			t.Fatal("fails within")
		}
		supplier, customer := judge.Views(c)
		if supplier.Proven && customer.Proven {
			t.Fatal("both sides proven")
		}
		judge.PlanMeasuring(c)
		judge.Hold(c)
	})
}
