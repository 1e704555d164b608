package judge

import (
	"math"

	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// settle names what would decide a value whose interval reaches over a limit: the blade at that limit, or the standard
// uncertainty that would do, an instrument that has it, the place that decides and the number of repeats.
func (c *Check) settle(r *Result) {
	limit, gap, ok := r.straddled()
	if !ok {
		return
	}
	c.decisivePlace(r)
	if len(c.Readings) > 0 && len(c.Readings[0].Blades) > 0 {
		c.blade(r, limit)
		return
	}
	if gap <= 0 {
		r.next("on_the_limit")
		return
	}
	needed := gap / c.factor()
	if t := c.tried(); t != nil {
		if u, ok := t.finer(needed); ok {
			r.next("use_finer_instrument", note.Qty("standard_uncertainty", u, c.Spec.Unit))
		}
		c.instrument(r, t, needed)
	}
	c.repeats(r, needed)
}

// factor is how many standard uncertainties the guard band is wide.
func (c *Check) factor() float64 {
	if c.Guard == Guard95 {
		return 1.65
	}
	return 2
}

// straddled is the limit over which the doubt reaches, the nearer one of two, and how far what was held against it lies
// from it. A limit that the interval of a value inside just touches is not reached over; that of one outside is.
func (r *Result) straddled() (limit quantity.Exact, gap float64, ok bool) {
	half, known := r.half()
	if !known {
		return limit, 0, false
	}
	for side, m := range []struct{ margin, limit Limit }{{r.MarginLower, r.LimitLower}, {r.MarginUpper, r.LimitUpper}} {
		if !m.margin.Has {
			continue
		}
		reach := half
		if r.Source == measure.FromBracket || r.Source == measure.Assumed {
			reach = r.reach(side, m.margin.At.Sign() < 0)
		}
		over := reach.Cmp(m.margin.At.Abs())
		if over < 0 || over == 0 && m.margin.At.Sign() > 0 {
			continue
		}
		if g := math.Abs(m.margin.At.Float64()); !ok || g < gap {
			limit, gap, ok = m.limit.At, g, true
		}
	}
	return limit, gap, ok
}

// reach is how far the interval reaches from the value towards the limit of a side: outwards from a value inside, back
// in from one outside.
func (r *Result) reach(side int, outside bool) quantity.Exact {
	if (side == 0) != outside {
		return r.Value.Sub(r.Lower.Exact())
	}
	return r.Upper.Exact().Sub(r.Value)
}

// blade names the blade that says on which side of the limit the gap lies: that of the limit itself, or the one of the
// declared set inside the bracket that comes nearest to it.
func (c *Check) blade(r *Result, limit quantity.Exact) {
	if len(c.Instrument.BladeSet) == 0 {
		if d, fits := limit.Round(c.Spec.Decimals, quantity.HalfEven); fits && d.Exact().Equal(limit) {
			r.next("try_blade", note.Qty("blade", d, c.Spec.Unit))
		}
		return
	}
	var best *quantity.Decimal
	var off quantity.Exact
	for i, b := range c.Instrument.BladeSet {
		x, ok := quantity.In(b, c.Unit, c.Spec.Unit)
		if !ok || x.Cmp(r.Lower.Exact()) <= 0 || x.Cmp(r.Upper.Exact()) >= 0 {
			continue
		}
		if d := x.Sub(limit).Abs(); best == nil || d.Less(off) {
			best, off = &c.Instrument.BladeSet[i], d
		}
	}
	if best == nil {
		r.next("no_blade_settles")
		return
	}
	r.next("try_blade", note.Qty("blade", *best, c.Unit))
}

// instrument names the coarsest of the usual instruments that would do.
func (c *Check) instrument(r *Result, t *tried, needed float64) {
	best, kind := 0.0, ""
	for _, d := range c.Defaults {
		if !d.HasStandard || !suits(d, c.Spec) {
			continue
		}
		i := measure.Instrument{Kind: d.Kind}
		e, ok := i.Of(r.Value.Float64(), c.Unit, c.Spec.Unit, c.Defaults)
		if ok && !needs(e.Std, needed) && e.Std > best && t.decidedWith(&i) {
			best, kind = e.Std, d.Kind
		}
	}
	if kind == "" {
		return
	}
	u := quantity.FromFloat(best).Print(c.Spec.Decimals, 3)
	r.next("use_instrument", str("instrument", kind), note.Qty("standard_uncertainty", u, c.Spec.Unit))
}

// needs reports whether u is more than is needed, at 1e-12 of the unit.
func needs(u, needed float64) bool { return estimate(needed).Less(estimate(u)) }

// repeats says how many repeats would do if their scatter stays, where one place was read often enough to know it.
func (c *Check) repeats(r *Result, needed float64) {
	if len(c.Readings) != 1 || len(c.Readings[0].Repeats) < measure.EnoughRepeats {
		return
	}
	p, err := measure.PlaceOf(&c.Readings[0], c.Unit, c.Spec.Unit, &c.Instrument)
	if err != nil {
		return
	}
	s := p.Scatter()
	fixed := r.Standard*r.Standard - s*s
	room := needed*needed - math.Max(0, fixed)
	if room <= 0 || s == 0 {
		return
	}
	if n := math.Ceil(p.Dev * p.Dev / room); n > float64(p.Count) && n <= 100 {
		r.next("more_repeats", note.Count("repeats", int(n)))
	}
}

// decisivePlace names the place that was held against a limit, where the worst place decides among several.
func (c *Check) decisivePlace(r *Result) {
	if len(c.Readings) < 2 || !r.HasPlaces || c.Spec.Kind == "torque" {
		return
	}
	places, because := c.places()
	if because != "" {
		return
	}
	for _, side := range []struct{ margin, limit Limit }{{r.MarginLower, r.LimitLower}, {r.MarginUpper, r.LimitUpper}} {
		if g, ok := r.half(); !side.margin.Has || !ok || g.Less(side.margin.At.Abs()) {
			continue
		}
		for i, p := range places {
			if p.HasValue && p.Value.Sub(side.limit.At).Abs().Equal(side.margin.At.Abs()) && !p.Value.Equal(r.Value) {
				r.next("measure_place_again", note.Count("place", i+1))
				return
			}
		}
	}
}

// mostNamed is how many places outside are named.
const mostNamed = 8

// placesOut names the places that lie outside.
func (c *Check) placesOut(r *Result) {
	places, because := c.places()
	l, ok := c.limits()
	if because != "" || !ok {
		return
	}
	for i, p := range places {
		if p.HasValue && l.outside(p.Value) != 0 && len(r.Next) < mostNamed {
			r.next("measure_place_again", note.Count("place", i+1))
		}
	}
}
