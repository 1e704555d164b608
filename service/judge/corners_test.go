package judge_test

import (
	"strings"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// What is suggested at the corners, worked by hand.
func TestCornersOfWhatSettles(t *testing.T) {
	t.Parallel()
	wide, narrow := mm("0.10", "0.40"), mm("0.10", "0.14")
	same := []spec.Instrument{{Kind: "first", Unit: "mm", Standard: dec("0.004"), HasStandard: true}, {Kind: "second", Unit: "mm", Standard: dec("0.004"), HasStandard: true}}
	alternating := func(n int) measure.Reading { // mean 0.39, standard deviation about 0.02
		var vs []string
		for i := range n {
			vs = append(vs, [...]string{"0.37", "0.41"}[i%2])
		}
		return repeats(vs...)
	}
	for _, row := range []struct {
		name string
		c    judge.Check
		want string
	}{
		{"the interval touches the lower limit and reaches over the upper: the upper decides", judge.Check{Spec: narrow, Readings: values("0.13"), Instrument: u(0.015)}, "use_finer_instrument 0.005"},
		{"a value outside whose interval touches the limit: no longer", judge.Check{Spec: wide, Readings: values("0.06"), Instrument: u(0.02)}, "use_finer_instrument 0.019"},
		{"over both limits: the nearer decides", judge.Check{Spec: narrow, Readings: values("0.115"), Instrument: u(0.02)}, "use_finer_instrument 0.0075"},
		{"too near for any figure", judge.Check{Spec: wide, Readings: values("0.3999999999"), Instrument: u(0.02)}, ""},
		{"of equal instruments the first", judge.Check{Spec: wide, Readings: values("0.39"), Instrument: u(0.02), Defaults: same}, "use_finer_instrument 0.005 use_instrument first 0.004"},
		{"exact repeats have no scatter to reckon with", judge.Check{Spec: wide, Readings: []measure.Reading{repeats("0.39", "0.39", "0.39", "0.39")}, Instrument: u(0.02)}, "use_finer_instrument 0.005"},
		{"an instrument that is too coarse by itself: no number of repeats helps, and no instrument against their scatter", judge.Check{Spec: wide, Readings: []measure.Reading{alternating(4)}, Instrument: u(0.01)}, ""},
		{"a dragging blade inside: the bracket reaches up further than half its width", judge.Check{Spec: wide, Readings: []measure.Reading{blades("0.35", "drag", "0.45", "forced")}}, "try_blade 0.40"},
		{"a dragging blade outside: the bracket reaches back in", judge.Check{Spec: wide, Readings: []measure.Reading{blades("0.05", "drag", "0.12", "forced")}}, "try_blade 0.10"},
		{"a bracket outside that reaches back over the limit", judge.Check{Spec: wide, Readings: []measure.Reading{blades("0.35", "free", "0.55", "refused")}}, "try_blade 0.40"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.Millimetre
			var got []string
			for _, n := range judge.Judge(row.c).Next {
				got = append(got, params(n))
			}
			if s := strings.Join(got, " "); s != row.want {
				t.Errorf("got %q, want %q", s, row.want)
			}
		})
	}
}

// So many repeats are suggested as anybody would take: s of four is 0.02·2/√3 = 0.023094, and n is s²/needed².
func TestRepeatsThatAreSuggested(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ limit, want string }{
		{"0.394618803", "more_repeats 100"}, // needed u is 0.0023094015, n 100.0000
		{"0.394615", ""},                    // n is over 100
		{"0.414", ""},                       // n is under four, and it is decided
	} {
		s := with(mm("0.10", row.limit), func(s *spec.Spec) { s.Decimals = 9 })
		r := judge.Judge(judge.Check{Spec: s, Unit: "mm", Readings: []measure.Reading{repeats("0.37", "0.41", "0.37", "0.41")}})
		got := ""
		for _, n := range r.Next {
			if n.Code == "more_repeats" {
				got = params(n)
			}
		}
		if got != row.want {
			t.Errorf("%s: %q, want %q", row.limit, got, row.want)
		}
	}
}

