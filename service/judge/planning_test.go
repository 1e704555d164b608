package judge_test

import (
	"math"
	"slices"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func fitness(p judge.MeasuringPlan, kind string) judge.Fitness {
	for _, f := range p.Instruments {
		if f.Instrument.Kind == kind {
			return f
		}
	}
	return judge.Fitness{}
}

// 12 ± 1.2 N·m with a tool of ±4 %: half the band over 4 % of 12 is 2.5, and x·(1 ± 0.04) stays inside from 11.25 to
// 12.69. Worked by hand.
func TestPlanMeasuringOfATorque(t *testing.T) {
	t.Parallel()
	s := &spec.Spec{Kind: spec.Torque, Unit: quantity.NewtonMetre, Decimals: 1, Band: quantity.Between(dec("10.8"), dec("13.2"))}
	p, ok := judge.PlanMeasuring(judge.Check{Spec: s, Defaults: usual()})
	f := fitness(p, "click_wrench")
	if !ok || len(p.Instruments) != 1 || math.Abs(f.Ratio-2.5) > 1e-9 || !f.GoodEnough || f.Guard.Lower.String() != "11.3" || f.Guard.Upper.String() != "12.6" {
		t.Errorf("%v %+v", ok, p)
	}
}

func TestPlanMeasuringOfADimension(t *testing.T) {
	t.Parallel()
	s := mm("0.08", "0.35")
	s.Points = spec.Points{Minimum: 3, AgainstLower: spec.Min, AgainstUpper: spec.Max}
	p, ok := judge.PlanMeasuring(judge.Check{Spec: s, Defaults: usual()})
	if !ok || p.Places != 3 || p.Combine != spec.Mean || p.Against != [2]spec.Combine{spec.Min, spec.Max} || math.Abs(p.Coarsest-0.03375) > 1e-12 || p.OfLimit {
		t.Fatalf("%v %+v", ok, p)
	}
	dial := fitness(p, "dial")
	if dial.Guard.Lower.String() != "0.10" || dial.Guard.Upper.String() != "0.33" || math.Abs(dial.Ratio-6.75) > 1e-9 || dial.Repeats != 4 || dial.Source != measure.Assumed {
		t.Errorf("%+v", dial)
	}
	// Four repeats may scatter by s as long as 2·√(0.01² + s²/4) is at most 0.135/2.
	if want := 2 * math.Sqrt(0.03375*0.03375-0.01*0.01); math.Abs(dial.Scatter-want) > 1e-12 {
		t.Errorf("scatter %v, want %v", dial.Scatter, want)
	}
	if feeler := fitness(p, "feeler"); !feeler.Guard.Empty() || math.Abs(feeler.Standard-0.05/math.Sqrt(12)) > 1e-12 {
		t.Errorf("%+v", feeler)
	}
	own, _ := judge.PlanMeasuring(judge.Check{Spec: s, Defaults: usual(), Guard: judge.Guard95, Instrument: measure.Instrument{Kind: "own", Standard: measure.Some(0.1)}})
	if f := fitness(own, "own"); f.GoodEnough || f.Source != measure.FromCaller || math.Abs(f.Expanded-0.165) > 1e-12 || !f.Guard.Empty() {
		t.Errorf("%+v", f)
	}
}

func TestPlanMeasuringOfOneSideAndForm(t *testing.T) {
	t.Parallel()
	s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Band: quantity.AtMost(dec("0.05")), Form: true}
	p, ok := judge.PlanMeasuring(judge.Check{Spec: s, Defaults: usual()})
	if !ok || !p.OfLimit || p.Places != 2 || p.Against[1] != spec.Max || fitness(p, "dial").GoodEnough || !fitness(p, "micrometer").GoodEnough {
		t.Errorf("%v %+v", ok, p)
	}
	if g := fitness(p, "micrometer").Guard; g.HasLower || g.Upper.String() != "0.04" {
		t.Errorf("%+v", g)
	}
	for _, none := range []*spec.Spec{{Kind: spec.Category}, {Kind: spec.Torque, ValueForm: spec.OutOfScope}, {Kind: spec.Torque, ValueForm: spec.NotPublished}, {Kind: spec.Torque, ValueForm: spec.TorqueAngle}, {Kind: spec.Dimension}} {
		if _, ok := judge.PlanMeasuring(judge.Check{Spec: none, Defaults: usual()}); ok {
			t.Errorf("a plan for %+v", none)
		}
	}
}

func params(n note.Note) string {
	s := n.Code
	for _, p := range n.Params {
		s += " " + p.Value
	}
	return s
}

