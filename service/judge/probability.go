package judge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"endfloat/service/quantity"
)

// probability is the estimated share P(lower − low ≤ e ≤ upper − high) with one common error e, normal or uniform over
// the bracket (JCGM 106, 7.2), rounded to 12 places. low and high are what is held against the limits. The error is that
// of what is held; where unlike errors are held against the two limits, that of the value by combine.
func (c *Check) probability(r *Result, l *limits, sides *[2]held) (float64, bool) {
	if !r.HasStandard {
		return 0, false
	}
	from, to := math.Inf(-1), math.Inf(1)
	if l.has[0] {
		from = l.lower.Sub(sides[0].value).Float64()
	}
	if l.has[1] {
		to = l.upper.Sub(sides[1].value).Float64()
	}
	own, is := oneError(l, sides)
	switch {
	case is && own.bracket:
		return round12(uniform(from, to, own.low.At.Sub(own.value).Float64(), own.up.At.Sub(own.value).Float64())), true
	case is:
		return round12(normal(from, to, own.budget.Standard())), true
	case own.bracket:
		v := r.Value
		return round12(uniform(from, to, r.Lower.Exact().Sub(v).Float64(), r.Upper.Exact().Sub(v).Float64())), true
	}
	return round12(normal(from, to, r.Standard)), true
}

// oneError is what is held against the only limit, or against both with one error. false: their errors are unlike.
func oneError(l *limits, sides *[2]held) (*held, bool) {
	a, b := &sides[0], &sides[1]
	switch {
	case !l.has[1]:
		return a, true
	case !l.has[0]:
		return b, true
	case a.bracket && b.bracket:
		return a, a.low.At.Sub(a.value).Cmp(b.low.At.Sub(b.value)) == 0 && a.up.At.Sub(a.value).Cmp(b.up.At.Sub(b.value)) == 0
	}
	return a, a.bracket == b.bracket && a.budget.Standard() == b.budget.Standard()
}

// normal is the share of a centred normal error between from and to. With u = 0 the error is 0.
func normal(from, to, u float64) float64 {
	if from > to {
		return 0
	}
	if u == 0 {
		if from <= 0 && 0 <= to {
			return 1
		}
		return 0
	}
	n := distuv.UnitNormal
	if from > 0 { // the upper tails are the more exact
		return n.Survival(from/u) - n.Survival(to/u)
	}
	return n.CDF(to/u) - n.CDF(from/u)
}

// uniform is the share of an error that lies evenly from a to b.
func uniform(from, to, a, b float64) float64 {
	if b <= a {
		return normal(from, to, 0)
	}
	return math.Max(0, math.Min(to, b)-math.Max(from, a)) / (b - a)
}

func round12(p float64) float64 { return math.RoundToEven(math.Min(1, math.Max(0, p))*1e12) / 1e12 }

// PrintProbability is a probability for print: three digits, from 0.001 to 0.999.
func PrintProbability(p float64) float64 {
	return math.Min(0.999, math.Max(0.001, math.RoundToEven(p*1000)/1000))
}

// limitsFrom is how far the limits lie from what is held against them, after a shift.
func limitsFrom(h Held, shift quantity.Exact) (from, to float64) {
	from, to = math.Inf(-1), math.Inf(1)
	if h.Lower.Has {
		from = h.Lower.At.Sub(h.AgainstLower.Add(shift)).Float64()
	}
	if h.Upper.Has {
		to = h.Upper.At.Sub(h.AgainstUpper.Add(shift)).Float64()
	}
	return from, to
}

// smeared is the share between from and to of an error that lies evenly from a to b and has a normal error u on top.
func smeared(from, to, a, b, u float64) float64 {
	if u == 0 || b <= a {
		if b <= a {
			return normal(from, to, u)
		}
		return uniform(from, to, a, b)
	}
	below := func(x float64) float64 { // distribution of the sum
		switch {
		case math.IsInf(x, 1):
			return 1
		case math.IsInf(x, -1):
			return 0
		}
		g := func(z float64) float64 { return z*distuv.UnitNormal.CDF(z) + distuv.UnitNormal.Prob(z) }
		return (g((x-a)/u) - g((x-b)/u)) * u / (b - a)
	}
	return below(to) - below(from)
}
