package spec

import "endfloat/service/quantity"

// In is the spec as someone who thinks in unit u reads it: limits rounded inward as quantity.Inward does, the target
// to the nearest and then into the band, wear limits to their safe side, figures without a band to the nearest with
// no coarser a digit than the published one. The published spec stays the truth and judges. ok is false where there is
// nothing to convert: u is the unit of the spec, measures something else or has no factor, or no number is published.
func (s *Spec) In(u quantity.Unit) (converted *Spec, ok bool) {
	if u == s.Unit || u.Kind() != s.Unit.Kind() || u.Kind() == quantity.Other || s.ValueForm == NotPublished || s.ValueForm == OutOfScope {
		return nil, false
	}
	c := *s
	c.Unit, c.Plausible = u, quantity.Range{}
	if c.Band, c.Decimals, ok = s.convertedBand(u); !ok {
		return nil, false
	}
	ok = s.convertWear(&c) && s.convertTarget(&c) && s.convertStages(&c)
	if f := s.Fastener; f != nil && f.HasRunning {
		g := *f
		x, _ := quantity.In(f.Running, s.Unit, u)
		if g.Running, ok = x.Round(digits(f.Running.Places(), s.Unit, u), quantity.Up); !ok {
			return nil, false
		}
		c.Fastener = &g
	}
	if s.Points.HasMaxSpread {
		x, _ := quantity.In(s.Points.MaxSpread, s.Unit, u)
		c.Points.MaxSpread, c.Points.HasMaxSpread = x.Round(c.Decimals, quantity.Down)
	}
	return &c, ok
}

// convertedBand is the band in u, empty where there is none, and the digits that everything is shown with.
func (s *Spec) convertedBand(u quantity.Unit) (band quantity.Range, places int, ok bool) {
	switch {
	case !s.Band.Empty():
		return quantity.Inward(s.Band, s.Decimals, s.Unit, u)
	case !s.WearLimit.Empty():
		_, places, ok = quantity.Inward(s.WearLimit, s.Decimals, s.Unit, u)
		return band, places, ok
	}
	if policy, has := s.PolicyBand(); has && policy.Lower.Cmp(policy.Upper) < 0 {
		if _, places, ok = quantity.Inward(policy, s.Decimals, s.Unit, u); ok {
			return band, places, true
		}
	}
	return band, digits(s.Decimals, s.Unit, u), true
}

// PolicyBand is the band that the policy about a single value allows: the target ± its percent, exactly.
func (s *Spec) PolicyBand() (band quantity.Range, ok bool) {
	if !s.HasTarget || !s.HasPolicy {
		return quantity.Range{}, false
	}
	part := s.Target.Exact().Abs().Mul(s.PolicyPercent.Exact()).DivInt(100)
	places := s.Target.Places() + s.PolicyPercent.Places() + 2
	if places > quantity.MaxPlaces {
		return quantity.Range{}, false
	}
	lower, ok1 := s.Target.Exact().Sub(part).Round(places, quantity.HalfEven)
	upper, ok2 := s.Target.Exact().Add(part).Round(places, quantity.HalfEven)
	return quantity.Between(lower.Trimmed(s.Decimals), upper.Trimmed(s.Decimals)), ok1 && ok2
}

// digits is how many fractional digits a figure needs in u so that its last digit is no coarser than it was.
func digits(decimals int, from, u quantity.Unit) int {
	one, _ := quantity.In(quantity.NewDecimal(1, decimals), from, u)
	places := 0
	for places < 9 && one.Less(quantity.NewDecimal(1, places).Exact()) {
		places++
	}
	return places
}

func (s *Spec) convertWear(c *Spec) bool {
	ok := true
	if s.WearLimit.HasLower {
		x, _ := quantity.In(s.WearLimit.Lower, s.Unit, c.Unit)
		c.WearLimit.Lower, ok = x.Round(c.Decimals, quantity.Up)
	}
	if s.WearLimit.HasUpper && ok {
		x, _ := quantity.In(s.WearLimit.Upper, s.Unit, c.Unit)
		c.WearLimit.Upper, ok = x.Round(c.Decimals, quantity.Down)
	}
	return ok
}

func (s *Spec) convertTarget(c *Spec) bool {
	if !s.HasTarget {
		return true
	}
	x, _ := quantity.In(s.Target, s.Unit, c.Unit)
	d, ok := quantity.ClampNearest(x, c.Decimals, c.Band)
	c.Target = d
	return ok
}

func (s *Spec) convertStages(c *Spec) bool {
	if len(s.Stages) == 0 {
		return true
	}
	c.Stages = make([]Stage, len(s.Stages))
	for i, st := range s.Stages {
		c.Stages[i] = st
		if !st.HasValue {
			continue
		}
		x, _ := quantity.In(st.Value, s.Unit, c.Unit)
		d, ok := x.Round(max(c.Decimals, digits(s.Decimals, s.Unit, c.Unit)), quantity.HalfEven)
		if !ok {
			return false
		}
		c.Stages[i].Value = d
	}
	return true
}
