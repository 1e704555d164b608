package shim_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

func stack(rungs []spec.Rung, offset string, most int) *spec.ShimSet {
	s := setOf("stack", rungs, at("left", most, "play -1"), at("right", most, "play -1"))
	s.Offset.Between = [2]string{"left", "right"}
	if offset != "" {
		s.Offset.Limit, s.Offset.HasLimit = dec(offset), true
	}
	return s
}

// TestWorked plans the cases of the trade that are worked out by hand. Common practice, no source.
func TestWorked(t *testing.T) {
	t.Parallel()
	one := func(rungs ...string) *spec.ShimSet { return setOf("set", ladder(rungs...), at("p", 1, "play -1")) }
	notBelow := play("play", "0.10", "0.40", "0.10", spec.NotBelow)
	rows := []struct {
		name    string
		in      shim.Request
		outcome shim.Outcome
		needed  bool
		first   []string // of to_order
		shelf   []string
	}{
		{"one place: thickest that keeps the aim first", shim.Request{
			Sets: []shim.Set{{Shims: one("2.00", "2.15", "2.30", "2.45", "2.60")}}, Measured: []shim.Measured{read(notBelow, "0.50", "")},
			Fitted: []shim.Fitted{fitted("p", "2.00")}}, shim.Change, true,
			[]string{"p 2.30 → 0.20", "p 2.15 → 0.35"}, nil},
		{"in order already: left alone", shim.Request{
			Sets: []shim.Set{{Shims: one(steps(150, 220, 5)...)}}, Measured: []shim.Measured{read(notBelow, "0.13", "")},
			Fitted: []shim.Fitted{fitted("p", "1.90")}}, shim.Leave, false,
			[]string{"p 1.85 → 0.18", "p 1.80 → 0.23", "p 1.75 → 0.28", "p 1.70 → 0.33", "p 1.65 → 0.38"}, nil},
		{"coarse ladder: nothing in band", shim.Request{
			Sets: []shim.Set{{Shims: one("1.50", "1.75", "2.00")}}, Measured: []shim.Measured{read(play("play", "0.05", "0.20", "0.125", ""), "0.28", "")},
			Fitted: []shim.Fitted{fitted("p", "1.50")}}, shim.NoneInBand, true, nil, nil},
		{"two sides, centred", shim.Request{
			Sets:     []shim.Set{{Shims: stack(ladder(steps(100, 150, 5)...), "0.10", 1)}},
			Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.20", ""), "0.62", "")},
			Fitted:   []shim.Fitted{fitted("left", "1.00"), fitted("right", "1.00")}, MaxOptions: 1}, shim.Change, true,
			[]string{"left 1.20 | right 1.20 → 0.22"}, nil},
		{"two sides, off centre now", shim.Request{
			Sets:     []shim.Set{{Shims: stack(ladder(steps(100, 150, 5)...), "0.10", 1), OffsetNow: dec("0.06")}},
			Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.20", ""), "0.62", "")},
			Fitted:   []shim.Fitted{fitted("left", "1.00"), fitted("right", "1.00")}, MaxOptions: 1}, shim.Change, true,
			[]string{"left 1.15 | right 1.25 → 0.22"}, nil},
		{"fixed washer and a thin pack, exact", shim.Request{
			Sets:     []shim.Set{{Shims: setOf("set", ladder("0.10", "0.15", "0.20", "0.30", "0.50"), at("p", 3, "play -1"))}},
			Measured: []shim.Measured{read(play("play", "0.10", "0.30", "0.15", ""), "0.70", "")},
			Fitted:   []shim.Fitted{{Place: "p", Known: true, Fixed: []shim.Piece{{Thickness: dec("1.50")}}, Pieces: fitted("p", "0.30").Pieces}}, MaxOptions: 2},
			shim.Change, true, []string{"p 0.50 0.20 0.15 → 0.15", "p 0.50 0.30 → 0.20"}, nil},
		{"the same, coarsely measured: fewer pieces win", shim.Request{
			Sets:     []shim.Set{{Shims: setOf("set", ladder("0.10", "0.15", "0.20", "0.30", "0.50"), at("p", 3, "play -1"))}},
			Measured: []shim.Measured{read(play("play", "0.10", "0.30", "0.15", ""), "0.70", "0.06")},
			Fitted:   []shim.Fitted{fitted("p", "0.30")}, MaxOptions: 1, MinProbability: 0.7, HasMin: true},
			shim.Change, true, []string{"p 0.50 0.30 → 0.20"}, nil},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got := plan(t, row.in)
			if got.Outcome != row.outcome || got.Needed != row.needed {
				t.Errorf("outcome %s, needed %t", got.Outcome, got.Needed)
			}
			if d := cmp.Diff(row.first, lines(got.ToOrder)); d != "" && len(row.first)+len(got.ToOrder) > 0 {
				t.Error(d)
			}
		})
	}
}

