package shim

import (
	"slices"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// sensitivity says what one step of the ladder more does at every free place.
func (p *problem) sensitivity() []Sensitivity {
	var out []Sensitivity
	for i, pl := range p.places {
		if !pl.free() {
			continue
		}
		set := p.sets[pl.set]
		s := Sensitivity{PlaceRef: PlaceRef{set.shims.Key, pl.of.ID}, Step: stepOf(set.shims)}
		for j, g := range p.gauges {
			if pl.change[j].Sign() != 0 {
				s.Changes = append(s.Changes, Effect{g.spec, s.Step.Mul(pl.change[j]).Quo(g.perUnit)})
			}
		}
		if set.has && (i == set.first || i == set.second) {
			s.Offset, s.HasOffset, s.Towards = s.Step.DivInt(2), true, set.shims.Offset.Between[1]
			if i == set.second {
				s.Offset, s.Towards = s.Offset.Neg(), set.shims.Offset.Between[0]
			}
		}
		out = append(out, s)
	}
	return out
}

// stepOf is the least difference between two sizes of a ladder, in mm; 0.05 mm where there are not two.
func stepOf(s *spec.ShimSet) quantity.Exact {
	var sizes []quantity.Exact
	for _, r := range s.Ladder {
		sizes = append(sizes, millimetres(r.Thickness.Exact(), s.Unit))
	}
	slices.SortFunc(sizes, quantity.Exact.Cmp)
	step := quantity.Exact{}
	for i := 1; i < len(sizes); i++ {
		if d := sizes[i].Sub(sizes[i-1]); d.Sign() > 0 && (step.Sign() == 0 || d.Less(step)) {
			step = d
		}
	}
	if step.Sign() == 0 {
		return quantity.Frac(5, 100)
	}
	return step
}

// orderOf is what to buy for the option that is ranked first.
func orderOf(out *Plan) []OrderLine {
	if out.Outcome == Leave || len(out.ToOrder) == 0 {
		return nil
	}
	var lines []OrderLine
	for _, f := range out.ToOrder[0].Places {
		for _, ch := range f.Pieces {
			if ch.From != FromOrder {
				continue
			}
			at := slices.IndexFunc(lines, func(l OrderLine) bool {
				return l.Set == f.Set && l.SKU == ch.SKU && l.Thickness.Cmp(ch.Thickness) == 0
			})
			if at < 0 {
				lines = append(lines, OrderLine{f.Set, ch, 1})
				continue
			}
			lines[at].Count++
		}
	}
	return lines
}

// why gives the reasons for an option, the weightiest first.
func (p *problem) why(o *Option, t *tally) []note.Note {
	var out []note.Note
	for _, pr := range o.Predicted {
		out = append(out, p.whyValue(&pr))
	}
	if t.unsure {
		out = append(out, note.New("below_demand", note.Percent("probability", o.Least), note.Percent("demand", float64(p.demand.least)/1e12)))
	}
	if t.placeOut {
		out = append(out, note.New("place_out"))
	}
	if t.pastAim {
		out = append(out, note.New("past_aim"))
	}
	for _, f := range o.Offsets {
		if f.Value.Sign() == 0 {
			out = append(out, note.New("centred", note.Str("shims", string(f.Set))))
		} else {
			out = append(out, note.New("off_centre", p.offCentre(&f)...))
		}
	}
	if t.fresh == 0 {
		if !t.kept {
			out = append(out, note.New("buys_nothing"))
		}
	} else {
		out = append(out, note.New("buys", note.Count("pieces", t.fresh)))
	}
	for _, f := range o.Places {
		for _, ch := range f.Pieces {
			if ch.Worn {
				out = append(out, note.New("worn_piece", note.Str("shims", string(f.Set)), note.Str("place", f.Place), note.Qty("thickness", ch.Thickness, p.in.Unit)))
			}
		}
	}
	return out
}

// offCentre is how far a stack stands off the middle, and towards which of its places.
func (p *problem) offCentre(o *Offset) []note.Param {
	s := p.setWith(o.Set)
	towards := s.Offset.Between[0]
	if o.Value.Sign() > 0 {
		towards = s.Offset.Between[1]
	}
	return []note.Param{note.Str("shims", string(o.Set)), note.Qty("offset", LengthShown(o.Value.Abs(), s, p.in.Unit, offsetLimit(s)...), p.in.Unit), note.Str("place", towards)}
}

// limitShown is the limit of an offset in the unit of the request, as it is stated where it has that unit.
func (p *problem) limitShown(s *spec.ShimSet) quantity.Decimal {
	if s.Unit == p.in.Unit {
		return s.Offset.Limit
	}
	limit := offsetLimit(s)
	return LengthShown(limit[0], s, p.in.Unit, limit...)
}

// setWith is the set with that key.
func (p *problem) setWith(key spec.Key) *spec.ShimSet {
	for _, s := range p.sets {
		if s.shims.Key == key {
			return s.shims
		}
	}
	return &spec.ShimSet{}
}

// offsetLimit is the limit of the offset of a set in mm; none where it has none.
func offsetLimit(s *spec.ShimSet) []quantity.Exact {
	if !s.Offset.HasLimit {
		return nil
	}
	return []quantity.Exact{millimetres(s.Offset.Limit.Exact(), s.Unit)}
}

func (p *problem) whyValue(pr *Prediction) note.Note {
	d := pr.Spec.Decimals
	at := []note.Param{note.Str("spec", string(pr.Spec.Key)), note.Qty("value", pr.Value.Print(d, 2), pr.Spec.Unit)}
	switch pr.Deviation.Sign() {
	case 0:
		return note.New("on_aim", at...)
	case 1:
		return note.New("over_aim", append(at, note.Qty("by", pr.Deviation.Print(d, 2), pr.Spec.Unit))...)
	}
	return note.New("under_aim", append(at, note.Qty("by", pr.Deviation.Neg().Print(d, 2), pr.Spec.Unit))...)
}

// whyBroken names the limits that leaving everything would break, with what it would miss.
func (p *problem) whyBroken(o *Option, broken []string) []note.Note {
	out := p.whyRejected(o)
	if slices.Contains(broken, "piece_limits") {
		out = append(out, note.New("piece_limits"))
	}
	return out
}

// whyRejected says what a near option misses, and by how much.
func (p *problem) whyRejected(o *Option) []note.Note {
	var out []note.Note
	moved := slices.ContainsFunc(o.Predicted, func(pr Prediction) bool { return pr.Moved })
	for _, pr := range o.Predicted {
		if pr.Miss.Sign() == 0 || moved && !pr.Moved { // what other places do is not what speaks against it
			continue
		}
		code := "above"
		if low := pr.Spec.Band; low.HasLower && pr.Value.Sub(low.Lower.Exact()).Sign() < 0 || pr.Position == "below" {
			code = "below"
		}
		d := pr.Spec.Decimals
		out = append(out, note.New(code, note.Str("spec", string(pr.Spec.Key)), note.Qty("value", pr.Value.Print(d, 2), pr.Spec.Unit),
			note.Qty("by", pr.Miss.Print(d, 2), pr.Spec.Unit)))
	}
	for _, f := range o.Offsets {
		for _, s := range p.sets {
			if s.shims.Key == f.Set && s.limit2 >= 0 && f.Value.Abs().MulInt(2).Cmp(p.grid.thickOf(s.limit2)) > 0 {
				out = append(out, note.New("offset_limit", append(p.offCentre(&f), note.Qty("limit", p.limitShown(s.shims), p.in.Unit))...))
			}
		}
	}
	return out
}
