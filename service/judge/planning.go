package judge

import (
	"math"
	"slices"

	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// FineEnough is the ratio of half the band to the expanded uncertainty from which on an instrument is good enough: the
// guard bands then leave at least half of the band to work in. Common practice, no source.
const FineEnough = 2

// Fitness is what one instrument is worth for a spec.
type Fitness struct {
	Instrument spec.Instrument
	Source     measure.Source
	Standard   float64 // at the aim, in the unit of the spec
	Expanded   float64
	Ratio      float64
	HasRatio   bool
	GoodEnough bool
	Guard      quantity.Range // values that pass without doubt, rounded inward to the digits of the spec; empty: there are none
	Repeats    int            // at each place
	Scatter    float64        // largest standard deviation of those repeats that still leaves the instrument good enough
	HasScatter bool
}

// MeasuringPlan is what is worth knowing before measuring. Coarsest is the largest standard uncertainty that is good
// enough.
type MeasuringPlan struct {
	Limits      [2]Limit
	Half        quantity.Exact // what the ratio is taken of: half the band, or half the one limit there is
	HasHalf     bool
	OfLimit     bool
	Coarsest    float64
	HasCoarsest bool
	Places      int
	Combine     spec.Combine
	Against     [2]spec.Combine
	Instruments []Fitness
}

// PlanMeasuring says with what a spec can be judged: every instrument of the defaults that measures its kind, and the
// one declared in the check if it has a figure. ok is false where the stage has no limits to plan for.
func PlanMeasuring(c Check) (p MeasuringPlan, ok bool) {
	c.setDefaults()
	s := c.Spec
	if c.Undecided || s.Kind == spec.Category || s.ValueForm == spec.NotPublished || s.ValueForm == spec.OutOfScope || s.ValueForm == spec.TorqueAngle {
		return p, false
	}
	l, ok := c.limits()
	if !ok {
		return p, false
	}
	p.Limits = [2]Limit{{l.lower, l.has[0]}, {l.upper, l.has[1]}}
	p.Places, p.Combine = max(1, s.Points.Minimum), s.CombineRule()
	if p.Combine == spec.Spread || s.Form {
		p.Places = max(2, p.Places)
	}
	for side := range p.Against {
		if l.has[side] {
			p.Against[side], _ = c.against(&l, side)
		}
	}
	p.Half, p.HasHalf, p.OfLimit = halfOf(&l)
	if p.HasHalf {
		p.Coarsest, p.HasCoarsest = p.Half.Float64()/FineEnough/2, true
	}
	if c.Instrument.Declared() {
		p.Instruments = append(p.Instruments, c.fitness(&p, &l, spec.Instrument{Kind: c.Instrument.Kind}, &c.Instrument))
	}
	for _, d := range c.Defaults {
		if suits(d, s) {
			p.Instruments = append(p.Instruments, c.fitness(&p, &l, d, &measure.Instrument{Kind: d.Kind}))
		}
	}
	return p, true
}

// halfOf is half the band; of a one-sided limit half its magnitude, as if the value were held to zero on the other side.
func halfOf(l *limits) (half quantity.Exact, ok, ofLimit bool) {
	switch {
	case l.twoSided():
		half = l.upper.Sub(l.lower).DivInt(2)
	case l.has[1]:
		half, ofLimit = l.upper.Abs().DivInt(2), true
	default:
		half, ofLimit = l.lower.Abs().DivInt(2), true
	}
	return half, half.Sign() > 0, ofLimit
}

// clasping are the instruments that measure a part and not the play between parts. Common practice, no source.
func clasping() []string {
	return []string{"micrometer", "bore_gauge", "depth_micrometer", "calliper"}
}

// suits reports whether an instrument is what a spec is measured with. What shims adjust is a play, for which there are
// blades, an indicator or what is crushed, unless it is made of sizes.
func suits(d spec.Instrument, s *spec.Spec) bool {
	play := s.AdjustedBy != "" && len(s.Sizes) == 0
	return measures(d, s) && !(play && slices.Contains(clasping(), d.Kind))
}

// measures reports whether an instrument shows the quantity that the spec limits.
func measures(d spec.Instrument, s *spec.Spec) bool {
	switch {
	case d.Kind == "by_feel":
		return false
	case d.HasPercent:
		return s.Kind == spec.Torque
	case d.HasStandard:
		return d.Unit.Kind() == s.Unit.Kind() && d.Unit.Kind() != quantity.Other
	}
	return d.Kind == "feeler" && s.Kind == spec.Dimension
}

// fitness weighs one instrument at the middle of what is allowed. A percentage makes the guard limits x/(1 ± p).
func (c *Check) fitness(p *MeasuringPlan, l *limits, d spec.Instrument, i *measure.Instrument) Fitness {
	s := c.Spec
	f := Fitness{Instrument: d, Repeats: 1}
	var b measure.Budget
	if e, ok := i.Of(p.middle().Float64(), c.unit(), s.Unit, c.Defaults); ok {
		b = e.Budget()
	} else {
		b = measure.OfBracket(measure.AssumedStep(s.Unit).Float64(), true)
	}
	f.Source, f.Standard, f.Expanded = b.Source, b.Standard(), c.guard(&b)
	if p.HasHalf && f.Expanded > 0 {
		f.Ratio, f.HasRatio = p.Half.Float64()/f.Expanded, true
		f.GoodEnough = f.Ratio >= FineEnough
	} else {
		f.GoodEnough = f.Expanded == 0
	}
	if d.Kind == "feeler" {
		return f
	}
	f.Guard = c.guardLimits(l, i)
	if rest := p.Coarsest*p.Coarsest - f.Standard*f.Standard; p.HasCoarsest && f.GoodEnough && rest > 0 {
		f.Repeats = measure.EnoughRepeats
		f.Scatter, f.HasScatter = math.Sqrt(rest*float64(f.Repeats)), true
	}
	return f
}

func (c *Check) unit() quantity.Unit {
	if c.Unit == "" {
		return c.Spec.Unit
	}
	return c.Unit
}

func (p *MeasuringPlan) middle() quantity.Exact {
	switch {
	case p.Limits[0].Has && p.Limits[1].Has:
		return p.Limits[0].At.Add(p.Limits[1].At).DivInt(2)
	case p.Limits[1].Has:
		return p.Limits[1].At
	}
	return p.Limits[0].At
}

// guardLimits are the values whose interval still lies inside, rounded inward to the digits of the spec.
func (c *Check) guardLimits(l *limits, i *measure.Instrument) (r quantity.Range) {
	inside := func(at quantity.Exact, side float64) (quantity.Exact, bool) {
		x := at.Float64()
		for range 60 { // x = limit ± U(x): a contraction, since U grows by far less than x
			e, ok := i.Of(x, c.unit(), c.Spec.Unit, c.Defaults)
			if !ok {
				return quantity.Exact{}, false
			}
			b := e.Budget()
			x = at.Float64() + side*c.guard(&b)
		}
		return estimate(x), true
	}
	places := c.Spec.Decimals
	if l.has[0] {
		if x, ok := inside(l.lower, 1); ok {
			r.Lower, r.HasLower = settled(x).Round(places, quantity.Up)
		}
	}
	if l.has[1] {
		if x, ok := inside(l.upper, -1); ok {
			r.Upper, r.HasUpper = settled(x).Round(places, quantity.Down)
		}
	}
	if r.TwoSided() && r.Upper.Cmp(r.Lower) < 0 {
		return quantity.Range{}
	}
	return r
}

// settled drops the noise of an estimate before it is rounded inward.
func settled(x quantity.Exact) quantity.Exact {
	if d, ok := x.Round(grid, quantity.HalfEven); ok {
		return d.Exact()
	}
	return x
}
