package sheet

import (
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// closes holds before, shim change and after against each other, where a line that shims adjust was read at both stages.
// Without an uncertainty on both sides the bound is the spread that the spec lets pass between places, a third of its
// band unless it says otherwise.
func (b *bench) closes(r *Record) {
	s := r.Line.Spec()
	if s.AdjustedBy == "" || !r.Found.Has || !r.Built.Has || !r.Found.Result.HasValue || !r.Built.Result.HasValue {
		return
	}
	if r.HasBefore != r.HasAfter {
		b.about("shims_half_listed", r)
		return
	}
	change, known := b.change(r)
	if !known {
		b.about("shims_place_unknown", r)
		return
	}
	k := judge.Close(*r.Found.Result, *r.Built.Result, change)
	if !k.HasResidual || k.Outcome == judge.Explained || k.Outcome == judge.Open && k.Residual.Abs().Cmp(spread(s)) <= 0 {
		return
	}
	params := []note.Param{note.Qty("residual", k.Residual.Print(s.Decimals, 1), s.Unit), note.Qty("expected", k.Expected.Print(s.Decimals, 1), s.Unit),
		note.Qty("value", k.Then.Print(s.Decimals, 1), s.Unit)}
	code := "closure_open"
	if !r.HasBefore || change.Added.Sign() == 0 {
		code = "changed_without_shim"
		k.Suspects = nil
	}
	b.contradict(Contradiction{Note: note.New(code, params...), Lines: []*Record{r}, Keys: []spec.Key{s.Key}, Suspects: k.Suspects, Blocks: true})
}

// spread is how far places may differ before it is remarked on.
func spread(s *spec.Spec) quantity.Exact {
	switch {
	case s.Points.HasMaxSpread:
		return s.Points.MaxSpread.Exact()
	case s.Band.TwoSided():
		return s.Band.Upper.Exact().Sub(s.Band.Lower.Exact()).DivInt(3)
	}
	return quantity.Exact{}
}

// change is what the shims did to the value, written as a plain stack would have done it. known is false where a piece
// names no place and the places differ.
func (b *bench) change(r *Record) (ch judge.Change, known bool) {
	ch.PerMM = quantity.Int(-1)
	effects, plain, same := b.effects(r.Line.Spec())
	of := func(p Piece) (quantity.Exact, bool) {
		if e, ok := effects[p.Place]; ok {
			return e, true
		}
		return plain, same && p.Place == ""
	}
	after := append([]Piece(nil), r.After...)
before:
	for _, p := range r.Before {
		for i, o := range after {
			if p.same(o) {
				after = append(after[:i], after[i+1:]...)
				continue before
			}
		}
		if !add(&ch, p, of, 1) {
			return ch, false
		}
	}
	for _, p := range after {
		if !add(&ch, p, of, -1) {
			return ch, false
		}
	}
	return ch, true
}

// add takes a piece out or puts it in: what it changes is divided by that of a plain stack, −1 per unit of thickness.
func add(ch *judge.Change, p Piece, of func(Piece) (quantity.Exact, bool), sign int64) bool {
	e, ok := of(p)
	if !ok {
		return false
	}
	ch.Added = ch.Added.Add(p.Thickness.Mul(e).MulInt(sign))
	ch.Variance += p.Variance * e.Float64() * e.Float64()
	return true
}

// effects is the change of a spec per unit of thickness at each place of its shims; same says that all are alike, which
// plain then is.
func (b *bench) effects(s *spec.Spec) (by map[string]quantity.Exact, plain quantity.Exact, same bool) {
	plain, same = quantity.Int(-1), true
	entry, ok := b.rev.Shims(s.AdjustedBy)
	if !ok {
		return nil, plain, same
	}
	by = map[string]quantity.Exact{}
	for _, p := range entry.Base.Places {
		for _, e := range p.PerMM {
			if e.Spec != s.Key {
				continue
			}
			x := e.Change.Exact()
			same = same && (len(by) == 0 || plain.Equal(x))
			plain, by[p.ID] = x, x
		}
	}
	for _, p := range entry.Base.Places {
		if _, ok := by[p.ID]; !ok {
			by[p.ID] = quantity.Int(0)
		}
	}
	return by, plain, same
}
