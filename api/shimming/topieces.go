package shimming

import (
	"regexp"
	"strconv"
	"strings"

	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// piece reads a shim in unit u.
func (p *PieceRequest) piece(u quantity.Unit, at wire.At, bad *fault.List) shim.Piece {
	out := shim.Piece{Unit: u, Measured: p.Measured, SKU: p.SKU, Worn: p.Worn, Set: spec.Key(p.Shims)}
	out.Thickness = thickness(p.Thickness, u, at.Key("thickness"), bad)
	out.Tolerance, out.HasTolerance = p.Tolerance.read(u, at.Key("tolerance"), bad)
	solid(out.Thickness, out.Tolerance, at.Key("tolerance"), bad)
	if p.StandardU.Present() {
		d, ok := p.StandardU.Decimal(at.Key("standard_uncertainty"), 9, bad)
		switch mm, _ := quantity.In(d, u, quantity.Millimetre); {
		case ok && d.Sign() < 0:
			bad.Add(at.Key("standard_uncertainty").Fault("negative", note.New("found_uncertainty_never_negative"), note.New("fix_send_zero_or_more")))
		case ok && mm.Cmp(quantity.Int(1)) > 0:
			bad.Add(at.Key("standard_uncertainty").Fault("number_out_of_range", note.New("found_no_shim_measured_coarsely"), note.New("fix_send_at_most_mm", note.Str("n", "1"))))
		}
		out.Standard, out.HasStandard = d, ok
	}
	if p.Stamped.Present() {
		out.Stamped, out.HasStamped = thickness(p.Stamped, u, at.Key("stamped"), bad), true
	}
	sku(p.SKU, at.Key("sku"), bad)
	return out
}

func thickness(n wire.Number, u quantity.Unit, at wire.At, bad *fault.List) quantity.Decimal {
	d, ok := n.In(u, at, bad)
	if ok && d.Sign() <= 0 {
		bad.Add(at.Fault("not_positive", note.New("found_no_shim_thick", note.Str("thickness", d.String()+" "+string(u))), note.New("fix_send_thickness_over_0")))
	}
	return d
}

// solid checks that a tolerance leaves something of the piece, and is narrower than it is thick.
func solid(d quantity.Decimal, tolerance quantity.Range, at wire.At, bad *fault.List) {
	if d.Sign() > 0 && d.Exact().Add(tolerance.Lower.Exact()).Sign() <= 0 || tolerance.Upper.Exact().Cmp(d.Exact()) > 0 && d.Sign() > 0 {
		bad.Add(at.Fault("out_of_range", note.New("found_tolerance_less_thickness_itself"), note.New("fix_send_far_thickness_may")))
	}
}

var skuForm = regexp.MustCompile(`^[A-Za-z0-9._-]{1,64}$`)

func sku(s string, at wire.At, bad *fault.List) {
	if s != "" && !skuForm.MatchString(s) {
		bad.Add(at.Fault("bad_sku", note.New("found_not_a_sku"), note.New("fix_send_letters_digits_points", note.Str("most", "64"))))
	}
}

// pieces reads a list of shims.
func pieces(list []PieceRequest, u quantity.Unit, at wire.At, bad *fault.List) []shim.Piece {
	if !wire.Limit(len(list), MaxPieces, at, bad) {
		return nil
	}
	out := make([]shim.Piece, len(list))
	for i := range list {
		out[i] = list[i].piece(u, at.Index(i), bad)
	}
	return out
}

// stock reads what is on hand; a line that counts 0 is none.
func (r *reader) stock() []shim.Stock {
	at := wire.At("/on_hand")
	if !wire.Limit(len(r.req.OnHand), MaxLines, at, &r.bad) {
		return nil
	}
	var out []shim.Stock
	for i := range r.req.OnHand {
		o, at := &r.req.OnHand[i], at.Index(i)
		p := PieceRequest{o.Thickness, o.Tolerance, o.Measured, o.StandardU, o.Stamped, o.SKU, o.Worn, o.Shims}
		s := shim.Stock{Piece: p.piece(r.unit, at, &r.bad), Count: 1}
		r.named(o.Shims, at.Key("shims"))
		if o.Count.Present() {
			s.Count = o.Count.Whole(at.Key("count"), 0, MaxCount, &r.bad)
		}
		if s.Count > 0 {
			out = append(out, s)
		}
	}
	return out
}

// fitted reads what sits at the places now.
func (r *reader) fitted() []shim.Fitted {
	at := wire.At("/fitted")
	if !wire.Limit(len(r.req.Fitted), MaxPlaces, at, &r.bad) {
		return nil
	}
	out := make([]shim.Fitted, 0, len(r.req.Fitted))
	seen := map[[2]string]bool{}
	for i := range r.req.Fitted {
		f, at := &r.req.Fitted[i], at.Index(i)
		set := r.setFor(f.Shims, at)
		if set == nil {
			continue
		}
		if !hasPlace(set, f.Place) {
			r.bad.Add(at.Key("place").Fault("unknown_place", note.New("found_no_place", note.Str("set", string(set.Key)), note.Str("place", fault.Quote(f.Place))), note.New("fix_send_one_of", note.Str("list", placesOf(set)))))
			continue
		}
		if key := [2]string{string(set.Key), f.Place}; seen[key] {
			r.bad.Add(at.Key("place").Fault("place_twice", note.New("found_place_stands_twice", note.Str("place", strconv.Quote(f.Place))), note.New("fix_send_all_pieces_place")))
		} else {
			seen[key] = true
		}
		one := shim.Fitted{Set: set.Key, Place: f.Place, Known: f.Pieces != nil, Locked: f.Locked,
			Pieces: pieces(f.Pieces, r.unit, at.Key("pieces"), &r.bad), Fixed: pieces(f.Fixed, r.unit, at.Key("fixed"), &r.bad)}
		for n := range f.Pieces {
			r.named(f.Pieces[n].Shims, at.Key("pieces").Index(n).Key("shims"))
		}
		out = append(out, one)
	}
	return out
}

func hasPlace(s *spec.ShimSet, id string) bool {
	for _, p := range s.Places {
		if p.ID == id {
			return true
		}
	}
	return false
}

func placesOf(s *spec.ShimSet) string {
	ids := make([]string, len(s.Places))
	for i, p := range s.Places {
		ids[i] = p.ID
	}
	return strings.Join(ids, ", ")
}
