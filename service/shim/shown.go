package shim

import (
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// shown is a piece as an option at a place has it: its stated thickness in the unit of the request, with at least the
// digits of the set.
func (p *problem) shown(b body, pl *place, from Origin) Chosen {
	s := p.sets[pl.set].shims
	ch := Chosen{Stated: b.piece.Thickness, StatedIn: b.piece.Unit, From: from, SKU: b.piece.SKU, Worn: b.piece.Worn}
	if b.piece.Unit == p.in.Unit {
		ch.Thickness = b.piece.Thickness.Padded(Decimals(s, p.in.Unit))
		ch.Shown = ch.Thickness
		return ch
	}
	x, ok := quantity.Convert(b.printed, quantity.Millimetre, p.in.Unit)
	if !ok {
		ch.Thickness, ch.Shown = b.piece.Thickness, b.piece.Thickness
		return ch
	}
	ch.Thickness, ch.Shown = x.Print(Decimals(s, p.in.Unit), 4), x.Print(Digits(s, p.in.Unit), 0)
	return ch
}

// Decimals is how many fractional digits a thickness of the set has in unit u as a number: those of the set in its own
// unit, and elsewhere those that are usual there.
func Decimals(s *spec.ShimSet, u quantity.Unit) int {
	if s.Unit == u {
		return s.Decimals
	}
	switch u {
	case quantity.Millimetre:
		return 2
	case quantity.Inch:
		return 4
	case quantity.Thou:
		return 1
	}
	return 0
}

// Digits is how many fractional digits a thickness of the set has for an eye in unit u: those of the set in its own unit,
// and elsewhere the fewest that misstate no size by more than a twentieth of the least step between two, 9 at most.
func Digits(s *spec.ShimSet, u quantity.Unit) int {
	if s.Unit == u {
		return s.Decimals
	}
	step, ok := quantity.Convert(stepOf(s), quantity.Millimetre, u)
	if !ok {
		return s.Decimals
	}
	for places := range finest {
		if quantity.NewDecimal(1, places).Exact().MulInt(10).Cmp(step) <= 0 {
			return places
		}
	}
	return finest
}

// finest is the most digits of a length: as many as one may be stated with.
const finest = 9

// LengthShown is a length in mm for an eye, in unit u: in the unit of the set with its digits and up to two more, else in
// its Digits. Rounding neither reaches nor crosses a limit, which are in mm too; what lies on one is shown as the limit is,
// not wider than it is, and what is not 0 is not shown as 0.
func LengthShown(mm quantity.Exact, s *spec.ShimSet, u quantity.Unit, limits ...quantity.Exact) quantity.Decimal {
	x, ok := quantity.Convert(mm, quantity.Millimetre, u)
	if !ok {
		return mm.Print(s.Decimals, 2)
	}
	if s.Unit == u {
		return x.Print(s.Decimals, 2)
	}
	edges := []quantity.Exact{{}}
	for _, l := range limits {
		at, _ := quantity.Convert(l, quantity.Millimetre, u)
		if x.Equal(at) {
			d, _ := x.Round(Digits(s, u), quantity.Down)
			return d
		}
		edges = append(edges, at)
	}
	return x.Shown(Digits(s, u), edges...)
}
