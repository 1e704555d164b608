package judge_test

import (
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// scene is a random check on a two-sided band of thousandths of a millimetre.
type scene struct {
	lower, width int64
	values       []int64
	u            int64 // ten-thousandths
	scale        int64
}

func drawScene(t *rapid.T) scene {
	return scene{
		lower:  rapid.Int64Range(-200, 400).Draw(t, "lower"),
		width:  rapid.Int64Range(0, 400).Draw(t, "width"),
		values: rapid.SliceOfN(rapid.Int64Range(-300, 900), 1, 5).Draw(t, "values"),
		u:      rapid.Int64Range(0, 500).Draw(t, "u"),
		scale:  1,
	}
}

func (s scene) check(opts ...func(*judge.Check)) judge.Check {
	milli := func(n int64) quantity.Decimal { return quantity.NewDecimal(n*s.scale, 3) }
	sp := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 3,
		Band: quantity.Between(milli(s.lower), milli(s.lower+s.width)), Plausible: quantity.Between(milli(-5000), milli(5000))}
	c := judge.Check{Spec: sp, Unit: quantity.Millimetre, Instrument: u(float64(s.u*s.scale) / 10000)}
	for _, v := range s.values {
		c.Readings = append(c.Readings, measure.Reading{Value: milli(v), HasValue: true})
	}
	for _, o := range opts {
		o(&c)
	}
	return c
}

func goodness(v judge.Verdict) int {
	return slices.Index([]judge.Verdict{judge.Fail, judge.ConditionalFail, judge.ConditionalPass, judge.Pass}, v)
}

// A verdict by values alone agrees with rational comparison.
func TestSimpleAgreesWithRationals(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		r := judge.Judge(s.check(func(c *judge.Check) { c.Rule = judge.Simple }))
		sum := new(big.Rat)
		out := false
		for _, v := range s.values {
			sum.Add(sum, big.NewRat(v, 1000))
			out = out || v < s.lower || v > s.lower+s.width
		}
		mean := sum.Quo(sum, big.NewRat(int64(len(s.values)), 1))
		inside := mean.Cmp(big.NewRat(s.lower, 1000)) >= 0 && mean.Cmp(big.NewRat(s.lower+s.width, 1000)) <= 0
		want := judge.Fail
		switch {
		case inside && out:
			want = judge.ConditionalPass
		case inside:
			want = judge.Pass
		}
		if r.Verdict != want {
			t.Fatalf("%s, want %s: %+v", r.Verdict, want, s)
		}
	})
}

func TestOrderOfPlacesNeverMatters(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		a := judge.Judge(s.check())
		s.values = rapid.Permutation(s.values).Draw(t, "order")
		b := judge.Judge(s.check())
		if a.Verdict != b.Verdict || a.Probability != b.Probability || !a.Value.Equal(b.Value) || a.Lower != b.Lower || a.Upper != b.Upper {
			t.Fatalf("%+v\n%+v", a, b)
		}
	})
}

func TestMoreUncertaintyNeverProvesMore(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		a := judge.Judge(s.check())
		s.u += rapid.Int64Range(0, 500).Draw(t, "more")
		b := judge.Judge(s.check())
		if b.Verdict == judge.Pass && a.Verdict != judge.Pass || b.Verdict == judge.Fail && a.Verdict != judge.Fail {
			t.Fatalf("%s became %s", a.Verdict, b.Verdict)
		}
	})
}

// Both limits kept inside a wider band, a pass stays a pass, and nothing gets worse.
func TestWiderBandNeverHurts(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		a := judge.Judge(s.check())
		more := rapid.Int64Range(0, 100).Draw(t, "more")
		s.lower, s.width = s.lower-more, s.width+2*more
		if b := judge.Judge(s.check()); goodness(b.Verdict) < goodness(a.Verdict) {
			t.Fatalf("%s became %s", a.Verdict, b.Verdict)
		}
	})
}

func TestScaleChangesNothingElse(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := drawScene(t)
		a := judge.Judge(s.check(func(c *judge.Check) { c.Spec.Plausible = quantity.Range{} }))
		s.scale = 4
		b := judge.Judge(s.check(func(c *judge.Check) { c.Spec.Plausible = quantity.Range{} }))
		if a.Verdict != b.Verdict || a.Position != b.Position || a.Action != b.Action || a.Because != b.Because || !b.Value.Equal(a.Value.MulInt(4)) {
			t.Fatalf("%+v\n%+v", a, b)
		}
	})
}

// At every boundary one unit of the grid decides.
func TestBoundariesAreExact(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		nano int64 // over the upper limit of 0.40 mm
		want judge.Verdict
	}{{-1, judge.Pass}, {0, judge.Pass}, {1, judge.Fail}} {
		for _, unit := range []quantity.Unit{quantity.Millimetre, quantity.Inch} {
			sp := &spec.Spec{Kind: spec.Dimension, Unit: unit, Decimals: 2, Band: quantity.Between(dec("0.10"), dec("0.40"))}
			rd := measure.Reading{Value: quantity.NewDecimal(400_000_000+row.nano, 9), HasValue: true}
			r := judge.Judge(judge.Check{Spec: sp, Unit: unit, Readings: []measure.Reading{rd}, Instrument: u(0)})
			if r.Verdict != row.want {
				t.Errorf("%d over in %s: %s", row.nano, unit, r.Verdict)
			}
		}
	}
	// 0.4 in is 10.16 mm exactly: read in one unit, held in the other.
	sp := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Inch, Decimals: 2, Band: quantity.Between(dec("0.10"), dec("0.40"))}
	for mm, want := range map[string]judge.Verdict{"10.16": judge.Pass, "10.1600001": judge.Fail} {
		r := judge.Judge(judge.Check{Spec: sp, Unit: quantity.Millimetre, Readings: values(mm), Instrument: u(0)})
		if r.Verdict != want {
			t.Errorf("%s mm against 0.40 in: %s", mm, r.Verdict)
		}
	}
}