func TestPlacesOutAreNamedToANumber(t *testing.T) {
	t.Parallel()
	vs := []string{"0.20", "0.20", "0.20", "0.20", "0.20", "0.20", "0.20", "0.20", "0.20", "0.20"}
	for range 10 {
		vs = append(vs, "0.41")
	}
	r := judge.Judge(judge.Check{Spec: mm("0.10", "0.40"), Unit: "mm", Readings: values(vs...), Instrument: u(0.001)})
	if r.Because != "one_place_out" || len(r.Next) != 8 {
		t.Errorf("%s, %d named", r.Because, len(r.Next))
	}
}

// What a check stands on, and where a policy makes the limits.
func TestCornersOfLimitsAndBases(t *testing.T) {
	t.Parallel()
	policy := func(kind spec.Kind, unit quantity.Unit, form spec.ValueForm) *spec.Spec {
		return &spec.Spec{Kind: kind, Unit: unit, ValueForm: form, Target: dec("20"), HasTarget: true, PolicyPercent: dec("10"), HasPolicy: true}
	}
	staged := newtons(spec.Spec{ValueForm: spec.Stages, PolicyPercent: dec("10"), HasPolicy: true, Stages: []spec.Stage{{Value: dec("10"), HasValue: true}, {Value: dec("20"), HasValue: true}}})
	turned := newtons(spec.Spec{ValueForm: spec.TorqueAngle, Target: dec("20"), HasTarget: true, TurnAngle: dec("90")})
	angle := measure.Reading{Value: dec("900"), HasValue: true, Angle: dec("92"), HasAngle: true}
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"one place is measured", judge.Check{Spec: mm("0.10", "0.40"), Readings: values("0.20"), Instrument: u(0.01)}, want{verdict: judge.Pass, basis: judge.Measured}},
		{"a single figure of another kind has a policy", judge.Check{Spec: policy(spec.Other, "N", spec.Single), Readings: values("17.9"), Instrument: u(0.01)}, want{verdict: judge.Fail, position: judge.Below}},
		{"another kind without a single figure has no band", judge.Check{Spec: policy(spec.Other, "N", ""), Readings: values("20")}, want{verdict: judge.NotJudged, because: "no_band"}},
		{"a torque with an aim and a policy", judge.Check{Spec: policy(spec.Torque, quantity.NewtonMetre, ""), Readings: values("21.9"), Instrument: u(0.01)}, want{verdict: judge.Pass}},
		{"the last of the stages by the policy", judge.Check{Spec: staged, Readings: []measure.Reading{{Value: dec("22.5"), HasValue: true, Stage: 2}}, Instrument: u(0.01)}, want{verdict: judge.Fail, position: judge.Above}},
		{"a torque over ten times its band cannot be true", judge.Check{Spec: newtons(spec.Spec{Band: quantity.Between(dec("22"), dec("26"))}), Readings: values("261")}, want{verdict: judge.NotJudged, because: "implausible", basis: judge.Implausible}},
		{"a torque that only precedes an angle may be anything", judge.Check{Spec: turned, Readings: []measure.Reading{angle}}, want{verdict: judge.Pass}},
		{"estimated in another condition", judge.Check{Spec: newtons(spec.Spec{Band: quantity.Between(dec("22"), dec("26")), Fastener: &spec.Fastener{Condition: "dry"}}), Condition: "oiled", How: "estimated", Readings: values("24")},
			want{verdict: judge.NotJudged, because: "condition", basis: judge.Estimated, value: "24"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = row.c.Spec.Unit
			look(t, row.c, row.w)
			if r := judge.Judge(row.c); len(row.c.Readings) == 1 && r.Each != nil {
				t.Error("one fastener needs no list")
			}
		})
	}
}

