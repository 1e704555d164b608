package judge_test

import (
	"math"
	"strings"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func said(ws ...string) (rs []measure.Reading) {
	for _, w := range ws {
		rs = append(rs, measure.Reading{Category: w})
	}
	return rs
}

func TestCategories(t *testing.T) {
	t.Parallel()
	open := &spec.Spec{Kind: spec.Category, Allowed: []string{"centred", "heel"}}
	closed := with(open, func(s *spec.Spec) { s.Rejected = []string{"toe"} })
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"allowed", judge.Check{Spec: closed, Readings: said("centred", "heel")}, want{verdict: judge.Pass, position: judge.Within, action: judge.Accept}},
		{"known and not allowed", judge.Check{Spec: closed, Readings: said("centred", "toe")}, want{verdict: judge.Fail, action: judge.Adjust}},
		{"not known", judge.Check{Spec: closed, Readings: said("centred", "sideways")}, want{verdict: judge.NotJudged, because: "unknown_category", action: judge.Ask, warning: "unknown_category"}},
		{"not allowed, where nothing is listed as rejected", judge.Check{Spec: open, Readings: said("sideways")}, want{verdict: judge.Fail}},
		{"allowed by estimate", judge.Check{Spec: open, How: "estimated", Readings: said("centred")}, want{verdict: judge.ConditionalPass, because: "estimated", basis: judge.Estimated}},
		{"not allowed by estimate", judge.Check{Spec: open, How: "estimated", Readings: said("toe")}, want{verdict: judge.ConditionalFail, because: "estimated", action: judge.MeasureAgain}},
		{"nothing said", judge.Check{Spec: open, Readings: said("")}, want{verdict: judge.NotJudged, basis: judge.Missing}},
		{"as found asks for no wear limit", judge.Check{Spec: open, Stage: judge.AsFound, Readings: said("centred")}, want{verdict: judge.Pass, action: judge.Accept}},
		{"the remedy of the spec", judge.Check{Spec: with(open, func(s *spec.Spec) { s.Remedy = spec.Replace }), Readings: said("toe")}, want{verdict: judge.Fail, action: judge.Replace}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			look(t, row.c, row.w)
		})
	}
}

// The values are numerical integrals of the convolution, by scipy.integrate.quad to 1e-13.
func TestShareOfABracketWithANormalError(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		from, to, a, b, u, want float64
	}{
		{-0.01, 0.02, 0, 0.05, 0.004, 0.39983967330260184},
		{-0.01, 0.02, -0.025, 0.025, 0.02, 0.44115870663236606},
		{0.06, 0.5, 0, 0.05, 0.01, 0.01666309408626588},
		{math.Inf(-1), 0.03, 0, 0.05, 0.001, 0.6},
		{-0.01, 0.02, 0, 0.05, 0, 0.4},
		{-0.01, 0.02, 0.01, 0.01, 0.01, 0.818594614121},
	} {
		h := judge.Held{Bracket: true, Low: row.a, High: row.b}
		if !math.IsInf(row.from, 0) {
			h.Lower = judge.Limit{At: quantity.FromFloat(row.from), Has: true}
		}
		h.Upper = judge.Limit{At: quantity.FromFloat(row.to), Has: true}
		if got := judge.Share(h, quantity.Exact{}, row.u); math.Abs(got-row.want) > 2e-12 {
			t.Errorf("%+v: %.15f", row, got)
		}
		if shifted := judge.Share(h, quantity.FromFloat(1000), row.u); shifted != 0 {
			t.Errorf("far away: %v", shifted)
		}
	}
	plain := judge.Held{Upper: judge.Limit{At: quantity.Int(1), Has: true}}
	if got := judge.Share(plain, quantity.Int(1), 0.5); got != 0.5 {
		t.Errorf("on the limit: %v", got)
	}
}

// A bracket counts as even: of 0.35 to 0.45 half lies under 0.40; a judged end on the limit leaves all or nothing.
func TestProbabilityOverABracket(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		r measure.Reading
		p float64
	}{
		{blades("0.35", "free", "0.45", "refused"), 0.5}, {blades("0.38", "free", "0.48", "refused"), 0.2}, {blades("0.35", "free", "0.40", "refused"), 1},
		{blades("0.40", "free", "0.45", "refused"), 0}, {blades("0.05", "free", "0.45", "refused"), 0.75},
	} {
		r := judge.Judge(judge.Check{Spec: mm("0.10", "0.40"), Unit: "mm", Readings: []measure.Reading{row.r}})
		if !r.HasProb || math.Abs(r.Probability-row.p) > 1e-12 {
			t.Errorf("%+v: %v", row.r, r.Probability)
		}
	}
	if judge.PrintProbability(1) != 0.999 || judge.PrintProbability(0) != 0.001 || judge.PrintProbability(0.69146) != 0.691 || judge.PrintProbability(0.0005) != 0.001 {
		t.Error("printed otherwise")
	}
}

