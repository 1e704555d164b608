package judge

import (
	"math"
	"slices"
	"sort"

	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// trial is what a check read, once for every instrument that it is tried with.
type trial struct {
	places []measure.Place
	parts  []part
}

// tried is a check that is judged again with other instruments, for nothing but its verdict.
type tried struct {
	check Check
	sizes []Size // those of the check, of which tries change the instruments
	scale float64
}

// tried reads a check for trials. It is nil where no instrument decides: of a range the errors that are common to its
// places cancel.
func (c *Check) tried() *tried {
	t := &tried{check: *c, sizes: c.Sizes, scale: scaleOf(c.Unit, c.Spec.Unit)}
	own, read := &t.check, &trial{}
	var because string
	switch {
	case len(c.Sizes) > 0 && c.Spec.Kind != spec.Torque:
		read.parts, because = c.parts()
		own.Sizes = slices.Clone(c.Sizes)
	case c.Spec.Kind == spec.Torque:
		read.places, because = c.fasteners()
	case c.Spec.CombineRule() == spec.Spread:
		return nil
	default:
		read.places, because = c.places()
	}
	if because != "" {
		return nil
	}
	own.trial = read
	return t
}

// decidedWith reports whether the same readings, taken with an instrument, would be decided.
func (t *tried) decidedWith(i *measure.Instrument) bool {
	own := &t.check
	i.Correction = own.Instrument.Correction
	own.Instrument = *i
	for n := range own.Sizes {
		own.Sizes[n].Instrument = *i
		own.Sizes[n].Instrument.Correction = t.sizes[n].Instrument.Correction
	}
	var r Result
	own.judge(&r)
	return r.Verdict == Pass || r.Verdict == Fail
}

// decidedAt reports whether they would be with a standard uncertainty, in the unit of the spec.
func (t *tried) decidedAt(u quantity.Decimal) bool {
	return t.decidedWith(&measure.Instrument{Standard: measure.Some(u.Float64() / t.scale)})
}

// tenths is in how many steps the search for a finer instrument goes down from what is needed.
const tenths = 10

// finer is the largest standard uncertainty of two digits, in tenths of what is needed, of which it is sure that an
// instrument with it decides. What is needed may be too much: repeats that scatter or the other sizes add theirs, and one
// that reaches the limit from outside decides nothing.
func (t *tried) finer(needed float64) (u quantity.Decimal, ok bool) {
	at := func(down int) bool {
		u = twoDigits(needed * float64(tenths-down) / tenths)
		for range 2 {
			if u.Sign() > 0 && t.decidedAt(u) {
				return true
			}
			u = quantity.NewDecimal(u.Coef()-1, u.Places()) // the next smaller one
		}
		return false
	}
	if at(0) {
		return u.Trimmed(0), true
	}
	if !t.decidedAt(quantity.Decimal{}) { // not even with one that is never wrong
		return u, false
	}
	down := 1 + sort.Search(tenths-1, func(i int) bool { return at(1 + i) })
	if down == tenths || !at(down) {
		return u, false
	}
	return u.Trimmed(0), true
}

// twoDigits is an estimate rounded down to two digits that count, nine decimals at most.
func twoDigits(x float64) quantity.Decimal {
	places := min(max(0, 1-int(math.Floor(math.Log10(x)))), grid)
	d, _ := estimate(x).Round(places, quantity.Down)
	return d
}
