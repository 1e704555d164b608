package shim

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// body is a piece in millimetres: what is printed, what a prediction uses and how wrong that may be.
type body struct {
	piece    Piece
	printed  quantity.Exact
	mid      quantity.Exact
	standard float64
	p, m     int64 // printed and mid on the grid of thickness
}

// bodyOf reads a piece; a piece silent on tolerance takes that of its rung in one of the ladders, by SKU, else by equal
// thickness.
func bodyOf(in Piece, unit quantity.Unit, ladders []*spec.ShimSet) body {
	if in.Unit == "" {
		in.Unit = unit
	}
	b := body{piece: in, printed: millimetres(in.Thickness.Exact(), in.Unit)}
	b.mid = b.printed
	tolerance, unitOf := in.Tolerance, in.Unit
	switch {
	case in.HasStandard:
		b.standard = millimetres(in.Standard.Exact(), in.Unit).Float64()
		return b
	case in.Measured:
		return b
	case !in.HasTolerance:
		tolerance, unitOf = rungTolerance(b, ladders)
	}
	low, high := millimetres(tolerance.Lower.Exact(), unitOf), millimetres(tolerance.Upper.Exact(), unitOf)
	b.mid = b.printed.Add(low.Add(high).DivInt(2))
	b.standard = high.Sub(low).Float64() / math.Sqrt(12) // JCGM 100, 4.3.7
	return b
}

func rungTolerance(b body, ladders []*spec.ShimSet) (quantity.Range, quantity.Unit) {
	if r, s := rungBySKU(b.piece.SKU, ladders); r != nil {
		return r.Tolerance, s.Unit
	}
	for _, s := range ladders {
		for _, r := range s.Ladder {
			if millimetres(r.Thickness.Exact(), s.Unit).Equal(b.printed) {
				return r.Tolerance, s.Unit
			}
		}
	}
	return quantity.Range{}, quantity.Millimetre
}

// rungBySKU is the first size of the ladders with that part number, nil where none has it.
func rungBySKU(sku string, ladders []*spec.ShimSet) (*spec.Rung, *spec.ShimSet) {
	for _, s := range ladders {
		for i := range s.Ladder {
			if r := &s.Ladder[i]; sku != "" && r.SKU == sku {
				return r, s
			}
		}
	}
	return nil, nil
}

// millimetres brings a length to mm; numbers of other kinds keep their unit.
func millimetres(x quantity.Exact, u quantity.Unit) quantity.Exact {
	if mm, ok := quantity.Convert(x, u, quantity.Millimetre); ok {
		return mm
	}
	return x
}

// Origin says where a piece of an option comes from.
type Origin string

// The origins.
const (
	FromFitted Origin = "fitted"
	FromOnHand Origin = "on_hand"
	FromOrder  Origin = "order"
)

// kind is pieces that are alike in everything that a plan can tell apart.
type kind struct {
	body
	from Origin
	home int   // place where it is fitted, else -1
	set  int   // the only set it fits, else -1
	cap  int   // how many there are; 0: as many as one buys
	all  []lot // lowest SKU first
}

// lot is pieces that are alike in every word.
type lot struct {
	piece Piece
	count int
}

// nth is the n-th piece of a kind, from 0; the last one after the end.
func (k *kind) nth(n int) Piece {
	for _, l := range k.all {
		if n -= l.count; n < 0 {
			return l.piece
		}
	}
	return k.all[len(k.all)-1].piece
}

func (k *kind) alike(o *kind) bool {
	return k.from == o.from && k.home == o.home && k.set == o.set && k.p == o.p && k.m == o.m && k.standard == o.standard
}

// compareKinds orders kinds thickest first, then by everything else that is not the order of input.
func compareKinds(a, b *kind) int {
	return cmp.Or(-cmp.Compare(a.p, b.p), cmp.Compare(rankOf(a.from), rankOf(b.from)), cmp.Compare(a.home, b.home),
		cmp.Compare(a.set, b.set), cmp.Compare(a.m, b.m), cmp.Compare(a.standard, b.standard), comparePieces(a.piece, b.piece))
}

func comparePieces(a, b Piece) int {
	return cmp.Or(strings.Compare(a.SKU, b.SKU), cmp.Compare(a.Thickness.Places(), b.Thickness.Places()),
		strings.Compare(string(a.Unit), string(b.Unit)))
}

func rankOf(o Origin) int { return slices.Index([]Origin{FromFitted, FromOnHand, FromOrder}, o) }

// square is a variance in whole units of 1e-16 mm², so that sums do not depend on their order and what stays adds
// exactly nothing.
func square(x float64) int64 {
	if x == 0 {
		return 0
	}
	x = math.Min(math.Abs(x), 3)
	return max(1, int64(math.RoundToEven(x*x*perVariance)))
}

const perVariance = 1e16

// variance is whole units of 1e-16 mm² in mm².
func variance(v int64) float64 { return float64(max(0, v)) / perVariance }
