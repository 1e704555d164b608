package judge

import (
	"slices"

	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Reference temperature (ISO 1) and the expansion that an instrument of steel is taken to have where none is given.
const referenceCelsius = 20

// SteelExpansion is 11.5e-6 per K, the expansion of steel gauge blocks; a common table value.
func SteelExpansion() quantity.Decimal { return quantity.NewDecimal(115, 7) }

// part is one size at 20 °C.
type part struct {
	sign           int64
	mean, min, max quantity.Exact
	places         []measure.Place
	err            measure.Error
	known          bool
	declared       bool
	id             string
	scatter        measure.Budget
	worst          [2]measure.Budget // scatter of the lowest and of the highest place
}

// sized judges a clearance made of sizes: Σ sign · size.
func (c *Check) sized(r *Result, l *limits) {
	parts, because := c.parts()
	if because != "" {
		c.undone(r, because, Measured)
		return
	}
	shown := c.pairing(parts, c.sizeRule(spec.Mean))
	if c.unlikely(shown.value, l) {
		c.implausibleAt(r, shown.value, l)
		return
	}
	sides := c.sizeSides(parts, l)
	if c.trial != nil {
		c.decide(r, l, &sides)
		return
	}
	r.Basis, r.RuleUsed = Measured, c.Rule
	c.warnSizes(r, parts)
	c.value(r, &shown)
	c.decide(r, l, &sides)
	c.possibleSlip(r, l, &sides)
}

// sizeSides is what is held against the lower and the upper limit.
func (c *Check) sizeSides(parts []part, l *limits) [2]held {
	return [2]held{c.pairing(parts, c.sizeAgainst(l, 0)), c.pairing(parts, c.sizeAgainst(l, 1))}
}

// parts reads every size; because is the reason for which one of them cannot be read.
func (c *Check) parts() (parts []part, because string) {
	if c.trial != nil {
		parts = slices.Clone(c.trial.parts)
		for i := range parts {
			c.errorOf(&parts[i], &c.Sizes[i].Instrument)
		}
		return parts, ""
	}
	parts = make([]part, len(c.Sizes))
	for i := range c.Sizes {
		p, err := c.part(&c.Sizes[i])
		if err != nil {
			return nil, whyUnread(err)
		}
		parts[i] = p
	}
	return parts, ""
}

func (c *Check) sizeRule(silent spec.Combine) spec.Combine {
	if p := c.Spec.Points.Combine; p == spec.Min || p == spec.Max {
		return p
	}
	return silent
}

// sizeAgainst is which pairing is held against a side: min is the tightest and max the loosest. Silent, two-sided limits
// take the mean pairing and one-sided ones the worst.
func (c *Check) sizeAgainst(l *limits, side int) spec.Combine {
	rule, _ := c.against(l, side)
	if rule == spec.Spread {
		return spec.Mean
	}
	return rule
}

func (c *Check) part(z *Size) (part, error) {
	p := part{sign: int64(z.Sign), places: make([]measure.Place, len(z.Readings))}
	to20 := z.to20()
	for i := range z.Readings {
		pl, err := measure.PlaceOf(&z.Readings[i], c.Unit, c.Spec.Unit, &z.Instrument)
		if err != nil {
			return p, err
		}
		pl.Correct(&z.Instrument.Correction)
		pl.Value = pl.Value.Mul(to20)
		p.places[i] = pl
	}
	n := int64(len(p.places))
	lo, hi := &p.places[0], &p.places[0]
	var sum quantity.Exact
	for i := range p.places {
		pl := &p.places[i]
		sum = sum.Add(pl.Value)
		if pl.Value.Less(lo.Value) {
			lo = pl
		}
		if hi.Value.Less(pl.Value) {
			hi = pl
		}
		p.scatter = p.scatter.Repeats(pl, 1/float64(n))
	}
	p.mean, p.min, p.max = sum.DivInt(n), lo.Value, hi.Value
	p.worst[0], p.worst[1] = p.worst[0].Repeats(lo, 1), p.worst[1].Repeats(hi, 1)
	c.errorOf(&p, &z.Instrument)
	return p, nil
}

// errorOf fills in what a part may be wrong by as an instrument measures it.
func (c *Check) errorOf(p *part, i *measure.Instrument) {
	p.err, p.known = i.Of(p.mean.Float64(), c.Unit, c.Spec.Unit, c.Defaults)
	p.declared, p.id = i.Declared(), i.ID
}

// to20 is the factor that brings a size to 20 °C: 1 + α_i (t_i − 20) − α (t − 20).
func (z *Size) to20() quantity.Exact {
	one := quantity.Int(1)
	ref := quantity.Int(referenceCelsius)
	f := one
	if z.HasGauge {
		a := SteelExpansion()
		if z.HasGaugeExp {
			a = z.GaugeExp
		}
		f = f.Add(a.Exact().Mul(z.Gauge.Exact().Sub(ref)))
	}
	if z.HasTemp && z.HasExp {
		f = f.Sub(z.Expansion.Exact().Mul(z.Celsius.Exact().Sub(ref)))
	}
	return f
}

// pairing is the clearance with the mean, the tightest (min) or the loosest (max) sizes.
func (c *Check) pairing(parts []part, rule spec.Combine) held {
	h := held{hasValue: true, value: c.Shift}
	var scatter measure.Budget
	for i := range parts {
		p := &parts[i]
		x, sc := p.mean, p.scatter
		if rule == spec.Min || rule == spec.Max {
			high := (rule == spec.Max) == (p.sign > 0)
			x, sc = p.min, p.worst[0]
			if high {
				x, sc = p.max, p.worst[1]
			}
		}
		h.value = h.value.Add(x.MulInt(p.sign))
		if sc.Known() {
			if scatter.Known() {
				scatter = scatter.Plus(sc)
			} else {
				scatter = sc
			}
		}
	}
	own := sumOfErrors(parts)
	if c.How == "estimated" && !allDeclared(parts) {
		own = measure.OfFeel(h.value.Float64())
	}
	h.budget = joined(own, scatter)
	c.setEnds(&h)
	return h
}

func allDeclared(parts []part) bool {
	for _, p := range parts {
		if !p.declared {
			return false
		}
	}
	return true
}

// sumOfErrors adds the errors of the parts: those of one instrument by its sign, those of different ones in squares. A
// part without uncertainty leaves the whole without.
func sumOfErrors(parts []part) measure.Budget {
	total := measure.Error{}.Budget()
	total.Source = measure.FromRepeats
	done := map[string]bool{}
	for i, p := range parts {
		if !p.known && !p.scatter.Known() {
			return measure.Budget{}
		}
		e := p.err
		if !p.known {
			e = measure.Error{Source: measure.FromRepeats}
		}
		if p.id != "" {
			if done[p.id] {
				continue
			}
			done[p.id] = true
			e = common(parts[i:], p.id, e.Source)
		}
		total = total.Plus(e.Budget())
	}
	return total
}

// common is the error of one instrument over all parts that it measured.
func common(parts []part, id string, source measure.Source) measure.Error {
	var errors []measure.Error
	var signs []int64
	for _, p := range parts {
		if p.id == id {
			errors, signs = append(errors, p.err), append(signs, p.sign)
		}
	}
	e := measure.Common(errors, signs)
	e.Source = source
	return e
}

func (c *Check) warnSizes(r *Result, parts []part) {
	minimum := c.Spec.Points.Minimum
	for i := range parts {
		p := &parts[i]
		if len(p.places) < minimum {
			r.warn("few_places", note.Count("places", len(p.places)), note.Count("minimum", minimum), str("part", c.Sizes[i].Part))
		}
		for j := range p.places {
			if pl := &p.places[j]; pl.FewRepeats() {
				r.warn("few_repeats", note.Count("repeats", pl.Count), note.Count("needed", measure.EnoughRepeats))
				break
			}
		}
		if most := c.Spec.Points.MaxSpread.Exact(); c.Spec.Points.HasMaxSpread || c.Spec.Band.TwoSided() {
			if !c.Spec.Points.HasMaxSpread {
				most = c.Spec.Band.Upper.Exact().Sub(c.Spec.Band.Lower.Exact()).DivInt(3)
			}
			if most.Less(p.max.Sub(p.min)) {
				spread := p.max.Sub(p.min)
				r.warn("uneven_places", c.eye("spread", spread, most), c.eye("allowed", most, spread), str("part", c.Sizes[i].Part))
			}
		}
	}
	c.warnTemperature(r)
}

// warnTemperature warns where parts are over 2 K apart.
func (c *Check) warnTemperature(r *Result) {
	var lo, hi quantity.Exact
	seen := false
	for i := range c.Sizes {
		z := &c.Sizes[i]
		t := quantity.Int(referenceCelsius)
		if z.HasTemp {
			t = z.Celsius.Exact()
		}
		if !seen || t.Less(lo) {
			lo = t
		}
		if !seen || hi.Less(t) {
			hi = t
		}
		seen = true
	}
	if quantity.Int(2).Less(hi.Sub(lo)) {
		r.warn("temperature_differs", note.Qty("difference", hi.Sub(lo).Shown(0, quantity.Int(2)), "K"))
	}
}
