package judge_test

import (
	"math"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func result(value string, u float64) judge.Result {
	s := mm("0.10", "0.40")
	c := judge.Check{Spec: s, Unit: quantity.Millimetre, Readings: values(value)}
	if u >= 0 {
		c.Instrument = measure.Instrument{Standard: measure.Some(u)}
	}
	return judge.Judge(c)
}

// 0.50 before, 0.40 added, 0.15 after, u 0.02 each: common practice, no source; U = 2·√(0.02² + 0.02² + v).
func TestClose(t *testing.T) {
	t.Parallel()
	minus := quantity.Int(-1)
	for _, row := range []struct {
		name, before, after, added string
		u, variance                float64
		perMM                      quantity.Exact
		outcome                    judge.Outcome
		because, residual, suspect string
		expanded                   float64
	}{
		{"within U", "0.50", "0.15", "0.40", 0.02, 0, minus, judge.Explained, "", "0.05", "", 0.056569},
		{"more than U", "0.50", "0.22", "0.40", 0.02, 0, minus, judge.Unexplained, "", "0.12", "suspect_shim_thinner", 0.056569},
		{"the pieces have an uncertainty too", "0.50", "0.22", "0.40", 0.02, 0.0032, minus, judge.Explained, "", "0.12", "", 0.126491},
		{"exactly U", "0.50", "0.14", "0.40", 0, 0.0004, minus, judge.Explained, "", "0.04", "", 0.04},
		{"a billionth over U", "0.50", "0.140000001", "0.40", 0, 0.0004, minus, judge.Unexplained, "", "0.040000001", "suspect_shim_thinner", 0.04},
		{"nothing was changed", "0.50", "0.50", "0.40", 0.02, 0, minus, judge.Unexplained, "", "0.40", "suspect_not_changed", 0.056569},
		{"the other way round", "0.30", "0.60", "0.30", 0.02, 0, minus, judge.Unexplained, "", "0.60", "suspect_other_way_round", 0.056569},
		{"tighter than expected", "0.50", "0.02", "0.40", 0.01, 0, minus, judge.Unexplained, "", "-0.08", "suspect_dirt_under_shim", 0.028284},
		{"a bevel moves by a third", "0.30", "0.233", "0.20", 0.0001, 0, quantity.Frac(-33, 100), judge.Unexplained, "", "-0.001", "suspect_dirt_under_shim", 0.000283},
		{"the pieces count by the change they make: 2·√(0.5²·0.0004)", "0.30", "0.215", "0.20", 0, 0.0004, quantity.Frac(-1, 2), judge.Explained, "", "0.015", "", 0.02},
		{"no uncertainty, and exact", "0.50", "0.10", "0.40", -1, 0, minus, judge.Explained, "", "0.00", "", 0},
		{"no uncertainty, and not", "0.50", "0.11", "0.40", -1, 0, minus, judge.Open, "no_uncertainty", "0.01", "", 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			k := judge.Close(result(row.before, row.u), result(row.after, row.u), judge.Change{Added: dec(row.added).Exact(), Variance: row.variance, PerMM: row.perMM})
			first := ""
			if len(k.Suspects) > 0 {
				first = k.Suspects[0].Code
			}
			if k.Outcome != row.outcome || k.Because != row.because || k.Residual.Print(2, 7).String() != row.residual || first != row.suspect || math.Abs(k.Expanded-row.expanded) > 1e-6 {
				t.Errorf("got %+v", k)
			}
			if (k.Outcome == judge.Unexplained) != (len(k.Next) == 1 && k.Next[0].Code == "clean_and_measure_again") {
				t.Errorf("next %v", k.Next)
			}
		})
	}
}

func TestCloseNeedsBothValues(t *testing.T) {
	t.Parallel()
	missing := judge.Judge(judge.Check{Spec: mm("0.10", "0.40"), Unit: quantity.Millimetre})
	wild := judge.Judge(judge.Check{Spec: mm("0.10", "0.40"), Unit: quantity.Millimetre, Readings: values("70")})
	good := result("0.20", 0.01)
	for because, pair := range map[string][2]judge.Result{"missing": {missing, good}, "implausible": {good, wild}} {
		if k := judge.Close(pair[0], pair[1], judge.Change{PerMM: quantity.Int(-1)}); k.Outcome != judge.Open || k.Because != because || k.HasResidual {
			t.Errorf("%s: %+v", because, k)
		}
	}
}