// What would settle a check, worked by hand: U = 2u must not exceed the distance to the limit.
func TestWhatSettlesACheck(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	set := measure.Instrument{BladeSet: []quantity.Decimal{dec("0.30"), dec("0.35"), dec("0.38"), dec("0.45")}}
	sparse := measure.Instrument{BladeSet: []quantity.Decimal{dec("0.35"), dec("0.45")}}
	for _, row := range []struct {
		name string
		c    judge.Check
		want []string
	}{
		{"0.01 from the limit: u 0.005, a micrometer has 0.004", judge.Check{Spec: s, Readings: values("0.39"), Instrument: u(0.02), Defaults: usual()},
			[]string{"use_finer_instrument 0.005", "use_instrument micrometer 0.004"}},
		{"0.03 from the limit: a dial is enough", judge.Check{Spec: s, Readings: values("0.37"), Instrument: u(0.02), Defaults: usual()},
			[]string{"use_finer_instrument 0.015", "use_instrument dial 0.01"}},
		{"with the guard 1.65u", judge.Check{Spec: s, Guard: judge.Guard95, Readings: values("0.39"), Instrument: u(0.02)}, []string{"use_finer_instrument 0.006"}},
		{"on the limit nothing settles it", judge.Check{Spec: s, Readings: values("0.40"), Instrument: u(0.02)}, []string{"on_the_limit"}},
		{"the blade of the limit", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "free", "0.45", "refused")}}, []string{"try_blade 0.40"}},
		{"the blade of the set that comes nearest", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "free", "0.45", "refused")}, Instrument: set}, []string{"try_blade 0.38"}},
		{"no blade of the set lies between", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "free", "0.45", "refused")}, Instrument: sparse}, []string{"no_blade_settles"}},
		// However fine the instrument, the scatter stays. s of 0.36 0.40 0.38 0.40 is 0.019149, needed u is 0.0075, so n is 0.019149²/0.0075² = 6.52, rounded up.
		{"seven repeats", judge.Check{Spec: s, Readings: []measure.Reading{repeats("0.36", "0.40", "0.38", "0.40")}}, []string{"more_repeats 7"}},
		{"the place that decides", judge.Check{Spec: with(s, func(s *spec.Spec) { s.Points = spec.Points{AgainstLower: spec.Min, AgainstUpper: spec.Max} }), Readings: values("0.20", "0.39"), Instrument: u(0.02)},
			[]string{"measure_place_again 2", "use_finer_instrument 0.005"}},
		{"the places that are out", judge.Check{Spec: s, Readings: values("0.41", "0.20", "0.09"), Instrument: u(0.001)}, []string{"measure_place_again 1", "measure_place_again 3"}},
		{"decided: nothing", judge.Check{Spec: s, Readings: values("0.20"), Instrument: u(0.001)}, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.Millimetre
			var got []string
			for _, n := range judge.Judge(row.c).Next {
				got = append(got, params(n))
			}
			if len(got) != len(row.want) {
				t.Fatalf("got %q, want %q", got, row.want)
			}
			for i := range got {
				if got[i] != row.want[i] {
					t.Errorf("got %q, want %q", got[i], row.want[i])
				}
			}
		})
	}
}

// A play that shims adjust is measured with an indicator or blades; what clasps a part measures none. A play made of
// depths is measured with what measures them.
func TestAPlayIsNotMeasuredWithAMicrometer(t *testing.T) {
	t.Parallel()
	play := with(mm("0.10", "0.40"), func(s *spec.Spec) { s.AdjustedBy = "a/b/shims" })
	made := with(play, func(s *spec.Spec) { s.Sizes = []spec.Size{{Part: "depth", Sign: 1}, {Part: "height", Sign: -1}} })
	for _, row := range []struct {
		name string
		s    *spec.Spec
		has  bool
	}{{"a size", mm("0.10", "0.40"), true}, {"a play", play, false}, {"a play made of depths", made, true}} {
		p, ok := judge.PlanMeasuring(judge.Check{Spec: row.s, Unit: quantity.Millimetre, Defaults: usual()})
		has := slices.ContainsFunc(p.Instruments, func(f judge.Fitness) bool { return f.Instrument.Kind == "micrometer" })
		if !ok || has != row.has || !slices.ContainsFunc(p.Instruments, func(f judge.Fitness) bool { return f.Instrument.Kind == "dial" }) {
			t.Errorf("%s: %v %+v", row.name, ok, p.Instruments)
		}
	}
	r := judge.Judge(judge.Check{Spec: play, Unit: quantity.Millimetre, Readings: values("0.39"), Instrument: u(0.02), Defaults: usual()})
	for _, n := range r.Next {
		if n.Code == "use_instrument" {
			t.Errorf("%v for a play", n)
		}
	}
}