// TestNoneInBand shows what is nearest where nothing fits. Common practice, no source.
func TestNoneInBand(t *testing.T) {
	t.Parallel()
	got := plan(t, shim.Request{Sets: []shim.Set{{Shims: setOf("set", ladder("1.50", "1.75", "2.00"), at("p", 1, "play -1"))}},
		Measured: []shim.Measured{read(play("play", "0.05", "0.20", "0.125", ""), "0.28", "")}, Fitted: []shim.Fitted{fitted("p", "1.50")}})
	if got.Tight == nil || got.Loose == nil || got.Thickness == nil {
		t.Fatal(got.Tight, got.Loose, got.Thickness)
	}
	if d := cmp.Diff([]string{"p 1.75 → 0.03", "p 1.50 → 0.28"}, lines([]shim.Option{*got.Tight, *got.Loose})); d != "" {
		t.Error(d)
	}
	show := func(x quantity.Exact) string { return x.Print(2, 2).String() }
	if d := cmp.Diff([]string{"0.02", "0.08", "1.58", "1.73", "1.655"}, []string{show(got.Tight.Predicted[0].Miss), show(got.Loose.Predicted[0].Miss),
		show(got.Thickness.Lower.At), show(got.Thickness.Upper.At), show(got.Thickness.Ideal)}); d != "" {
		t.Error(d)
	}
}

// TestRejected names the option that is just too tight.
func TestRejected(t *testing.T) {
	t.Parallel()
	got := plan(t, shim.Request{Sets: []shim.Set{{Shims: setOf("set", ladder("2.00", "2.15", "2.30", "2.45", "2.60"), at("p", 1, "play -1"))}},
		Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.10", spec.NotBelow), "0.50", "")}, Fitted: []shim.Fitted{fitted("p", "2.00")}})
	if d := cmp.Diff([]string{"p 2.45 → 0.05"}, lines(got.Rejected)); d != "" {
		t.Fatal(d)
	}
	if why := got.Rejected[0].Why[0]; why.Code != "below" || why.Get("by") != "0.05" {
		t.Error(why)
	}
}

// TestSure weighs tolerances of pieces against the aim. Common practice, no source.
func TestSure(t *testing.T) {
	t.Parallel()
	rungs := ladder(steps(150, 190, 5)...)
	for i := range rungs {
		rungs[i].Tolerance = quantity.Between(dec("-0.02"), dec("0.02"))
	}
	in := shim.Request{Sets: []shim.Set{{Shims: setOf("set", rungs, at("p", 1, "play -1"))}},
		Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.10", spec.NotBelow), "0.42", "0.02")},
		Fitted:   []shim.Fitted{fitted("p", "1.50")}, MinProbability: 0.95, HasMin: true, MaxOptions: 10}
	got := plan(t, in)
	first, last := got.ToOrder[0], got.ToOrder[len(got.ToOrder)-1]
	if d := cmp.Diff([]string{"p 1.75 → 0.17", "p 1.80 → 0.12"}, lines([]shim.Option{first, last})); d != "" {
		t.Error(d)
	}
	near(t, "probability of 1.75", first.Predicted[0].Probability, 0.999, 0.0005)
	near(t, "probability of 1.80", last.Predicted[0].Probability, 0.81, 0.005)
	if last.Meets || !first.Meets {
		t.Error("1.80 is unsure, 1.75 is not")
	}
	in.OnHand = []shim.Stock{{Piece: shim.Piece{Thickness: dec("1.80"), Standard: dec("0.003"), HasStandard: true, Stamped: dec("1.80"), HasStamped: true}}}
	in.OnHand[0].Thickness = dec("1.785")
	got = plan(t, in)
	if d := cmp.Diff("p 1.785 → 0.135", line(got.ToOrder[0])); d != "" {
		t.Error(d)
	}
	near(t, "probability of the picked one", got.ToOrder[0].Predicted[0].Probability, 0.958, 0.0005)
	if v := got.ToOrder[0].Predicted[0].Verdict; v != judge.ConditionalPass {
		t.Error(v)
	}
	in.HasMin = false
	if got = plan(t, in); line(got.ToOrder[0]) != "p 1.75 → 0.17" {
		t.Error("by default 1.75 is first, not", line(got.ToOrder[0]))
	}
}

func near(t *testing.T, what string, got, want, by float64) {
	t.Helper()
	if math.Abs(got-want) > by {
		t.Errorf("%s: %v, not %v", what, got, want)
	}
}
