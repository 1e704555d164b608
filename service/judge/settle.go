package judge

import (
	"math"

	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// settle names what would decide a value whose interval reaches over a limit: the blade at that limit, or the standard
// uncertainty that would do, an instrument that has it, the place that decides and the number of repeats.
func (c Check) settle(r *Result) {
	limit, ok := r.straddled()
	if !ok {
		return
	}
	c.decisivePlace(r)
	if len(c.Readings) > 0 && len(c.Readings[0].Blades) > 0 {
		c.blade(r, limit)
		return
	}
	gap := r.gap(limit)
	if gap <= 0 {
		r.next("on_the_limit")
		return
	}
	needed := gap / c.factor()
	if u, fits := estimate(needed).Round(min(c.Spec.Decimals+3, 9), quantity.Down); fits && u.Sign() > 0 {
		r.next("use_finer_instrument", note.Qty("standard_uncertainty", u.Trimmed(c.Spec.Decimals), c.Spec.Unit))
	}
	c.instrument(r, needed)
	c.repeats(r, needed)
}

// factor is how many standard uncertainties the guard band is wide.
func (c Check) factor() float64 {
	if c.Guard == Guard95 {
		return 1.65
	}
	return 2
}

// straddled is the limit that lies inside the interval, the lower one first.
func (r *Result) straddled() (quantity.Exact, bool) {
	for _, l := range []Limit{r.LimitLower, r.LimitUpper} {
		if l.Has && r.HasLower && r.HasUpper && r.Lower.Exact().Cmp(l.At) <= 0 && l.At.Cmp(r.Upper.Exact()) <= 0 {
			return l.At, true
		}
	}
	for _, m := range []struct{ margin, limit Limit }{{r.MarginLower, r.LimitLower}, {r.MarginUpper, r.LimitUpper}} {
		if g, ok := r.half(); ok && m.margin.Has && m.margin.At.Abs().Cmp(g) <= 0 {
			return m.limit.At, true
		}
	}
	return quantity.Exact{}, false
}

// gap is how far what was held against a limit lies from it.
func (r *Result) gap(limit quantity.Exact) float64 {
	gap := math.Inf(1)
	for _, m := range []struct{ margin, limit Limit }{{r.MarginLower, r.LimitLower}, {r.MarginUpper, r.LimitUpper}} {
		if m.margin.Has && m.limit.At.Equal(limit) {
			gap = math.Min(gap, math.Abs(m.margin.At.Float64()))
		}
	}
	return gap
}

// blade names the blade that says on which side of the limit the gap lies: that of the limit itself, or the one of the
// declared set inside the bracket that comes nearest to it.
func (c Check) blade(r *Result, limit quantity.Exact) {
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
func (c Check) instrument(r *Result, needed float64) {
	best, kind := 0.0, ""
	for _, d := range c.Defaults {
		if !d.HasStandard || !suits(d, c.Spec) {
			continue
		}
		e, ok := (measure.Instrument{Kind: d.Kind}).Of(r.Value.Float64(), c.Unit, c.Spec.Unit, c.Defaults)
		if ok && !needs(e.Std, needed) && e.Std > best {
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
func (c Check) repeats(r *Result, needed float64) {
	if len(c.Readings) != 1 || len(c.Readings[0].Repeats) < measure.EnoughRepeats {
		return
	}
	p, err := measure.PlaceOf(c.Readings[0], c.Unit, c.Spec.Unit, c.Instrument)
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
func (c Check) decisivePlace(r *Result) {
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
func (c Check) placesOut(r *Result) {
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