// Nothing of the scatter cancels the worst of equal places, whichever comes first.
func TestTheMoreScatteredOfEqualPlaces(t *testing.T) {
	t.Parallel()
	s := &spec.Spec{Kind: spec.Dimension, Unit: "mm", Decimals: 2, Band: quantity.AtLeast(dec("0.15"))}
	calm, wild := repeats("0.19", "0.21", "0.19", "0.21"), repeats("0.15", "0.25", "0.15", "0.25")
	for _, places := range [][]measure.Reading{{calm, wild}, {wild, calm}} {
		if r := judge.Judge(judge.Check{Spec: s, Unit: "mm", Readings: places}); r.Verdict != judge.ConditionalPass {
			t.Errorf("%s: the wild place decides", r.Verdict)
		}
	}
}

func TestACoarseBandOfNoWidth(t *testing.T) {
	t.Parallel()
	if p, ok := judge.PlanMeasuring(judge.Check{Spec: mm("0.10", "0.10")}); !ok || p.HasHalf {
		t.Errorf("half of nothing: %v %v", ok, p.HasHalf)
	}
}

// A place that changes nothing cannot explain what is left over, on either side.
func TestCloseOfAPlaceThatChangesNothing(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	at := func(v string) judge.Result {
		return judge.Judge(judge.Check{Spec: s, Unit: "mm", Readings: values(v), Instrument: u(0.01)})
	}
	k := judge.Close(at("0.20"), at("0.35"), judge.Change{Added: dec("0.10").Exact()})
	if k.Outcome != judge.Unexplained || k.Suspects[0].Code != "suspect_shim_thinner" {
		t.Errorf("%s %v", k.Outcome, k.Suspects)
	}
}

// Figures in a sentence have the digits of the spec, and more only where rounding would say something else.
func TestFiguresInWarnings(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, band, value, code, param, want string
		places                               []string
	}{
		{"the spread", "0.10 0.40", "", "uneven_places", "spread", "0.15", []string{"0.15", "0.299"}},
		{"what is allowed", "0.10 0.40", "", "uneven_places", "allowed", "0.10", []string{"0.15", "0.299"}},
		{"a spread that would be rounded to what is allowed", "0.10 0.40", "", "uneven_places", "spread", "0.101", []string{"0.15", "0.251"}},
		{"a slip", "0.10 0.40", "", "possible_slip", "value", "1.23", []string{"1.2345"}},
		{"implausible", "0.10 0.40", "", "implausible_slip", "value", "15.12", []string{"15.123"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			lower, upper, _ := strings.Cut(row.band, " ")
			r := judge.Judge(judge.Check{Spec: mm(lower, upper), Unit: "mm", Readings: values(row.places...), Instrument: u(0.001)})
			for _, n := range r.Warnings {
				if n.Code == row.code {
					if got := n.Get(row.param); got != row.want {
						t.Errorf("%s, want %s", got, row.want)
					}
					return
				}
			}
			t.Errorf("no %s in %v", row.code, r.Warnings)
		})
	}
}

// Of places with one value the one that reaches further out towards the limit decides, and if they reach as far, the one
// that reaches further in.
func TestWhichOfEqualBracketsDecides(t *testing.T) {
	t.Parallel()
	middle, dragging, short := blades("0.10", "free", "0.20", "refused"), blades("0.15", "drag", "0.30", "forced"), blades("0.15", "drag", "0.20", "forced")
	for _, row := range []struct {
		name         string
		lower, upper string
		rule         spec.Combine
		places       []measure.Reading
	}{
		{"the lowest: the one that may be 0.10", "0.12", "0.40", spec.Min, []measure.Reading{middle, dragging}},
		{"the highest: the one that may be 0.30", "0.08", "0.25", spec.Max, []measure.Reading{middle, dragging}},
		{"both at least 0.15: the one that may be 0.30", "0.12", "0.25", spec.Min, []measure.Reading{short, dragging}},
	} {
		s := with(mm(row.lower, row.upper), func(s *spec.Spec) { s.Points.Combine = row.rule })
		for _, places := range [][]measure.Reading{row.places, {row.places[1], row.places[0]}} {
			if r := judge.Judge(judge.Check{Spec: s, Unit: "mm", Readings: places}); r.Verdict != judge.ConditionalPass {
				t.Errorf("%s: %s", row.name, r.Verdict)
			}
		}
	}
}
