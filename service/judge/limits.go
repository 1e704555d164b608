package judge

import (
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// limits are what a value is held to at a stage.
type limits struct {
	lower, upper quantity.Exact
	has          [2]bool // lower, upper
	worn         [2]bool // the side is held to its wear limit
	noWear       bool    // as found, without any wear limit
}

// limits picks the limits of the stage: as built the band; as found on each side the wear limit, else the band.
func (c *Check) limits() (limits, bool) {
	s := c.Spec
	var l limits
	if s.Band.HasLower {
		l.lower, l.has[0] = s.Band.Lower.Exact(), true
	}
	if s.Band.HasUpper {
		l.upper, l.has[1] = s.Band.Upper.Exact(), true
	}
	if c.Stage == AsFound && s.Kind != spec.Torque {
		if s.WearLimit.HasLower {
			l.lower, l.has[0], l.worn[0] = s.WearLimit.Lower.Exact(), true, true
		}
		if s.WearLimit.HasUpper {
			l.upper, l.has[1], l.worn[1] = s.WearLimit.Upper.Exact(), true, true
		}
		l.noWear = s.WearLimit.Empty()
	}
	if s.Kind != spec.Torque && s.ValueForm != spec.Single {
		return l, l.has[0] || l.has[1]
	}
	if !l.has[0] && !l.has[1] && s.HasTarget && s.HasPolicy {
		l = policyLimits(s)
	}
	return l, l.has[0] || l.has[1]
}

// policyLimits is a single figure ± the percent that a policy allows it.
func policyLimits(s *spec.Spec) limits {
	t := s.Target.Exact()
	part := t.Abs().Mul(s.PolicyPercent.Exact()).DivInt(100)
	return limits{lower: t.Sub(part), upper: t.Add(part), has: [2]bool{true, true}}
}

func (l *limits) twoSided() bool { return l.has[0] && l.has[1] }

// both are the limits that there are.
func (l *limits) both() (list []quantity.Exact) {
	for side, at := range [...]quantity.Exact{l.lower, l.upper} {
		if l.has[side] {
			list = append(list, at)
		}
	}
	return list
}

// outside is -1 below, +1 above and 0 inside, ends included.
func (l *limits) outside(x quantity.Exact) int {
	switch {
	case l.has[0] && x.Less(l.lower):
		return -1
	case l.has[1] && l.upper.Less(x):
		return 1
	}
	return 0
}

// against is which rule is held against a side: what the spec says, else its stated combine, else for one-sided limits
// the worst place, else the mean. silent says that neither was stated.
func (c *Check) against(l *limits, side int) (rule spec.Combine, silent bool) {
	p := &c.Spec.Points
	stated := p.AgainstLower
	worst := spec.Min
	if side == 1 {
		stated, worst = p.AgainstUpper, spec.Max
	}
	switch {
	case p.Combine == spec.Spread:
		return spec.Spread, false
	case stated != "":
		return stated, false
	case p.Combine != "" && p.Combine != spec.Mean:
		return p.Combine, false
	case !l.twoSided():
		return worst, false
	}
	return spec.Mean, true
}
