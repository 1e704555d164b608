package shim

import (
	"math"

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// gauge is one planned spec: what it reads now, in whole steps of the grid, and what it is held to.
type gauge struct {
	key      spec.Key
	spec     *spec.Spec
	in       *Measured
	check    judge.Check
	held     judge.Held
	now      judge.Result
	perUnit  quantity.Exact // millimetres in one unit of the spec; 1 for what is no length
	value    int64
	low      int64 // held against the lower limit
	high     int64 // held against the upper limit
	lowest   int64
	highest  int64
	lower    int64
	upper    int64
	aim      int64
	aimExact quantity.Exact // in the unit of the spec
	hasLower bool
	hasUpper bool
	policy   spec.TargetPolicy
	chances  map[[2]int64]int64
	verdicts map[int64]judge.Result
}

func newGauge(m *Measured, held judge.Held, now judge.Result) *gauge {
	s := m.Check.Spec
	g := &gauge{key: s.Key, spec: s, in: m, check: m.Check, held: held, now: now, policy: s.Policy(),
		hasLower: held.Lower.Has, hasUpper: held.Upper.Has,
		chances: map[[2]int64]int64{}, verdicts: map[int64]judge.Result{0: now}}
	g.perUnit = millimetres(quantity.Int(1), s.Unit)
	switch {
	case s.HasTarget:
		g.aimExact = s.Target.Exact()
	case g.hasLower && g.hasUpper:
		g.aimExact = held.Lower.At.Add(held.Upper.At).DivInt(2)
	case g.hasLower:
		g.aimExact = held.Lower.At
	default:
		g.aimExact = held.Upper.At
	}
	return g
}

// numbers lists everything of the gauge that must lie on the grid, in mm.
func (g *gauge) numbers() []quantity.Exact {
	h := g.held
	list := []quantity.Exact{h.Value, h.AgainstLower, h.AgainstUpper, h.Lowest, h.Highest, g.aimExact}
	if g.hasLower {
		list = append(list, h.Lower.At)
	}
	if g.hasUpper {
		list = append(list, h.Upper.At)
	}
	for i := range list {
		list[i] = list[i].Mul(g.perUnit)
	}
	return list
}

func (g *gauge) place(on *grid) {
	n := g.numbers()
	for i, to := range []*int64{&g.value, &g.low, &g.high, &g.lowest, &g.highest, &g.aim} {
		*to = on.spec(n[i])
	}
	if g.hasLower {
		g.lower = on.spec(g.held.Lower.At.Mul(g.perUnit))
	}
	if g.hasUpper {
		g.upper = on.spec(g.held.Upper.At.Mul(g.perUnit))
	}
}

// window is the shifts under which everything that is held lies inside, both ends included.
func (g *gauge) window() (from, to int64) {
	from, to = math.MinInt64/4, math.MaxInt64/4
	if g.hasLower {
		from = g.lower - g.low
	}
	if g.hasUpper {
		to = g.upper - g.high
	}
	return from, to
}

func (g *gauge) inside(shift int64) bool {
	from, to := g.window()
	return from <= shift && shift <= to
}

// deviation is how far the value is from its aim after a shift.
func (g *gauge) deviation(shift int64) int64 {
	d := g.value + shift - g.aim
	if d < 0 {
		return -d
	}
	return d
}

func (g *gauge) pastAim(shift int64) bool {
	v := g.value + shift
	return g.policy == spec.NotBelow && v < g.aim || g.policy == spec.NotAbove && v > g.aim
}

// placeOut is a place outside the limits under a good mean.
func (g *gauge) placeOut(shift int64) bool {
	return g.held.PlacesCount && g.inside(shift) && (g.hasLower && g.lowest+shift < g.lower || g.hasUpper && g.highest+shift > g.upper)
}

// shifted is a shift in the unit of the spec.
func (g *gauge) shifted(shift int64, on *grid) quantity.Exact {
	return quantity.Frac(shift, on.specs).Quo(g.perUnit)
}

// standard is the standard uncertainty after pieces of that variance were moved, in the unit of the spec.
func (g *gauge) standard(v int64) float64 {
	per := g.perUnit.Float64()
	return math.Sqrt(g.held.Standard*g.held.Standard + variance(v)/(per*per))
}

// certain stands for a spec that has no uncertainty: it counts as met.
const certain = int64(1e12)

// chance is the probability that the spec is inside, in whole units of 1e-12.
func (g *gauge) chance(shift, v int64, on *grid) int64 {
	if !g.held.HasStandard {
		return certain
	}
	key := [2]int64{shift, v}
	p, ok := g.chances[key]
	if !ok {
		u := g.standard(v)
		if g.held.Bracket {
			u = math.Sqrt(variance(v)) / g.perUnit.Float64()
		}
		p = int64(math.RoundToEven(judge.Share(g.held, g.shifted(shift, on), u) * 1e12))
		g.chances[key] = p
	}
	return p
}

// confirmed is the verdict that measuring exactly the prediction again would give.
func (g *gauge) confirmed(shift int64, on *grid) judge.Verdict { return g.judged(shift, on).Verdict }

// judged is what measuring exactly the prediction again would be answered with.
func (g *gauge) judged(shift int64, on *grid) judge.Result {
	r, ok := g.verdicts[shift]
	if !ok {
		c := g.check
		c.Shift = g.shifted(shift, on)
		r = judge.Judge(c)
		g.verdicts[shift] = r
	}
	return r
}

// meets reports whether a spec meets the demand after a shift with that variance of pieces.
func (g *gauge) meets(shift, v int64, d *demand, on *grid) (met bool, p int64) {
	p = g.chance(shift, v, on)
	switch {
	case !g.held.HasStandard, p >= d.least:
		return true, p
	case d.explicit || v > 0:
		return false, p
	}
	return g.confirmed(shift, on) == judge.Pass, p
}

// couldMeet is meets for a variance of at least v. A bracket may gain by variance, so that it always could.
func (g *gauge) couldMeet(shift, v int64, d *demand, on *grid) (met bool, p int64) {
	if g.held.Bracket {
		return true, certain
	}
	return g.meets(shift, max(0, v), d, on)
}

// demand is the probability that every spec must reach.
type demand struct {
	least    int64 // in units of 1e-12
	explicit bool
}
