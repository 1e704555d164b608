package judge

import (
	"endfloat/service/measure"
	"endfloat/service/spec"
)

// beyond reports whether a place lies beyond the gauge: no blade enters, or none is refused.
func beyond(places []measure.Place) bool {
	for _, p := range places {
		if !p.HasValue {
			return true
		}
	}
	return false
}

// beyondGauge judges places of which some have one known end only. One place, or all on the same side, wholly outside a
// limit fail; so does one among several that is wholly outside a limit held at the worst place. Else nothing is judged.
func (c Check) beyondGauge(r Result, places []measure.Place, l limits) Result {
	r.HasPlaces = false
	r.LimitLower, r.LimitUpper = Limit{l.lower, l.has[0]}, Limit{l.upper, l.has[1]}
	failed := -1
	all := c.mean(places)
	for side := range 2 {
		if !l.has[side] {
			continue
		}
		if outsideWholly(all.low, all.up, l, side) && sameSide(places) {
			failed = side
			r.setInterval(rounded(all.low), rounded(all.up))
		}
		if rule, _ := c.against(l, side); rule == [2]spec.Combine{spec.Min, spec.Max}[side] && failed < 0 {
			for _, p := range places {
				if !p.HasValue && outsideWholly(p.Low, p.High, l, side) {
					failed = side
					r.setInterval(rounded(p.Low), rounded(p.High))
				}
			}
		}
	}
	r.Basis = gaugeSide(places)
	r.Source = measure.FromBracket
	if failed < 0 {
		if len(places) == 1 {
			r.setInterval(rounded(places[0].Low), rounded(places[0].High))
		}
		r.Verdict, r.Because = NotJudged, string(r.Basis)
		return r
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
	return r
}

func outsideWholly(low, up measure.End, l limits, side int) bool {
	if side == 0 {
		return under(rounded(up), l.lower)
	}
	return over(rounded(low), l.upper)
}

// gaugeSide is the side on which the first place beyond the gauge lies.
func gaugeSide(places []measure.Place) Basis {
	for _, p := range places {
		if !p.HasValue {
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
	for _, p := range places {
		if p.HasValue || p.Low.Has != places[0].Low.Has {
			return false
		}
	}
	return true
}
