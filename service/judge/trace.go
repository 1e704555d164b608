package judge

import (
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// mostTraced is how many places a trace lists one by one.
const mostTraced = 12

// trace tells the way to the verdict, step by step, with numbers, rule and source.
func (c *Check) trace(r *Result) {
	s := c.Spec
	c.traceReadings(r)
	if r.HasPlaces && r.Places.Count > 1 {
		r.step("trace_places", note.Count("count", r.Places.Count), c.show("min", r.Places.Min), c.show("max", r.Places.Max), c.show("spread", r.Places.Spread))
	}
	if r.HasValue && r.Verdict != NotJudged {
		switch {
		case len(c.Sizes) > 0:
			r.step("trace_sizes", c.show("value", r.Value))
		case s.Kind == spec.Torque:
			r.step("trace_fastener", note.Count("reading", r.Reading+1), c.show("value", r.Value))
		default:
			r.step("trace_value", str("rule", string(s.CombineRule())), c.show("value", r.Value))
		}
	}
	c.traceUncertainty(r)
	c.traceLimits(r)
	if r.HasProb {
		r.step("trace_probability", note.Percent("probability", r.Probability))
	}
	if r.Because == "" {
		r.step("trace_verdict", str("verdict", string(r.Verdict)), str("rule", r.RuleUsed))
		return
	}
	r.step("trace_undecided", str("verdict", string(r.Verdict)), str("rule", r.RuleUsed), str("because", r.Because))
}

func (r *Result) step(code string, params ...note.Param) {
	r.Trace = append(r.Trace, note.New(code, params...))
}

// traceReadings tells what each place or size says, in the unit of the spec.
func (c *Check) traceReadings(r *Result) {
	if c.blank() {
		return
	}
	if len(c.Sizes) > 0 {
		for i := range c.Sizes {
			z := &c.Sizes[i]
			p, err := c.part(z)
			if err != nil {
				return
			}
			sign := "+"
			if z.Sign < 0 {
				sign = "−"
			}
			r.step("trace_size", str("part", z.Part), str("sign", sign), c.show("value", p.mean))
		}
		return
	}
	for i := range c.Readings {
		rd := &c.Readings[i]
		if i == mostTraced || rd.Blank() || rd.Category != "" {
			return
		}
		p, err := measure.PlaceOf(rd, c.Unit, c.Spec.Unit, &c.Instrument)
		if err != nil {
			return
		}
		p.Correct(&c.Instrument.Correction)
		place := note.Count("place", i+1)
		switch {
		case p.Bracket && p.Low.Has && p.High.Has:
			r.step("trace_bracket", place, c.show("low", p.Low.At), c.show("high", p.High.At), c.show("value", p.Value))
		case p.Bracket && p.Low.Has:
			r.step("trace_over", place, c.show("low", p.Low.At))
		case p.Bracket:
			r.step("trace_under", place, c.show("high", p.High.At))
		case p.Repeated:
			dev := quantity.FromFloat(p.Dev).Print(c.Spec.Decimals, 4)
			r.step("trace_repeats", place, note.Count("repeats", p.Count), c.show("value", p.Value), note.Qty("deviation", dev, c.Spec.Unit))
		default:
			r.step("trace_reading", place, c.show("value", p.Value))
		}
	}
}

func (c *Check) traceUncertainty(r *Result) {
	s := c.Spec
	if !c.Instrument.Correction.None() {
		r.step("trace_corrected", str("factor", c.Instrument.Correction.Factor().Print(0, 6).String()))
	}
	if r.HasStandard {
		u, _ := quantity.FromFloat(r.Standard).Round(min(s.Decimals+4, 12), quantity.HalfEven)
		r.step("trace_uncertainty", note.Qty("standard_uncertainty", u.Trimmed(s.Decimals), s.Unit), str("source", string(r.Source)))
	}
	if r.HasLower && r.HasUpper {
		lower, upper := c.show("lower", r.Lower.Exact()), c.show("upper", r.Upper.Exact())
		if r.Source == measure.FromBracket {
			r.step("trace_bracket_interval", lower, upper)
			return
		}
		r.step("trace_interval", lower, upper, str("guard", c.Guard))
	}
}

// traceLimits tells which limits were held to, and how far inside what was held against them lies.
func (c *Check) traceLimits(r *Result) {
	for _, l := range []struct {
		code, rule    string
		limit, margin Limit
	}{{"trace_lower", c.heldBy(0), r.LimitLower, r.MarginLower}, {"trace_upper", c.heldBy(1), r.LimitUpper, r.MarginUpper}} {
		switch {
		case l.limit.Has && l.margin.Has:
			r.step(l.code, c.show("limit", l.limit.At), str("stage", c.Stage), str("held", l.rule), c.show("margin", l.margin.At))
		case l.limit.Has:
			r.step(l.code+"_alone", c.show("limit", l.limit.At), str("stage", c.Stage))
		}
	}
}

func (c *Check) heldBy(side int) string {
	l, ok := c.limits()
	if !ok || c.Spec.Kind == spec.Torque {
		return "value"
	}
	rule, _ := c.against(&l, side)
	return string(rule)
}
