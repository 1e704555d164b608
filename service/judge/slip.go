package judge

import (
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// slip is a mistake of writing or reading that multiplies a value by a factor.
type slip struct {
	name     string // what the factor is printed as
	num, den int64  // its inverse, which mends it
	cause    string
	kind     spec.Kind // of the specs with which it happens; empty: all
}

// slips are the mistakes that are looked for, the likelier first: a decimal place, an inch, a unit of torque.
var slips = [...]slip{
	{"10", 1, 10, "decimal_point", ""}, {"1/10", 10, 1, "decimal_point", ""},
	{"100", 1, 100, "decimal_point", ""}, {"1/100", 100, 1, "decimal_point", ""},
	{"1000", 1, 1000, "decimal_point", ""}, {"1/1000", 1000, 1, "decimal_point", ""},
	{"25.4", 5, 127, "inch_or_millimetre", spec.Dimension}, {"1/25.4", 127, 5, "inch_or_millimetre", spec.Dimension},
	{"1.356", 1000, 1356, "unit_of_torque", spec.Torque}, {"1/1.356", 1356, 1000, "unit_of_torque", spec.Torque},
	{"8.85", 100, 885, "unit_of_torque", spec.Torque}, {"1/8.85", 885, 100, "unit_of_torque", spec.Torque},
	{"9.81", 100, 981, "unit_of_torque", spec.Torque}, {"1/9.81", 981, 100, "unit_of_torque", spec.Torque},
}

// likely is the first slip that would have brought a value from inside the band to x; nil: none would.
func (c *Check) likely(x quantity.Exact, l *limits) *slip {
	band := c.band(l)
	for i := range slips {
		s := &slips[i]
		if (s.kind == "" || s.kind == c.Spec.Kind) && band.outside(x.MulInt(s.num).DivInt(s.den)) == 0 {
			return s
		}
	}
	return nil
}

// band is the limits into which a mended slip would fall.
func (c *Check) band(l *limits) limits {
	b := &c.Spec.Band
	if !b.TwoSided() {
		return *l
	}
	return limits{lower: b.Lower.Exact(), upper: b.Upper.Exact(), has: [2]bool{true, true}}
}

// implausible is the index of the first place that cannot be true, -1 where there is none.
func (c *Check) implausible(places []measure.Place, l *limits) int {
	for i := range places {
		if p := &places[i]; p.HasValue && c.unlikely(p.Value, l) {
			return i
		}
	}
	return -1
}

// implausibleAt is what is said of a value that cannot be true.
func (c *Check) implausibleAt(r *Result, x quantity.Exact, l *limits) {
	c.undone(r, "implausible", Implausible)
	if c.trial != nil {
		return
	}
	r.Value, r.HasValue = x, true
	value := c.eye("value", x, l.both()...)
	if s := c.likely(x, l); s != nil && x.Sign() != 0 {
		r.warn("implausible_slip", value, note.Str("factor", s.name), note.Str("cause", s.cause))
		return
	}
	r.warn("implausible_value", value)
}

// unlikely reports whether x lies outside what is plausible; without such a range, outside the band and over ten times
// the largest magnitude of any limit.
func (c *Check) unlikely(x quantity.Exact, l *limits) bool {
	if p := &c.Spec.Plausible; !p.Empty() {
		return p.HasLower && x.Less(p.Lower.Exact()) || p.HasUpper && p.Upper.Exact().Less(x)
	}
	if band := c.band(l); band.outside(x) == 0 {
		return false
	}
	largest := quantity.Exact{}
	for _, b := range []quantity.Range{c.Spec.Band, c.Spec.WearLimit} {
		if b.HasLower {
			largest = larger(largest, b.Lower.Exact().Abs())
		}
		if b.HasUpper {
			largest = larger(largest, b.Upper.Exact().Abs())
		}
	}
	if l.has[0] {
		largest = larger(largest, l.lower.Abs())
	}
	if l.has[1] {
		largest = larger(largest, l.upper.Abs())
	}
	return largest.Sign() > 0 && largest.MulInt(10).Less(x.Abs())
}

// possibleSlip warns of a judged value outside two-sided limits that a slip would bring into the band. It changes no
// verdict: a real failure stays one.
func (c *Check) possibleSlip(r *Result, l *limits, sides *[2]held) {
	if c.trial != nil || !l.twoSided() || !c.Spec.Band.TwoSided() && c.Spec.ValueForm != spec.Single {
		return
	}
	for side := range sides {
		h := &sides[side]
		if !h.hasValue || l.outside(h.value) != side*2-1 || h.value.Sign() == 0 {
			continue
		}
		if s := c.likely(h.value, l); s != nil {
			r.warn("possible_slip", c.eye("value", h.value, l.both()...), note.Str("factor", s.name), note.Str("cause", s.cause))
			return
		}
	}
}
