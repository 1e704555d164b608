package judge

import (
	"math"

	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// held is a value with its interval and what it may be wrong by: what is shown, or what is held against a limit.
type held struct {
	value    quantity.Exact
	hasValue bool
	bracket  bool
	low, up  measure.End // of a bracket
	budget   measure.Budget
	from, to measure.End // of the interval, as it is compared
}

// combine makes one value of the places by a rule.
func (c *Check) combine(places []measure.Place, rule spec.Combine) (h held) {
	switch rule {
	case spec.Min:
		c.worst(&h, places, -1)
	case spec.Max:
		c.worst(&h, places, 1)
	case spec.Spread:
		c.spread(&h, places)
	default:
		c.mean(&h, places)
	}
	c.setEnds(&h)
	return h
}

func (c *Check) mean(h *held, places []measure.Place) {
	h.hasValue, h.bracket = !beyond(places), places[0].Bracket
	share := 1 / float64(len(places))
	assumed, scatter := false, measure.Budget{}
	for i := range places {
		p := &places[i]
		h.value = h.value.Add(p.Value)
		assumed = assumed || p.Assumed
		scatter = scatter.Repeats(p, share)
	}
	h.value = h.value.DivInt(int64(len(places)))
	if h.bracket {
		h.meanBracket(places)
	}
	h.budget = c.budget(h, assumed, scatter)
}

// meanBracket runs from the mean lower to the mean upper end, where every place has one.
func (h *held) meanBracket(places []measure.Place) {
	h.low, h.up = measure.End{Has: true}, measure.End{Has: true}
	for i := range places {
		join(&h.low, &places[i].Low)
		join(&h.up, &places[i].High)
	}
	n := int64(len(places))
	h.low.At, h.up.At = h.low.At.DivInt(n), h.up.At.DivInt(n)
}

// join adds an end to a sum of ends, which is open where one of them is and unknown where one of them is.
func join(sum, e *measure.End) {
	sum.At, sum.Has, sum.Open = sum.At.Add(e.At), sum.Has && e.Has, sum.Open || e.Open
}

// worst is the lowest or highest place; a place beyond the gauge on that side comes first.
func (c *Check) worst(h *held, places []measure.Place, side int) {
	best := outermost(places, side)
	h.value, h.hasValue, h.bracket, h.low, h.up = best.Value, best.HasValue, best.Bracket, best.Low, best.High
	h.budget = c.budget(h, best.Assumed, measure.Budget{}.Repeats(best, 1))
}

// outermost is the lowest (side under 0) or highest place; of equal ones the least certain, so that their order is
// nothing.
func outermost(places []measure.Place, side int) *measure.Place {
	best := &places[0]
	for i := range places[1:] {
		p := &places[1+i]
		if order := rank(p, side).Cmp(rank(best, side)); order > 0 || order == 0 && lessCertain(p, best, side) {
			best = p
		}
	}
	return best
}

// lessCertain reports whether p, of the same value as q, reaches further out, else further in, else scatters more.
func lessCertain(p, q *measure.Place, side int) bool {
	out, in := p.High.At.Cmp(q.High.At), q.Low.At.Cmp(p.Low.At)
	if side < 0 {
		out, in = in, out
	}
	switch {
	case out != 0:
		return out > 0
	case in != 0:
		return in > 0
	case p.Low.Open != q.Low.Open || p.High.Open != q.High.Open:
		return q.Low.Open && q.High.Open
	case p.Scatter() != q.Scatter():
		return p.Scatter() > q.Scatter()
	}
	return p.Count < q.Count
}

// rank orders places by their value, or by the known end of one without a value, so that the worst has the highest.
func rank(p *measure.Place, side int) quantity.Exact {
	x := p.Value
	if !p.HasValue {
		x = p.High.At
		if p.Low.Has {
			x = p.Low.At
		}
	}
	if side < 0 {
		return x.Neg()
	}
	return x
}

// spread is the largest minus the smallest place. What is common to all places cancels; repeats and resolution stay.
func (c *Check) spread(h *held, places []measure.Place) {
	lo, hi := outermost(places, -1), outermost(places, 1)
	h.value, h.hasValue, h.bracket = hi.Value.Sub(lo.Value), true, places[0].Bracket
	if h.bracket {
		c.spreadOfBrackets(h, places)
		return
	}
	var b measure.Budget
	if f := c.Instrument.Resolution; f.Has {
		b = measure.OfResolution(f.Value * scaleOf(c.Unit, c.Spec.Unit) * c.correction())
	}
	h.budget = b.Repeats(lo, 1).Repeats(hi, 1)
}

func (c *Check) spreadOfBrackets(h *held, places []measure.Place) {
	maxLow, minUp := places[0].Low.At, places[0].High.At
	minLow, maxUp := maxLow, minUp
	assumed := false
	for i := range places {
		p := &places[i]
		if maxLow.Less(p.Low.At) {
			maxLow = p.Low.At
		}
		if p.Low.At.Less(minLow) {
			minLow = p.Low.At
		}
		if p.High.At.Less(minUp) {
			minUp = p.High.At
		}
		if maxUp.Less(p.High.At) {
			maxUp = p.High.At
		}
		assumed = assumed || p.Assumed
	}
	low := maxLow.Sub(minUp)
	h.low = measure.End{At: low, Open: true, Has: true}
	if low.Sign() <= 0 {
		h.low = measure.End{Has: true}
	}
	h.up = measure.End{At: maxUp.Sub(minLow), Open: true, Has: true}
	h.budget = c.budget(h, assumed, measure.Budget{})
}

func (c *Check) correction() float64 {
	if c.Instrument.Correction.None() {
		return 1
	}
	return math.Abs(c.Instrument.Correction.Factor().Float64())
}

func scaleOf(from, to quantity.Unit) float64 {
	x, ok := quantity.In(quantity.NewDecimal(1, 0), from, to)
	if !ok {
		return 1
	}
	return x.Float64()
}

// budget is what a value may be wrong by: its bracket, or its instrument with the scatter of repeats, or feel.
func (c *Check) budget(h *held, assumed bool, scatter measure.Budget) measure.Budget {
	if h.bracket {
		if !h.low.Has || !h.up.Has {
			return measure.Budget{}
		}
		return measure.OfBracket(h.up.At.Sub(h.low.At).Float64(), assumed)
	}
	value := h.value.Float64()
	if c.How == "estimated" && !c.Instrument.Declared() {
		return joined(measure.OfFeel(value), scatter)
	}
	if e, ok := c.Instrument.Of(value, c.Unit, c.Spec.Unit, c.Defaults); ok {
		return joined(e.Budget(), scatter)
	}
	return scatter
}

// joined is a budget with the scatter of repeats, where there is one. It keeps its source.
func joined(b, scatter measure.Budget) measure.Budget {
	if !b.Known() || !scatter.Known() {
		return b
	}
	sum := b.Plus(scatter)
	sum.Source = b.Source
	return sum
}

// guard is the half-width of the interval under the check's rule of coverage.
func (c *Check) guard(b *measure.Budget) float64 {
	U := b.Expanded()
	if c.Coverage == "t" {
		U, _ = b.ExpandedT()
	}
	if c.Guard == Guard95 {
		return math.Min(1.65*b.Standard(), U)
	}
	return U
}

// grid is the number of digits at which interval ends are compared.
const grid = 9

// setEnds sets the ends of the interval at 1e-9 of the unit, half-even; a bracket has its own ends.
func (c *Check) setEnds(h *held) {
	switch {
	case h.bracket:
		h.from, h.to = rounded(h.low), rounded(h.up)
	case h.budget.Known() && h.hasValue:
		g := estimate(c.guard(&h.budget))
		h.from, h.to = rounded(measure.End{At: h.value.Sub(g), Has: true}), rounded(measure.End{At: h.value.Add(g), Has: true})
	}
}

// estimate is a float as a number of trillionths, which drops the noise of its last bits.
func estimate(f float64) quantity.Exact {
	const per = 1_000_000_000_000
	if math.Abs(f) < 1e6 {
		return quantity.Frac(int64(math.RoundToEven(f*per)), per)
	}
	return quantity.FromFloat(f)
}

func rounded(e measure.End) measure.End {
	if !e.Has {
		return e
	}
	d, ok := e.At.Round(grid, quantity.HalfEven)
	if ok {
		e.At = d.Exact()
	}
	return e
}
