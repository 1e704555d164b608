package quantity_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/quantity"
)

func TestLengthOf(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, value string
		unit        quantity.Unit
		grid        int64
	}{
		{"a millimetre", "1", "mm", 10_000_000_000}, {"nine decimals of a millimetre", "0.000000001", "mm", 10}, {"an inch", "1", "in", 254_000_000_000},
		{"nine decimals of an inch", "0.000000001", "in", 254}, {"six decimals of a micrometre", "0.000001", "µm", 10}, {"six decimals of a thou", "-0.000001", "thou", -254},
		{"exactly 10 m", "10000", "mm", 100_000_000_000_000},
	} {
		if l, err := quantity.LengthOf(dec(row.value), row.unit); err != nil || l.Grid() != row.grid {
			t.Errorf("%s: %d %v, want %d", row.name, l.Grid(), err, row.grid)
		}
	}
	for _, row := range []struct {
		name, value string
		unit        quantity.Unit
		want        error
	}{
		{"a tenth decimal of a millimetre", "0.0000000001", "mm", quantity.ErrDigits}, {"a seventh of a thou", "0.0000001", "thou", quantity.ErrDigits},
		{"a digit over 10 m", "10000.000000001", "mm", quantity.ErrRange}, {"393.7007875 in are over 10 m", "393.7007875", "in", quantity.ErrRange},
		{"far below", "-999999999999", "mm", quantity.ErrRange}, {"a torque", "1", "N·m", quantity.ErrUnit}, {"nothing", "1", "", quantity.ErrUnit},
	} {
		if l, err := quantity.LengthOf(dec(row.value), row.unit); !errors.Is(err, row.want) {
			t.Errorf("%s: %v %v, want %v", row.name, l, err, row.want)
		}
	}
}

func TestLengthsAreTheIdentityOnTheGrid(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(quantity.UnitsOf(quantity.LengthKind)).Draw(t, "unit")
		d := quantity.NewDecimal(rapid.Int64Range(-90_000_000_000, 90_000_000_000).Draw(t, "coef"), u.MaxPlaces())
		l, err := quantity.LengthOf(d, u)
		if errors.Is(err, quantity.ErrRange) {
			return
		}
		if err != nil || !l.In(u).Equal(d.Exact()) {
			t.Fatalf("%s %s is %v %v", d, u, l, err)
		}
		for _, other := range quantity.UnitsOf(quantity.LengthKind) {
			back, ok := quantity.Convert(l.In(other), other, u)
			if !ok || !back.Equal(d.Exact()) {
				t.Fatalf("%s %s by way of %s is %v", d, u, other, back.Rat())
			}
		}
		m, _ := quantity.LengthOf(quantity.NewDecimal(rapid.Int64Range(-9999, 9999).Draw(t, "m"), 3), quantity.Millimetre)
		if l.Cmp(m) != l.In(quantity.Millimetre).Cmp(m.In(quantity.Millimetre)) {
			t.Fatalf("%v and %v", l, m)
		}
	})
}

func TestLengthsInFloatsAreForEstimates(t *testing.T) {
	t.Parallel()
	l, _ := quantity.LengthOf(dec("0.25"), quantity.Millimetre)
	if l.Millimetres() != 0.25 {
		t.Errorf("%v", l.Millimetres())
	}
	defer func() {
		if recover() == nil {
			t.Error("a length in newton metres")
		}
	}()
	l.In(quantity.NewtonMetre)
}

func TestInRange(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		value string
		unit  quantity.Unit
		want  bool
	}{
		{"1000000", "N·m", true}, {"-1000000", "N·m", true}, {"1000000.000001", "N·m", false}, {"-1000000.000001", "lbf·in", false},
		{"1000000", "kPa", true}, {"1000000.000000001", "kPa", false}, {"10000", "mm", true}, {"-10000", "mm", true},
		{"10000.000000001", "mm", false}, {"393.700787401", "in", true}, {"393.700787402", "in", false},
	} {
		if got := quantity.InRange(dec(row.value), row.unit); got != row.want {
			t.Errorf("%s %s: %t", row.value, row.unit, got)
		}
	}
}

// The factors are those of NIST SP 811, appendix B.8 (from memory).
func TestTorquesOfTwoUnitsCompareExactly(t *testing.T) {
	t.Parallel()
	of := func(v string, u quantity.Unit) quantity.Exact {
		x, ok := quantity.In(dec(v), u, quantity.NewtonMetre)
		if !ok {
			t.Fatal(u)
		}
		return x
	}
	for _, row := range []struct {
		a, b quantity.Exact
		want int
	}{
		{of("1", "kgf·m"), of("100", "kgf·cm"), 0}, {of("1", "kgf·m"), of("9.80665", "N·m"), 0}, {of("9.806651", "N·m"), of("1", "kgf·m"), 1},
		{of("12", "lbf·in"), of("1", "lbf·ft"), 0}, {of("1.355817", "N·m"), of("1", "lbf·ft"), -1}, {of("1.355818", "N·m"), of("1", "lbf·ft"), 1}, {of("3", "N·m"), of("2", "N·m"), 1},
	} {
		if got := row.a.Cmp(row.b); got != row.want || row.b.Cmp(row.a) != -row.want {
			t.Errorf("%v against %v is %d", row.a, row.b, got)
		}
	}
}
