package quantity_test

import (
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/quantity"
)

func between(lower, upper string) quantity.Range { return quantity.Between(dec(lower), dec(upper)) }

func TestInward(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name         string
		r            quantity.Range
		decimals     int
		from, to     quantity.Unit
		lower, upper string
	}{
		{"28 to 32 N·m in pounds", between("28", "32"), 0, "N·m", "lbf·ft", "20.7", "23.6"},
		{"0.08 to 0.35 mm in inches", between("0.08", "0.35"), 2, "mm", "in", "0.0032", "0.0137"},
		{"0.08 to 0.35 mm in thou", between("0.08", "0.35"), 2, "mm", "thou", "3.2", "13.7"},
		{"an exact conversion costs nothing", between("1", "2"), 0, "in", "mm", "25.4", "50.8"},
		{"below zero the lower limit still goes up", between("-0.10", "0.10"), 2, "mm", "in", "-0.0039", "0.0039"},
		{"at most", quantity.AtMost(dec("0.05")), 2, "mm", "in", "", "0.0019"},
		{"at least", quantity.AtLeast(dec("4.50")), 2, "mm", "in", "0.1772", ""},
		{"at most nothing", quantity.AtMost(dec("0.00")), 2, "mm", "in", "", "0"},
		{"a point that converts exactly", between("25.4", "25.4"), 1, "mm", "in", "1", "1"},
		{"the same unit", between("0.08", "0.35"), 2, "mm", "mm", "0.08", "0.35"},
	} {
		out, places, ok := quantity.Inward(row.r, row.decimals, row.from, row.to)
		if !ok || out.HasLower != row.r.HasLower || out.HasUpper != row.r.HasUpper {
			t.Errorf("%s: %+v %v", row.name, out, ok)
			continue
		}
		if out.HasLower && out.Lower.String() != row.lower || out.HasUpper && out.Upper.String() != row.upper {
			t.Errorf("%s: %s to %s with %d places, want %s to %s", row.name, out.Lower, out.Upper, places, row.lower, row.upper)
		}
	}
	for _, row := range []struct {
		name     string
		r        quantity.Range
		from, to quantity.Unit
	}{
		{"a point that no number of digits holds", between("1", "1"), "mm", "in"},
		{"nothing", quantity.Range{}, "mm", "in"},
		{"another kind", between("1", "2"), "mm", "N·m"},
		{"no factor", between("1", "2"), "kPa", "bar"},
	} {
		if out, _, ok := quantity.Inward(row.r, 0, row.from, row.to); ok {
			t.Errorf("%s: %+v", row.name, out)
		}
	}
}

func TestInwardNeverCrossesALimit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		units := quantity.UnitsOf(rapid.SampledFrom([]quantity.Kind{quantity.LengthKind, quantity.TorqueKind}).Draw(t, "kind"))
		from, to := rapid.SampledFrom(units).Draw(t, "from"), rapid.SampledFrom(units).Draw(t, "to")
		places := rapid.IntRange(0, 4).Draw(t, "places")
		a := rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, "a")
		width := rapid.Int64Range(1, 1_000_000).Draw(t, "width")
		r := quantity.Between(quantity.NewDecimal(a, places), quantity.NewDecimal(a+width, places))
		r.HasLower = rapid.Bool().Draw(t, "lower") || !rapid.Bool().Draw(t, "upper too")
		r.HasUpper = !r.HasLower || rapid.Bool().Draw(t, "upper")
		out, used, ok := quantity.Inward(r, places, from, to)
		if !ok {
			return
		}
		back := func(d quantity.Decimal) quantity.Exact { x, _ := quantity.In(d, to, from); return x }
		if r.HasLower && back(out.Lower).Less(r.Lower.Exact()) || r.HasUpper && r.Upper.Exact().Less(back(out.Upper)) {
			t.Fatalf("%v became %v", r, out)
		}
		if r.TwoSided() {
			if back(out.Upper).Less(back(out.Lower)) {
				t.Fatalf("%v became the empty %v", r, out)
			}
			was, is := r.Upper.Exact().Sub(r.Lower.Exact()), back(out.Upper).Sub(back(out.Lower))
			if was.MulInt(19).Cmp(is.MulInt(20)) > 0 {
				t.Fatalf("%v became %v: more than a twentieth is lost", r, out)
			}
		}
		if out.HasLower && out.Lower.Places() != used || out.HasUpper && out.Upper.Places() != used {
			t.Fatalf("%v has other digits than %d", out, used)
		}
	})
}

func TestClampNearest(t *testing.T) {
	t.Parallel()
	r := between("0.0032", "0.0137")
	for _, row := range []struct {
		x    quantity.Exact
		r    quantity.Range
		want string
	}{
		{dec("0.00314").Exact(), r, "0.0032"}, {dec("0.0078").Exact(), r, "0.0078"}, {dec("0.01374").Exact(), r, "0.0137"}, {dec("0.1").Exact(), r, "0.0137"}, {dec("-1").Exact(), quantity.Range{}, "-1.0000"},
	} {
		if d, ok := quantity.ClampNearest(row.x, 4, row.r); !ok || d.String() != row.want {
			t.Errorf("%v is %s %v, want %s", row.x.Float64(), d, ok, row.want)
		}
	}
	if _, ok := quantity.ClampNearest(quantity.Int(1<<62), 18, r); ok {
		t.Error("a number that does not fit")
	}
}

func TestRangeWords(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		r               quantity.Range
		empty, twoSided bool
	}{{quantity.Range{}, true, false}, {between("1", "2"), false, true}, {quantity.AtLeast(dec("1")), false, false}, {quantity.AtMost(dec("1")), false, false}} {
		if row.r.Empty() != row.empty || row.r.TwoSided() != row.twoSided {
			t.Errorf("%+v", row.r)
		}
	}
}
