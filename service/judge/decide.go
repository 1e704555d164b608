package judge

import (
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// decide holds one value against each limit and sets verdict, position, margins and probability. sides are what is held
// against the lower and the upper limit; the result must already show the value by combine.
func (c *Check) decide(r *Result, l *limits, sides *[2]held) {
	known := true
	for side := range sides {
		known = known && (!l.has[side] || sides[side].budget.Known())
	}
	if c.trial != nil {
		if r.Verdict = NotJudged; known {
			c.outcome(r, l, sides, known)
		}
		return
	}
	r.LimitLower, r.LimitUpper = Limit{l.lower, l.has[0]}, Limit{l.upper, l.has[1]}
	r.margins(l, sides)
	if !known {
		c.strange(r)
		r.dropUncertainty()
		if c.Policy.RequireUncertainty {
			r.warn("uncertainty_required")
			r.Verdict, r.Because = NotJudged, "no_uncertainty"
			return
		}
		r.warn("no_uncertainty")
	} else {
		r.Probability, r.HasProb = c.probability(r, l, sides)
	}
	c.outcome(r, l, sides, known)
	c.place(r, l, sides)
	c.coarse(r, l, sides)
	if c.How == "estimated" {
		r.Basis = Estimated
	}
}

// outcome sets the verdict. What was only estimated is never decided, under either rule.
func (c *Check) outcome(r *Result, l *limits, sides *[2]held, known bool) {
	if c.Rule == Simple || !known {
		r.RuleUsed, r.Verdict = Simple, Pass
		if outside(l, sides) != 0 {
			r.Verdict = Fail
		}
	} else {
		r.RuleUsed, r.Verdict = Guarded, guarded(l, sides)
		if r.Verdict == ConditionalPass || r.Verdict == ConditionalFail {
			r.Because = "uncertainty"
		}
	}
	if c.How == "estimated" {
		r.cap("estimated")
		if r.Verdict == Fail {
			r.Verdict = ConditionalFail
		}
		r.Because = "estimated"
	}
	r.Decided = r.Verdict == Pass || r.Verdict == Fail
}

// strange warns of instruments without a figure of which nothing is known: no default has their kind, or that of their
// kind is for something else.
func (c *Check) strange(r *Result) {
	c.strangeOne(r, &c.Instrument)
	for i := range c.Sizes {
		c.strangeOne(r, &c.Sizes[i].Instrument)
	}
}

func (c *Check) strangeOne(r *Result, i *measure.Instrument) {
	if i.Kind == "" || i.Declared() {
		return
	}
	for n := range c.Defaults {
		if d := &c.Defaults[n]; d.Kind == i.Kind {
			if (d.HasStandard || d.HasPercent) && !measures(*d, c.Spec) {
				r.warn("instrument_of_other_kind", str("instrument", i.Kind))
			}
			return
		}
	}
	r.warn("unknown_instrument", str("kind", i.Kind))
}

// dropUncertainty: a place without uncertainty leaves the check without.
func (r *Result) dropUncertainty() {
	r.HasStandard, r.HasLower, r.HasUpper, r.HasProb = false, false, false, false
	r.Source = measure.Unknown
}

// cap allows no better verdict than conditional_pass, and names the reason unless a stronger one is named already.
func (r *Result) cap(because string) {
	if r.Verdict == Pass {
		r.Verdict, r.Decided = ConditionalPass, false
	}
	if r.Verdict == ConditionalPass && r.Because != "estimated" {
		r.Because = because
	}
}

// outside is the side on which a held value lies outside: -1, +1, 0 for none; out on both sides the further one.
func outside(l *limits, sides *[2]held) int {
	var below, above quantity.Exact
	if l.has[0] && sides[0].value.Less(l.lower) {
		below = l.lower.Sub(sides[0].value)
	}
	if l.has[1] && l.upper.Less(sides[1].value) {
		above = sides[1].value.Sub(l.upper)
	}
	switch {
	case below.Sign() == 0 && above.Sign() == 0:
		return 0
	case above.Less(below):
		return -1
	}
	return 1
}

// guarded is the verdict by intervals (ISO 14253-1): all inside is a pass, wholly outside either limit a fail.
func guarded(l *limits, sides *[2]held) Verdict {
	inside := true
	for side := range sides {
		if !l.has[side] {
			continue
		}
		low, up := &sides[side].from, &sides[side].to
		if side == 0 {
			if under(up, l.lower) {
				return Fail
			}
			inside = inside && low.Has && !low.At.Less(l.lower)
		} else {
			if over(low, l.upper) {
				return Fail
			}
			inside = inside && up.Has && !l.upper.Less(up.At)
		}
	}
	switch {
	case inside:
		return Pass
	case outside(l, sides) != 0:
		return ConditionalFail
	}
	return ConditionalPass
}

// under reports whether everything up to the end lies under the limit; an open end that meets it does.
func under(up *measure.End, limit quantity.Exact) bool {
	if !up.Has {
		return false
	}
	cmp := up.At.Cmp(limit)
	return cmp < 0 || (cmp == 0 && up.Open)
}

// over reports whether everything from the end on lies over the limit.
func over(low *measure.End, limit quantity.Exact) bool {
	if !low.Has {
		return false
	}
	cmp := low.At.Cmp(limit)
	return cmp > 0 || (cmp == 0 && low.Open)
}

// margins are the distances of what is held to the limits; negative is outside.
func (r *Result) margins(l *limits, sides *[2]held) {
	if l.has[0] && sides[0].hasValue {
		r.MarginLower = Limit{sides[0].value.Sub(l.lower), true}
	}
	if l.has[1] && sides[1].hasValue {
		r.MarginUpper = Limit{l.upper.Sub(sides[1].value), true}
	}
}

// place sets where the judged value lies, and what wear has used up.
func (c *Check) place(r *Result, l *limits, sides *[2]held) {
	r.Position = Within
	if side := outside(l, sides); side != 0 {
		i := (side + 1) / 2
		r.Position = [2]Position{Below, Above}[i]
		if l.worn[i] {
			r.Position = WornOut
		}
	}
	c.worn(r, l, sides)
}

// coarse warns of an instrument with which no reading can be proven inside: the ratio of half the band to U is under 1.
func (c *Check) coarse(r *Result, l *limits, sides *[2]held) {
	if !l.twoSided() || !r.HasStandard || sides[0].bracket || c.How == "estimated" {
		return
	}
	half := l.upper.Sub(l.lower).DivInt(2).Float64()
	if U := sides[0].budget.Expanded(); U > 0 && half/U < 1 {
		ratio, _ := quantity.FromFloat(half/U).Round(2, quantity.Down)
		r.warn("coarse_instrument", note.Param{Name: "ratio", Value: ratio.String()})
	}
}
