package measure_test

import (
	"math"
	"testing"

	"endfloat/service/measure"
	"endfloat/service/quantity"
)

// The divisors of JCGM 100: 4.3.7, 4.3.9, H.1.3.3 and, for a normal distribution, 4.3.4: ±a covers 95 % with 1.96 u.
func TestDistributions(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		shape    measure.Distribution
		level    float64
		u, bound float64 // of ±0.06
	}{
		{"", 0, 0.06 / math.Sqrt(3), 0.06},
		{measure.Rectangular, 0, 0.06 / math.Sqrt(3), 0.06},
		{measure.Triangular, 0, 0.06 / math.Sqrt(6), 0.12 / math.Sqrt(6)},
		{measure.UShaped, 0, 0.06 / math.Sqrt2, 0.06},
		{measure.Normal, 0.95, 0.06 / 1.959964, 0.12 / 1.959964},
	} {
		for _, ins := range []measure.Instrument{{Accuracy: measure.Some(0.06)}, {Percent: measure.Some(2)}} {
			ins.Shape, ins.Level = row.shape, row.level
			e, ok := ins.Of(-3, quantity.Millimetre, quantity.Millimetre, nil)
			b := e.Budget()
			if !ok || e.Std < 0 || math.Abs(b.Standard()-row.u) > 1e-8 || math.Abs(b.Expanded()-row.bound) > 1e-8 {
				t.Errorf("%s: u %v, U %v", row.shape, b.Standard(), b.Expanded())
			}
		}
	}
	if list := measure.Distributions(); len(list) != 4 || list[0] != measure.Rectangular {
		t.Error(list)
	}
}

// What is fully correlated adds with its sign (JCGM 100, 5.2.2, note 1).
func TestCommonErrors(t *testing.T) {
	t.Parallel()
	limit := func(a, narrow float64) measure.Error {
		return measure.Error{Source: measure.FromCaller, Limit: a, Narrow: narrow}
	}
	std := func(u float64) measure.Error { return measure.Error{Source: measure.FromCaller, Std: u} }
	for _, row := range []struct {
		name   string
		errors []measure.Error
		signs  []int64
		u, U   float64
	}{
		{"alike and opposite: nothing is left", []measure.Error{limit(3, 0), limit(3, 0)}, []int64{1, -1}, 0, 0},
		{"percentages of two sizes", []measure.Error{limit(5, 0), limit(2, 0)}, []int64{1, -1}, math.Sqrt(3), 3},
		{"the larger taken away", []measure.Error{std(2), std(5)}, []int64{1, -1}, 3, 6},
		{"both the same way", []measure.Error{std(2), std(5)}, []int64{1, 1}, 7, 14},
		{"unlike distributions", []measure.Error{limit(3, 0), limit(2, 2)}, []int64{1, 1}, math.Sqrt(3) + math.Sqrt2, 5},
		{"unlike distributions of one limit", []measure.Error{limit(6, 0), limit(6, 2)}, []int64{1, -1}, 6/math.Sqrt2 - 6/math.Sqrt(3), 12/math.Sqrt2 - 12/math.Sqrt(3)},
	} {
		b := measure.Common(row.errors, row.signs).Budget()
		if math.Abs(b.Standard()-row.u) > 1e-12 || math.Abs(b.Expanded()-row.U) > 1e-12 {
			t.Errorf("%s: u %v, U %v", row.name, b.Standard(), b.Expanded())
		}
	}
}
