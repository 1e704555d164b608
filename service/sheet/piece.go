package sheet

import (
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// FromLadder gives a piece the tolerance of its size on a ladder: the rung with its SKU, else one of the same printed
// thickness. The thickness moves to the middle of the tolerance and the variance is that of an even spread over it,
// width²/12. A piece that the ladder does not know stays as it is. u is the unit of the printed thickness, to that of the
// spec.
func FromLadder(p Piece, set *spec.ShimSet, u, to quantity.Unit) Piece {
	printed, ok := quantity.In(p.Printed, u, set.Unit)
	if !ok {
		return p
	}
	rung, found := spec.Rung{}, false
	for _, g := range set.Ladder {
		if p.SKU != "" && g.SKU == p.SKU {
			rung, found = g, true
			break
		}
		if !found && g.Thickness.Exact().Equal(printed) {
			rung, found = g, true
		}
	}
	if !found || !rung.Tolerance.TwoSided() {
		return p
	}
	lower, _ := quantity.In(rung.Tolerance.Lower, set.Unit, to)
	upper, _ := quantity.In(rung.Tolerance.Upper, set.Unit, to)
	p.Thickness = p.Thickness.Add(lower.Add(upper).DivInt(2))
	width := upper.Sub(lower).Float64()
	p.Variance = width * width / 12
	return p
}
