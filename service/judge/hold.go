package judge

import (
	"endfloat/service/quantity"
)

// Held is what a check stands on before it is judged: the value by combine, what is held against each limit, and how
// wrong they may be. A planner shifts it without reading the places again.
type Held struct {
	Value        quantity.Exact
	AgainstLower quantity.Exact
	AgainstUpper quantity.Exact
	Lowest       quantity.Exact // of the places
	Highest      quantity.Exact
	Lower, Upper Limit // of the stage
	PlacesCount  bool  // a place outside the limits counts against a good mean
	Standard     float64
	HasStandard  bool
	Bracket      bool
	Low, High    float64 // of a bracket, relative to what is held
}

// Hold reads a check of places or sizes as far as the values go. because is the reason for which there is no value to
// go on from: missing, implausible, below_gauge, above_gauge, blades_contradict, few_places, mixed_units, no_band.
func Hold(c Check) (h Held, because string) {
	c.setDefaults()
	if c.blank() {
		return Held{}, "missing"
	}
	l, ok := c.limits()
	if !ok {
		return Held{}, "no_band"
	}
	if len(c.Sizes) > 0 {
		return c.holdSizes(&l)
	}
	places, because := c.places()
	if because != "" {
		return Held{}, because
	}
	if c.implausible(places, &l) >= 0 {
		return Held{}, "implausible"
	}
	if because := c.tooFew(len(places)); because != "" {
		return Held{}, because
	}
	if beyond(places) {
		return Held{}, string(gaugeSide(places))
	}
	var r Result
	r.summarise(places)
	shown := c.combine(places, c.Spec.CombineRule())
	sides, silent := c.sides(places, &l, &shown)
	h = heldOf(&shown, &sides, &l)
	h.Lowest, h.Highest, h.PlacesCount = r.Places.Min, r.Places.Max, silent
	return h, ""
}

func (c *Check) holdSizes(l *limits) (Held, string) {
	parts, because := c.parts()
	if because != "" {
		return Held{}, because
	}
	shown := c.pairing(parts, c.sizeRule(""))
	if c.unlikely(shown.value, l) {
		return Held{}, "implausible"
	}
	sides := c.sizeSides(parts, l)
	h := heldOf(&shown, &sides, l)
	h.Lowest, h.Highest = c.pairing(parts, "min").value, c.pairing(parts, "max").value
	return h, ""
}

func heldOf(shown *held, sides *[2]held, l *limits) Held {
	h := Held{Value: shown.value, AgainstLower: sides[0].value, AgainstUpper: sides[1].value,
		Lower: Limit{l.lower, l.has[0]}, Upper: Limit{l.upper, l.has[1]}}
	known := shown.budget.Known()
	for side := range sides {
		known = known && (!l.has[side] || sides[side].budget.Known())
	}
	if known {
		h.Standard, h.HasStandard = shown.budget.Standard(), true
	}
	if h.Bracket = shown.bracket; h.Bracket {
		from := shown
		if own, is := oneError(l, sides); is {
			from = own
		}
		h.Low, h.High = from.low.At.Sub(from.value).Float64(), from.up.At.Sub(from.value).Float64()
	}
	return h
}

// Share is the estimated probability that a value held at low and high, with one common error, lies inside the limits:
// normal with standard uncertainty u, or uniform from a to b convolved with it where bracket is set. It is rounded to
// 12 places.
func Share(h Held, shift quantity.Exact, u float64) float64 {
	from, to := limitsFrom(h, shift)
	if h.Bracket {
		return round12(smeared(from, to, h.Low, h.High, u))
	}
	return round12(normal(from, to, u))
}
