package sheets

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// toPiece reads a piece in unit u into the unit of the spec: the middle of its tolerance with the variance of an even
// spread over it. A measured piece has no tolerance, one with an uncertainty has that instead.
func (q *ShimRequest) toPiece(u, to quantity.Unit, set *spec.ShimSet, at wire.At, bad *fault.List) sheet.Piece {
	wire.Fits(q.Place, maxName, bad, at, "place")
	if q.SKU != "" && !isSKU(q.SKU) {
		bad.Add(at.Key("sku").Fault("bad_sku", note.New("found_no_part_number", note.Str("sku", rim.Quote(q.SKU))), note.New("fix_send_letters_digits_dots", note.Str("least", "1"), note.Str("most", "64"))))
	}
	if q.Place != "" && len(set.Places) > 0 && !hasPlace(set, q.Place) {
		bad.Add(at.Key("place").Fault("unknown_place", note.New("found_shims_no_place", note.Str("place", rim.Quote(q.Place))), note.New("fix_send_one_of", note.Str("list", places(set)))))
	}
	printed, ok := q.Thickness.In(u, at.Key("thickness"), bad)
	if !ok {
		return sheet.Piece{}
	}
	if printed.Sign() <= 0 {
		bad.Add(at.Key("thickness").Fault("not_positive", note.New("found_no_shim_thick", note.Str("thickness", printed.String())), note.New("fix_send_thickness_over_0")))
		return sheet.Piece{}
	}
	x, known := quantity.In(printed, u, to)
	if !known {
		bad.Add(at.Key("thickness").Fault("unit_of_wrong_kind", note.New("found_spec_not_unit_length"), note.New("fix_leave_shims")))
		return sheet.Piece{}
	}
	p := sheet.Piece{Place: q.Place, SKU: q.SKU, Printed: printed, Thickness: x}
	if q.Tolerance.Present() && q.StandardU.Present() {
		bad.Add(at.Fault("several_uncertainties", note.New("found_piece_declared_one_figure"), note.New("fix_send_one_tolerance_standard")))
	}
	tol, u1 := figure(q.Tolerance, u, to, at.Key("tolerance"), bad), figure(q.StandardU, u, to, at.Key("standard_uncertainty"), bad)
	switch {
	case q.StandardU.Present():
		p.Variance = u1 * u1
	case q.Measured:
	case q.Tolerance.Present():
		p.Variance = tol * tol / 3
	default:
		p = sheet.FromLadder(p, set, u, to)
	}
	return p
}

// figure is a spread of a piece in the unit of the spec; 0 where it is absent or at fault.
func figure(n wire.Number, u, to quantity.Unit, at wire.At, bad *fault.List) float64 {
	if !n.Present() {
		return 0
	}
	d, ok := n.In(u, at, bad)
	if !ok {
		return 0
	}
	if d.Sign() < 0 {
		bad.Add(at.Fault("negative", note.New("found_spread_never_negative"), note.New("fix_send_zero_or_more")))
		return 0
	}
	x, _ := quantity.In(d, u, to)
	return x.Float64()
}

func hasPlace(set *spec.ShimSet, id string) bool {
	for _, p := range set.Places {
		if p.ID == id {
			return true
		}
	}
	return false
}

func places(set *spec.ShimSet) string {
	ids := make([]string, len(set.Places))
	for i, p := range set.Places {
		ids[i] = p.ID
	}
	return strings.Join(ids, ", ")
}
