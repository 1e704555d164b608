package quantity_test

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/quantity"
)

// drawExact draws numerators and denominators of every size, the largest included.
func drawExact(t *rapid.T, name string) quantity.Exact {
	num := rapid.OneOf(rapid.Int64Range(-1000, 1000), rapid.Int64(), rapid.SampledFrom([]int64{math.MinInt64, math.MinInt64 + 1, math.MaxInt64, 0, 1, -1})).Draw(t, name+" num")
	den := rapid.OneOf(rapid.Int64Range(1, 1000), rapid.Int64(), rapid.SampledFrom([]int64{math.MinInt64, math.MaxInt64, 1_000_000_000_000_000_000})).Draw(t, name+" den")
	if den == 0 {
		den = 1
	}
	x := quantity.Frac(num, den)
	if rapid.Bool().Draw(t, name+" huge") {
		x = x.Mul(quantity.Frac(math.MaxInt64, 7)).Mul(quantity.Frac(math.MaxInt64-1, 11))
	}
	return x
}

func TestExactAgreesWithBigRat(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x, y := drawExact(t, "x"), drawExact(t, "y")
		a, b := x.Rat(), y.Rat()
		same := func(what string, got quantity.Exact, want *big.Rat) {
			if got.Rat().Cmp(want) != 0 {
				t.Fatalf("%s of %v and %v is %v, want %v", what, a, b, got.Rat(), want)
			}
		}
		same("sum", x.Add(y), new(big.Rat).Add(a, b))
		same("difference", x.Sub(y), new(big.Rat).Sub(a, b))
		same("product", x.Mul(y), new(big.Rat).Mul(a, b))
		same("negative", x.Neg(), new(big.Rat).Neg(a))
		same("magnitude", x.Abs(), new(big.Rat).Abs(a))
		if y.Sign() != 0 {
			same("quotient", x.Quo(y), new(big.Rat).Quo(a, b))
		}
		same("times 7", x.MulInt(7), new(big.Rat).Mul(a, big.NewRat(7, 1)))
		same("over -3", x.DivInt(-3), new(big.Rat).Mul(a, big.NewRat(-1, 3)))
		same("round trip", quantity.FromRat(a), a)
		if x.Cmp(y) != a.Cmp(b) || x.Less(y) != (a.Cmp(b) < 0) || x.Equal(y) != (a.Cmp(b) == 0) || x.Sign() != a.Sign() {
			t.Fatalf("%v against %v is %d", a, b, x.Cmp(y))
		}
		if f, _ := a.Float64(); f != x.Float64() {
			t.Fatalf("%v as a float is %v, want %v", a, x.Float64(), f)
		}
	})
}

func TestExactDoesNotShareItsBigRat(t *testing.T) {
	t.Parallel()
	x := quantity.Frac(math.MaxInt64, 3).Mul(quantity.Frac(math.MaxInt64, 7))
	before := x.Rat()
	x.Rat().SetInt64(1)
	if x.Rat().Cmp(before) != 0 {
		t.Error("a caller changed it")
	}
}

func TestRound(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name   string
		x      quantity.Exact
		places int
		mode   quantity.Rounding
		want   string
	}{
		{"a tie to the even digit below", dec("0.125").Exact(), 2, quantity.HalfEven, "0.12"},
		{"a tie to the even digit above", dec("0.135").Exact(), 2, quantity.HalfEven, "0.14"},
		{"a negative tie", dec("-0.125").Exact(), 2, quantity.HalfEven, "-0.12"},
		{"just over a tie", dec("0.125000000001").Exact(), 2, quantity.HalfEven, "0.13"},
		{"a third", quantity.Frac(1, 3), 4, quantity.HalfEven, "0.3333"},
		{"two thirds", quantity.Frac(2, 3), 4, quantity.HalfEven, "0.6667"},
		{"down", quantity.Frac(2, 3), 1, quantity.Down, "0.6"},
		{"down of a negative is further from zero", quantity.Frac(-2, 3), 1, quantity.Down, "-0.7"},
		{"up", quantity.Frac(1, 3), 1, quantity.Up, "0.4"},
		{"up of a negative is nearer to zero", quantity.Frac(-2, 3), 1, quantity.Up, "-0.6"},
		{"exact numbers stay, down", dec("0.50").Exact(), 2, quantity.Down, "0.50"},
		{"exact numbers stay, up", dec("0.50").Exact(), 2, quantity.Up, "0.50"},
		{"zero", quantity.Exact{}, 3, quantity.Up, "0.000"},
	} {
		if d, ok := row.x.Round(row.places, row.mode); !ok || d.String() != row.want {
			t.Errorf("%s: %s %v, want %s", row.name, d, ok, row.want)
		}
	}
	for _, x := range []quantity.Exact{quantity.Int(math.MaxInt64), quantity.Int(math.MinInt64), quantity.Frac(3504881374004814807, 19)} {
		if d, ok := x.Round(2, quantity.HalfEven); ok {
			t.Errorf("%v fits as %s", x.Rat(), d)
		}
	}
}

func TestRoundProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := drawExact(t, "x")
		places := rapid.IntRange(0, quantity.MaxPlaces).Draw(t, "places")
		unit := quantity.NewDecimal(1, places).Exact()
		down, ok1 := x.Round(places, quantity.Down)
		up, ok2 := x.Round(places, quantity.Up)
		even, ok3 := x.Round(places, quantity.HalfEven)
		if !ok1 || !ok2 || !ok3 {
			if most := quantity.Int(math.MaxInt64 - 1).Mul(unit); x.Abs().Less(most) {
				t.Fatalf("%v with %d places would fit", x.Rat(), places)
			}
			return
		}
		if x.Less(down.Exact()) || up.Exact().Less(x) || !up.Exact().Sub(down.Exact()).Mul(quantity.Int(1)).Less(unit.MulInt(2)) {
			t.Fatalf("%v lies outside %s to %s", x.Rat(), down, up)
		}
		if off := even.Exact().Sub(x).Abs().MulInt(2); unit.Less(off) || off.Equal(unit) && even.Coef()%2 != 0 {
			t.Fatalf("%v rounds to %s", x.Rat(), even)
		}
	})
}

func TestPrint(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		x             quantity.Exact
		places, extra int
		want          string
	}{
		{quantity.Frac(1, 6), 2, 2, "0.1667"}, {dec("0.15").Exact(), 2, 2, "0.15"}, {dec("0.1").Exact(), 2, 2, "0.10"}, {quantity.Int(7), 2, 2, "7.00"}, {quantity.Frac(-1, 3), 0, 2, "-0.33"},
		{quantity.Int(math.MaxInt64), 2, 2, "9223372036854775807"},
	} {
		if got := row.x.Print(row.places, row.extra).String(); got != row.want {
			t.Errorf("%v prints as %s, want %s", row.x.Rat(), got, row.want)
		}
	}
	huge := quantity.Int(math.MaxInt64).MulInt(4)
	if got := huge.Print(2, 2).String(); got != "0" {
		t.Errorf("a number that no Decimal holds prints as %s", got)
	}
}

func TestFromFloat(t *testing.T) {
	t.Parallel()
	if x := quantity.FromFloat(0.1); x.Equal(dec("0.1").Exact()) || !x.Equal(quantity.Frac(3602879701896397, 36028797018963968)) {
		t.Error("0.1 has no exact float")
	}
	for _, f := range []float64{math.NaN(), math.Inf(1)} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%v is a number", f)
				}
			}()
			quantity.FromFloat(f)
		}()
	}
}

// A float is an exact number: the short way agrees with math/big at every exponent.
func TestFromFloatIsExact(t *testing.T) {
	t.Parallel()
	for _, f := range []float64{0, 1, -1, 0.1, -0.1, 1.0 / 3, 5e-324, 1.7e308, 1 << 62, -(1 << 62), 1 << 52, 0x1p-62, 0x1p-63, 3 * 0x1p-62, 123456.789e-7, 9007199254740993} {
		if got, want := quantity.FromFloat(f).Rat(), new(big.Rat).SetFloat64(f); got.Cmp(want) != 0 {
			t.Errorf("%v became %s, want %s", f, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(-1e12, 1e12).Draw(t, "f")
		if got, want := quantity.FromFloat(f).Rat(), new(big.Rat).SetFloat64(f); got.Cmp(want) != 0 {
			t.Fatalf("%v became %s, want %s", f, got, want)
		}
	})
}
