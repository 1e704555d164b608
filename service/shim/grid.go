package shim

import (
	"math"
	"math/bits"

	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// grid is the common steps on which every length of a problem is a whole number, so that no comparison is rounded:
// thicknesses in steps of 1/thick mm, values of specs in steps of 1/specs mm.
type grid struct{ thick, specs int64 }

// TooFine is the code of the fault for numbers that have no common grid in 64 bits.
const TooFine = "numbers_too_fine"

func tooFine() error {
	return fault.New(fault.Invalid, TooFine, note.New("found_thicknesses_changes_per_millimetre"))
}

// lcm is the least common multiple; ok is false where it leaves 64 bits.
func lcm(a, b int64) (int64, bool) {
	g := a
	for x := b; x != 0; {
		g, x = x, g%x
	}
	hi, lo := bits.Mul64(uint64(a/g), uint64(b))
	return int64(lo), hi == 0 && lo < math.MaxInt64
}

// common is the least common multiple of the denominators and of what it starts from.
func common(start int64, numbers []quantity.Exact) (int64, bool) {
	for _, x := range numbers {
		_, den, ok := x.Ratio()
		if ok && start%den == 0 {
			continue
		}
		if !ok {
			return 0, false
		}
		if start, ok = lcm(start, den); !ok {
			return 0, false
		}
	}
	return start, true
}

// steps is x in steps of 1/per; x lies on that grid.
func steps(x quantity.Exact, per int64) int64 {
	num, den, _ := x.Ratio()
	return num * (per / den)
}

func (g *grid) thickness(x quantity.Exact) int64 { return steps(x, g.thick) }
func (g *grid) spec(x quantity.Exact) int64      { return steps(x, g.specs) }

// perThick is what one step of thickness changes a spec by, in steps of the spec, for a change per mm.
func (g *grid) perThick(change quantity.Exact) int64 {
	num, den, _ := change.Ratio()
	return num * (g.specs / g.thick / den)
}

// thickOf is a number of steps of thickness in mm.
func (g *grid) thickOf(n int64) quantity.Exact { return quantity.Frac(n, g.thick) }

// most is a bound over all sums that a search can form; every number must leave room for a few of them.
const most = float64(1 << 60)
