package shim

import (
	"cmp"
	"slices"
	"strings"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// warnings are what the caller should know about the input and the demand.
func (p *problem) warnings(out *Plan) []note.Note {
	var list []note.Note
	for _, g := range p.gauges {
		list = append(list, g.now.Warnings...)
	}
	for _, s := range p.sets {
		if s.has && !s.said {
			list = append(list, note.New("offset_taken_as_0", note.Str("shims", string(s.shims.Key))))
		}
	}
	for _, pl := range p.places {
		set := p.sets[pl.set].shims
		at := []note.Param{note.Str("shims", string(set.Key)), note.Str("place", pl.of.ID)}
		for _, b := range pl.bodies {
			list = append(list, doubts(&b, "", at, []*spec.ShimSet{set})...)
		}
	}
	list = append(list, p.doubtsOnHand()...)
	if !out.Proven {
		list = append(list, note.New("not_proven", note.Count("nodes", out.Nodes)))
	}
	return unique(list)
}

// doubtsOnHand are the doubts about what lies on the shelf, in an order that is not that of input.
func (p *problem) doubtsOnHand() (list []note.Note) {
	for i := range p.in.OnHand {
		b := bodyOf(p.in.OnHand[i].Piece, p.in.Unit, nil)
		list = append(list, doubts(&b, "_on_hand", nil, p.ladders(b.piece.Set))...)
	}
	slices.SortStableFunc(list, func(a, b note.Note) int {
		return cmp.Or(strings.Compare(a.Code, b.Code), slices.CompareFunc(a.Params, b.Params, func(a, b note.Param) int {
			return cmp.Or(strings.Compare(a.Value, b.Value), strings.Compare(string(a.Unit), string(b.Unit)))
		}))
	})
	return list
}

// ladders are the ladders of a piece that fits one set only, those of all sets for the empty key.
func (p *problem) ladders(only spec.Key) (list []*spec.ShimSet) {
	for _, s := range p.sets {
		if only == "" || s.shims.Key == only {
			list = append(list, s.shims)
		}
	}
	return list
}

// doubts are what a piece says of itself that does not go together: its stamp, and the size of its part number.
func doubts(b *body, where string, at []note.Param, ladders []*spec.ShimSet) (list []note.Note) {
	in := &b.piece
	thick := note.Qty("thickness", in.Thickness, in.Unit)
	if in.HasStamped && in.Stamped.Cmp(in.Thickness) != 0 {
		list = append(list, note.New("stamp_differs"+where, slices.Concat(at, []note.Param{note.Qty("stamped", in.Stamped, in.Unit), thick})...))
	}
	if r, set := rungBySKU(in.SKU, ladders); r != nil && !could(b, r, set.Unit) {
		list = append(list, note.New("sku_other_thickness"+where, slices.Concat(at, []note.Param{note.Str("sku", in.SKU), note.Qty("size", r.Thickness, set.Unit), thick})...))
	}
	return list
}

// could reports whether a piece is of a size: one that was measured may lie anywhere in its tolerance, and where the size
// has none a measurement says nothing against it.
func could(b *body, r *spec.Rung, unit quantity.Unit) bool {
	at := func(d quantity.Decimal) quantity.Exact { return millimetres(r.Thickness.Exact().Add(d.Exact()), unit) }
	if !b.piece.Measured && !b.piece.HasStandard {
		return b.printed.Equal(at(quantity.Decimal{}))
	}
	low, high := at(r.Tolerance.Lower), at(r.Tolerance.Upper)
	return low.Equal(high) || !b.printed.Less(low) && !high.Less(b.printed)
}

func unique(list []note.Note) []note.Note {
	var out []note.Note
	for _, n := range list {
		if !slices.ContainsFunc(out, func(o note.Note) bool { return o.Code == n.Code && slices.Equal(o.Params, n.Params) }) {
			out = append(out, n)
		}
	}
	return out
}
