package measure

import (
	"errors"
	"math"

	"endfloat/service/quantity"
)

// Errors of PlaceOf.
var (
	ErrContradiction = errors.New("blades contradict each other")
	ErrUnit          = errors.New("units of different kinds")
)

// Place is what one place says, in the unit of the spec. The zero value is the exact value 0.
type Place struct {
	Value    quantity.Exact
	HasValue bool
	Bracket  bool // from blades: the value lies in Low to High and nothing else is known
	Low      End
	High     End
	Assumed  bool    // the bracket was closed by an assumption
	Count    int     // of repeats; 1 for one value
	Repeated bool    // read as repeats, be it one
	Dev      float64 // sample standard deviation of the repeats
}

// End is one end of an interval. A missing end is not known: the interval is half-open without bound.
type End struct {
	At   quantity.Exact
	Open bool // the end itself does not belong to the interval
	Has  bool
}

// AssumedStep is how far over a lone entering blade the bracket is closed where no set of blades is declared: 0.05 mm.
// Common practice, no source.
func AssumedStep(unit quantity.Unit) quantity.Exact {
	x, _ := quantity.In(quantity.NewDecimal(5, 2), quantity.Millimetre, unit)
	return x
}

// PlaceOf reads one place. from is the unit of the reading, to the unit of the spec. Errors: ErrContradiction, ErrUnit.
func PlaceOf(r *Reading, from, to quantity.Unit, ins *Instrument) (Place, error) {
	switch {
	case len(r.Blades) > 0:
		return bladed(r.Blades, from, to, ins)
	case len(r.Repeats) > 0:
		return repeated(r.Repeats, from, to)
	}
	x, ok := quantity.In(r.Value, from, to)
	if !ok {
		return Place{}, ErrUnit
	}
	return Place{Value: x, HasValue: true, Count: 1}, nil
}

func repeated(values []quantity.Decimal, from, to quantity.Unit) (Place, error) {
	var sum quantity.Exact
	xs := make([]float64, len(values))
	for i, v := range values {
		x, ok := quantity.In(v, from, to)
		if !ok {
			return Place{}, ErrUnit
		}
		sum = sum.Add(x)
		xs[i] = x.Float64()
	}
	n := len(values)
	return Place{Value: sum.DivInt(int64(n)), HasValue: true, Count: n, Repeated: true, Dev: deviation(xs)}, nil
}

// deviation is the experimental standard deviation (JCGM 100, 4.2.2); 0 for fewer than two values.
func deviation(xs []float64) float64 {
	n := float64(len(xs))
	if n < 2 {
		return 0
	}
	mean := 0.0
	for _, x := range xs {
		mean += x / n
	}
	sum := 0.0
	for _, x := range xs {
		sum += (x - mean) * (x - mean)
	}
	return math.Sqrt(sum / (n - 1))
}

// EnoughRepeats is from how many repeats on their scatter counts.
const EnoughRepeats = 4

// FewRepeats reports whether there are repeats, and too few for their scatter to count.
func (p *Place) FewRepeats() bool { return p.Repeated && p.Count < EnoughRepeats }

// Scatter is the standard uncertainty of the mean of the repeats, s/√n from EnoughRepeats on (JCGM 100, 4.2.3), else 0.
func (p *Place) Scatter() float64 {
	if p.Count < EnoughRepeats {
		return 0
	}
	return p.Dev / math.Sqrt(float64(p.Count))
}

// bladed is the bracket that blades leave.
func bladed(blades []Blade, from, to quantity.Unit, ins *Instrument) (Place, error) {
	enter, stop, ok := sort(blades)
	if !ok {
		return Place{}, ErrContradiction
	}
	tol, ok := quantity.In(ins.Tolerance, from, to)
	if !ok {
		return Place{}, ErrUnit
	}
	p := Place{Bracket: true, Count: 1}
	if enter != nil {
		x, _ := quantity.In(enter.Size, from, to)
		p.Low = End{x, enter.Feel == Free, true}
	}
	if stop != nil {
		x, _ := quantity.In(stop.Size, from, to)
		p.High = End{x, true, true}
	}
	if enter != nil && stop == nil && len(blades) == 1 {
		p.close(*enter, from, to, ins)
	}
	if p.Low.Has && p.High.Has {
		p.HasValue = true
		p.Value = p.Low.At
		if p.Low.Open {
			p.Value = p.Low.At.Add(p.High.At).DivInt(2)
		}
	}
	p.Low.At, p.High.At = p.Low.At.Sub(tol), p.High.At.Add(tol)
	return p, nil
}

// close ends the bracket over a lone entering blade: at the next blade of the declared set, else at an assumed step.
// Over the thickest of the set nothing is known.
func (p *Place) close(enter Blade, from, to quantity.Unit, ins *Instrument) {
	if len(ins.BladeSet) == 0 {
		p.High = End{p.Low.At.Add(AssumedStep(to)), true, true}
		p.Assumed = true
		return
	}
	var next *quantity.Decimal
	for i, s := range ins.BladeSet {
		if s.Cmp(enter.Size) > 0 && (next == nil || s.Cmp(*next) < 0) {
			next = &ins.BladeSet[i]
		}
	}
	if next != nil {
		x, _ := quantity.In(*next, from, to)
		p.High = End{x, true, true}
	}
}

// sort finds the thickest blade that enters and the thinnest that does not. ok is false where they contradict: one size
// twice, two that drag, a free one over one that drags, or one that does not enter under one that does.
func sort(blades []Blade) (enter, stop *Blade, ok bool) {
	for i := range blades {
		b := &blades[i]
		for j := range blades[:i] {
			if o := &blades[j]; o.Size.Cmp(b.Size) == 0 || (o.Feel == Drag && b.Feel == Drag) || !ordered(*o, *b) || !ordered(*b, *o) {
				return nil, nil, false
			}
		}
		if b.Feel.Enters() {
			if enter == nil || b.Size.Cmp(enter.Size) > 0 {
				enter = b
			}
		} else if stop == nil || b.Size.Cmp(stop.Size) < 0 {
			stop = b
		}
	}
	return enter, stop, true
}

// ordered is false where the thinner blade a went in worse than the thicker blade b.
func ordered(a, b Blade) bool {
	if a.Size.Cmp(b.Size) >= 0 {
		return true
	}
	if !a.Feel.Enters() && b.Feel.Enters() {
		return false
	}
	return a.Feel != Drag || b.Feel != Free
}

// Shift adds x to everything that the place says.
func (p *Place) Shift(x quantity.Exact) {
	if x.Sign() != 0 {
		p.Value, p.Low.At, p.High.At = p.Value.Add(x), p.Low.At.Add(x), p.High.At.Add(x)
	}
}