// A worst place brings its own bracket: of 0.17 to 0.22 two fifths are over the only limit, 0.20, whatever the others are.
// Against two limits the brackets of the lowest and the highest place may be unlike, and that of the mean counts: 0.05 to
// 0.09 and 0.17 to 0.23 have a mean of 0.11 to 0.16, so an error of 0 to 0.05, of which the lowest place needs 0.02.
func TestProbabilityOfAWorstPlace(t *testing.T) {
	t.Parallel()
	places := []measure.Reading{blades("0.17", "drag", "0.22", "refused"), blades("0.20", "free", "0.22", "forced"), blades("0.20", "free", "0.24", "refused")}
	least := &spec.Spec{Kind: spec.Dimension, Unit: "mm", Decimals: 2, Band: quantity.AtLeast(dec("0.20"))}
	worst := mm("0.07", "0.40")
	worst.Points.AgainstLower, worst.Points.AgainstUpper = spec.Min, spec.Max
	for _, row := range []struct {
		name   string
		s      *spec.Spec
		places []measure.Reading
		p      float64
	}{
		{"one limit", least, places, 0.4},
		{"the order of places is nothing", least, []measure.Reading{places[1], places[2], places[0]}, 0.4},
		{"two limits, unlike errors", worst, []measure.Reading{blades("0.05", "drag", "0.09", "refused"), blades("0.17", "drag", "0.23", "refused")}, 0.6},
		{"two limits, one error", worst, []measure.Reading{blades("0.06", "drag", "0.10", "refused"), blades("0.06", "drag", "0.10", "refused")}, 0.75},
	} {
		r := judge.Judge(judge.Check{Spec: row.s, Unit: "mm", Readings: row.places})
		if !r.HasProb || math.Abs(r.Probability-row.p) > 1e-12 {
			t.Errorf("%s: %v", row.name, r.Probability)
		}
	}
}

func told(list []note.Note) string {
	var b strings.Builder
	for _, n := range list {
		b.WriteString(params(n) + "\n")
	}
	return b.String()
}

func TestTheTraceShowsEveryStep(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	torque := &spec.Spec{Kind: spec.Torque, Unit: "N·m", Band: quantity.Between(dec("28"), dec("32"))}
	for _, row := range []struct {
		name string
		c    judge.Check
		want string
	}{
		{"places", judge.Check{Spec: s, Readings: values("0.15", "0.20", "0.15"), Instrument: u(0.01)},
			"trace_reading 1 0.15\ntrace_reading 2 0.20\ntrace_reading 3 0.15\ntrace_places 3 0.15 0.20 0.05\ntrace_value mean 0.1667\ntrace_uncertainty 0.01 caller\n" +
				"trace_interval 0.1467 0.1867 U\ntrace_lower 0.10 as_built mean 0.0667\ntrace_upper 0.40 as_built mean 0.2333\ntrace_probability >99\ntrace_verdict pass guarded\n"},
		{"blades", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.35", "free", "0.45", "refused")}},
			"trace_bracket 1 0.35 0.45 0.40\ntrace_value mean 0.40\ntrace_uncertainty 0.028868 bracket\ntrace_bracket_interval 0.35 0.45\ntrace_lower 0.10 as_built mean 0.30\n" +
				"trace_upper 0.40 as_built mean 0.00\ntrace_probability 50\ntrace_undecided conditional_pass guarded uncertainty\n"},
		{"a corrected indicator", judge.Check{Spec: s, Readings: values("0.50"), Instrument: measure.Instrument{Correction: measure.Correction{TipAngle: dec("60")}}},
			"trace_reading 1 0.25\ntrace_value mean 0.25\ntrace_corrected 0.5\ntrace_lower 0.10 as_built mean 0.15\ntrace_upper 0.40 as_built mean 0.15\ntrace_verdict pass simple\n"},
		{"repeats", judge.Check{Spec: s, Readings: []measure.Reading{repeats("0.20", "0.22")}, Instrument: u(0)},
			"trace_repeats 1 2 0.21 0.014142\ntrace_value mean 0.21\ntrace_uncertainty 0.00 caller\ntrace_interval 0.21 0.21 U\ntrace_lower 0.10 as_built mean 0.11\ntrace_upper 0.40 as_built mean 0.19\n" +
				"trace_probability >99\ntrace_verdict pass guarded\n"},
		{"sizes", judge.Check{Spec: s, Sizes: []judge.Size{size(1, u(0), "50.20"), size(-1, u(0), "50.00")}},
			"trace_size bore + 50.20\ntrace_size piston − 50.00\ntrace_sizes 0.20\ntrace_uncertainty 0.00 caller\ntrace_interval 0.20 0.20 U\ntrace_lower 0.10 as_built mean 0.10\n" +
				"trace_upper 0.40 as_built mean 0.20\ntrace_probability >99\ntrace_verdict pass guarded\n"},
		{"under the gauge", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.05", "refused")}},
			"trace_under 1 0.05\ntrace_lower_alone 0.10 as_built\ntrace_upper_alone 0.40 as_built\ntrace_verdict fail guarded\n"},
		{"over the gauge", judge.Check{Spec: s, Readings: []measure.Reading{blades("0.30", "free", "0.35", "free")}},
			"trace_over 1 0.35\ntrace_lower_alone 0.10 as_built\ntrace_upper_alone 0.40 as_built\ntrace_undecided not_judged guarded above_gauge\n"},
		{"a fastener of two", judge.Check{Spec: torque, Unit: "N·m", Readings: values("30", "40")},
			"trace_reading 1 30\ntrace_reading 2 40\ntrace_places 2 30 40 10\ntrace_fastener 2 40\ntrace_lower 28 as_built value 12\ntrace_upper 32 as_built value -8\ntrace_verdict fail simple\n"},
		{"nothing read", judge.Check{Spec: s}, "trace_undecided not_judged guarded missing\n"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if row.c.Unit == "" {
				row.c.Unit = "mm"
			}
			if r := judge.Judge(row.c); len(r.Trace) != 0 {
				t.Errorf("a trace that nobody asked for: %v", r.Trace)
			}
			row.c.Trace = true
			if got := told(judge.Judge(row.c).Trace); got != row.want {
				t.Errorf("got\n%swant\n%s", got, row.want)
			}
		})
	}
}
