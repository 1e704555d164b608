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
}

// combine makes one value of the places by a rule.
func (c Check) combine(places []measure.Place, rule spec.Combine) held {
	switch rule {
	case spec.Min:
		return c.worst(places, -1)
	case spec.Max:
		return c.worst(places, 1)
	case spec.Spread:
		return c.spread(places)
	}
	return c.mean(places)
}

func (c Check) mean(places []measure.Place) held {
	n := int64(len(places))
	h := held{hasValue: true, bracket: places[0].Bracket}
	var low, up quantity.Exact
	h.low, h.up = measure.End{Has: true}, measure.End{Has: true}
	assumed, scatter := false, measure.Budget{}
	for _, p := range places {
		h.hasValue = h.hasValue && p.HasValue
		h.value = h.value.Add(p.Value)
		low, up = low.Add(p.Low.At), up.Add(p.High.At)
		h.low.Has, h.up.Has = h.low.Has && p.Low.Has, h.up.Has && p.High.Has
		h.low.Open, h.up.Open = h.low.Open || p.Low.Open, h.up.Open || p.High.Open
		assumed = assumed || p.Assumed
		scatter = scatter.Repeats(p, 1/float64(n))
	}
	h.value, h.low.At, h.up.At = h.value.DivInt(n), low.DivInt(n), up.DivInt(n)
	h.budget = c.budget(h, assumed, scatter)
	return h
}

// worst is the lowest or highest place; a place beyond the gauge on that side comes first.
func (c Check) worst(places []measure.Place, side int) held {
	best := outermost(places, side)
	h := held{value: best.Value, hasValue: best.HasValue, bracket: best.Bracket, low: best.Low, up: best.High}
	var scatter measure.Budget
	scatter = scatter.Repeats(best, 1)
	h.budget = c.budget(h, best.Assumed, scatter)
	return h
}

// outermost is the lowest (side under 0) or highest place; of equal ones the least certain, so that their order is
// nothing.
func outermost(places []measure.Place, side int) measure.Place {
	best := places[0]
	for _, p := range places[1:] {
		if order := rank(p, side).Cmp(rank(best, side)); order > 0 || order == 0 && lessCertain(p, best, side) {
			best = p
		}
	}
	return best
}

// lessCertain reports whether p, of the same value as q, reaches further out, else further in, else scatters more.
func lessCertain(p, q measure.Place, side int) bool {
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
func rank(p measure.Place, side int) quantity.Exact {
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
func (c Check) spread(places []measure.Place) held {
	lo, hi := outermost(places, -1), outermost(places, 1)
	h := held{value: hi.Value.Sub(lo.Value), hasValue: true, bracket: places[0].Bracket}
	if h.bracket {
		return c.spreadOfBrackets(places, h)
	}
	var b measure.Budget
	if f := c.Instrument.Resolution; f.Has {
		b = measure.OfResolution(f.Value * scaleOf(c.Unit, c.Spec.Unit) * c.correction())
	}
	h.budget = b.Repeats(lo, 1).Repeats(hi, 1)
	return h
}

func (c Check) spreadOfBrackets(places []measure.Place, h held) held {
	maxLow, minUp := places[0].Low.At, places[0].High.At
	minLow, maxUp := maxLow, minUp
	assumed := false
	for _, p := range places {
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
	return h
}

func (c Check) correction() float64 {
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
func (c Check) budget(h held, assumed bool, scatter measure.Budget) measure.Budget {
	if h.bracket {
		if !h.low.Has || !h.up.Has {
			return measure.Budget{}
		}
		return measure.OfBracket(h.up.At.Sub(h.low.At).Float64(), assumed)
	}
	value := h.value.Float64()
	b := scatter
	switch e, ok := c.Instrument.Of(value, c.Unit, c.Spec.Unit, c.Defaults); {
	case c.How == "estimated" && !c.Instrument.Declared():
		return measure.OfFeel(value)
	case ok:
		b = e.Budget()
		if scatter.Known() {
			b = b.Plus(scatter)
			b.Source = e.Source
		}
	}
	return b
}

// guard is the half-width of the interval under the check's rule of coverage.
func (c Check) guard(b measure.Budget) float64 {
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

// interval is the ends of the interval at 1e-9 of the unit, half-even; a bracket has its own ends.
func (c Check) interval(h held) (low, up measure.End) {
	if h.bracket {
		return rounded(h.low), rounded(h.up)
	}
	if !h.budget.Known() || !h.hasValue {
		return measure.End{}, measure.End{}
	}
	g := estimate(c.guard(h.budget))
	return rounded(measure.End{At: h.value.Sub(g), Has: true}), rounded(measure.End{At: h.value.Add(g), Has: true})
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
