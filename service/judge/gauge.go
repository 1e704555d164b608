package judge

import (
	"endfloat/service/measure"
	"endfloat/service/spec"
)

// beyond reports whether a place lies beyond the gauge: no blade enters, or none is refused.
func beyond(places []measure.Place) bool {
	for i := range places {
		if !places[i].HasValue {
			return true
		}
	}
	return false
}

// beyondGauge judges places of which some have one known end only. One place, or all on the same side, wholly outside a
// limit fail; so does one among several that is wholly outside a limit held at the worst place. Else nothing is judged.
func (c *Check) beyondGauge(r *Result, places []measure.Place, l *limits) {
	r.HasPlaces = false
	r.LimitLower, r.LimitUpper = Limit{l.lower, l.has[0]}, Limit{l.upper, l.has[1]}
	failed := c.beyondLimit(r, places, l)
	r.Basis = gaugeSide(places)
	r.Source = measure.FromBracket
	if failed < 0 {
		if len(places) == 1 {
			from, to := rounded(places[0].Low), rounded(places[0].High)
			r.setInterval(&from, &to)
		}
		r.Verdict, r.Because = NotJudged, string(r.Basis)
		return
	}
	r.Verdict, r.Decided, r.RuleUsed = Fail, true, c.Rule
	r.Position = [2]Position{Below, Above}[failed]
	if l.worn[failed] {
		r.Position = WornOut
	}
	if c.Stage == AsFound && l.noWear {
		r.warn("no_wear_limit")
	}
	if c.How == "estimated" {
		r.Verdict, r.Decided, r.Because = ConditionalFail, false, "estimated"
	}
}

// beyondLimit is the side of the limit that places beyond the gauge lie wholly outside of, -1 where there is none; the
// interval becomes that of what does.
func (c *Check) beyondLimit(r *Result, places []measure.Place, l *limits) int {
	failed := -1
	all := c.combine(places, spec.Mean)
	for side := range 2 {
		if !l.has[side] {
			continue
		}
		if outsideWholly(&all.from, &all.to, l, side) && sameSide(places) {
			failed = side
			r.setInterval(&all.from, &all.to)
		}
		if rule, _ := c.against(l, side); rule != [2]spec.Combine{spec.Min, spec.Max}[side] || failed >= 0 {
			continue
		}
		for i := range places {
			from, to := rounded(places[i].Low), rounded(places[i].High)
			if !places[i].HasValue && outsideWholly(&from, &to, l, side) {
				failed = side
				r.setInterval(&from, &to)
			}
		}
	}
	return failed
}

// outsideWholly reports whether everything between two ends lies outside the limit of a side.
func outsideWholly(from, to *measure.End, l *limits, side int) bool {
	if side == 0 {
		return under(to, l.lower)
	}
	return over(from, l.upper)
}

// gaugeSide is the side on which the first place beyond the gauge lies.
func gaugeSide(places []measure.Place) Basis {
	for i := range places {
		if p := &places[i]; !p.HasValue {
			if p.Low.Has {
				return AboveGauge
			}
			return BelowGauge
		}
	}
	return Measured
}

// sameSide reports whether every place lies beyond the gauge on one side.
func sameSide(places []measure.Place) bool {
	for i := range places {
		if p := &places[i]; p.HasValue || p.Low.Has != places[0].Low.Has {
			return false
		}
	}
	return true
}