func TestViewsOfADispute(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		value              string
		u                  float64
		supplier, customer bool
	}{{"0.20", 0.02, true, false}, {"0.39", 0.02, false, false}, {"0.41", 0.02, false, false}, {"0.50", 0.02, false, true}, {"0.20", -1, false, false}} {
		c := judge.Check{Spec: mm("0.10", "0.40"), Unit: quantity.Millimetre, Readings: values(row.value), Rule: judge.Simple}
		if row.u >= 0 {
			c.Instrument = u(row.u)
		}
		supplier, customer := judge.Views(c)
		if supplier.Proven != row.supplier || customer.Proven != row.customer {
			t.Errorf("%s ± 2·%v: %v %v", row.value, row.u, supplier.Proven, customer.Proven)
		}
		if row.u < 0 {
			continue
		}
		if got := supplier.Lower.At.Print(2, 2).String() + " " + supplier.Upper.At.Print(2, 2).String() + " " + customer.Lower.At.Print(2, 2).String() + " " + customer.Upper.At.Print(2, 2).String(); got != "0.14 0.36 0.06 0.44" {
			t.Errorf("limits %s", got)
		}
	}
	coarse := judge.Check{Spec: mm("0.10", "0.12"), Unit: quantity.Millimetre, Readings: values("0.11"), Instrument: u(0.02)}
	if supplier, _ := judge.Views(coarse); supplier.Lower.Has || supplier.Upper.Has {
		t.Errorf("no value can be proven inside, yet limits %+v", supplier)
	}
}

func TestRatio(t *testing.T) {
	t.Parallel()
	known := result("0.20", 0.02)
	if ratio, ok := known.Ratio(); !ok || math.Abs(ratio-3.75) > 1e-9 { // 0.15/0.04
		t.Errorf("%v %v", ratio, ok)
	}
	oneSided := judge.Judge(judge.Check{Spec: &spec.Spec{Kind: spec.Dimension, Unit: "mm", Band: quantity.AtMost(dec("1"))}, Unit: "mm", Readings: values("0.5"), Instrument: u(0.1)})
	for _, r := range []judge.Result{result("0.20", 0), result("0.20", -1), oneSided} {
		if _, ok := r.Ratio(); ok {
			t.Errorf("a ratio of %+v", r)
		}
	}
}

func TestLikeness(t *testing.T) {
	t.Parallel()
	aimed := with(mm("0.10", "0.40"), func(s *spec.Spec) { s.Target, s.HasTarget = dec("0.2"), true })
	check := func(v string, s *spec.Spec) judge.Check {
		return judge.Check{Spec: s, Unit: quantity.Millimetre, Readings: values(v)}
	}
	for _, row := range []struct {
		name   string
		checks []judge.Check
		want   string
	}{
		{"three are too few", []judge.Check{check("0.3", aimed), check("0.3", aimed), check("0.3", aimed)}, ""},
		{"four of one figure, however written", []judge.Check{check("0.3", aimed), check("0.30", aimed), check("0.3", aimed), check("0.3", aimed)}, "same_reading_on_lines"},
		{"four on the aim", []judge.Check{check("0.2", aimed), check("0.2", aimed), check("0.20", aimed), check("0.2", aimed)}, "same_reading_on_lines copied_from_aim"},
		{"one is off the aim", []judge.Check{check("0.2", aimed), check("0.2", aimed), check("0.2", aimed), check("0.2", aimed), check("0.21", aimed)}, ""},
		{"rows that could not be read are passed over", []judge.Check{{}, check("0.3", aimed), check("0.3", aimed), check("0.3", aimed), check("0.3", aimed)}, "same_reading_on_lines"},
	} {
		got := ""
		var alike judge.Likeness
		for i := range row.checks {
			c := &row.checks[i]
			if c.Spec == nil {
				c = nil
			}
			alike.Add(c)
		}
		for _, n := range alike.Notes() {
			got += " " + n.Code
		}
		if got != "" && got[1:] != row.want || got == "" && row.want != "" {
			t.Errorf("%s: %q", row.name, got)
		}
	}
}
