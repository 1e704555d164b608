package judging

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// shared are the members of a closure that both measurements use; they stand at the top.
var shared = []string{"spec", "caller_spec", "variant", "engine_number", "marks", "unit"}

// lifted moves a violation of a shared member from a measurement to the top, where the member stands.
func lifted(v fault.Violation, from string) fault.Violation {
	rest, found := strings.CutPrefix(v.At.Pointer, from+"/")
	if v.At.Pointer == from {
		v.At = fault.Place{Root: true}
		return v
	}
	if !found {
		return v
	}
	for _, name := range shared {
		if rest == name || strings.HasPrefix(rest, name+"/") {
			v.At.Pointer = "/" + rest
		}
	}
	return v
}

// change reads what was fitted, in the unit of the spec.
func (b *batch) change(req *ClosureRequest, s *spec.Spec, u quantity.Unit, bad *fault.List) judge.Change {
	pieces := len(req.Removed)+len(req.Fitted) > 0
	if pieces == req.Added.Present() {
		bad.Add(wire.At("/added").Fault("one_change", note.New("found_change_said_once"), note.New("fix_send_added_or_removed")))
		return judge.Change{}
	}
	ch := judge.Change{PerMM: b.perMM(req, s, bad)}
	if !pieces {
		d, _ := req.Added.In(u, "/added", bad)
		ch.Added, _ = quantity.In(d, u, s.Unit)
		su := uncertaintyOf(req.AddedU, "/added_standard_uncertainty", bad) * perUnit(u, s.Unit)
		ch.Variance = su * su
		return ch
	}
	if req.AddedU.Present() {
		bad.Add(wire.At("/added_standard_uncertainty").Fault("one_change", note.New("found_pieces_their_own_uncertainties"), note.New("fix_leave_out")))
	}
	for _, side := range [...]struct {
		key  string
		sign int64
		list []ClosurePieceRequest
	}{{"removed", -1, req.Removed}, {"fitted", 1, req.Fitted}} {
		at := wire.At("/" + side.key)
		if !wire.Limit(len(side.list), MaxPlaces, at, bad) {
			continue
		}
		for i := range side.list {
			x, variance := side.list[i].read(u, s.Unit, at.Index(i), bad)
			ch.Added = ch.Added.Add(x.MulInt(side.sign))
			ch.Variance += variance
		}
	}
	return ch
}

// read is the thickness of a piece with its variance: its own uncertainty, else ± its tolerance taken as even.
func (p *ClosurePieceRequest) read(u, to quantity.Unit, at wire.At, bad *fault.List) (quantity.Exact, float64) {
	d, ok := p.Thickness.In(u, at.Key("thickness"), bad)
	if ok && d.Sign() <= 0 {
		bad.Add(at.Key("thickness").Fault("not_positive", note.New("found_no_shim_thick", note.Str("thickness", d.String())), note.New("fix_send_thickness_over_0")))
	}
	if p.Tolerance.Present() && p.StandardU.Present() {
		bad.Add(at.Fault("several_uncertainties", note.New("found_piece_declared_one_figure"), note.New("fix_send_one_tolerance_standard")))
	}
	tol := uncertaintyOf(p.Tolerance, at.Key("tolerance"), bad) * perUnit(u, to)
	su := uncertaintyOf(p.StandardU, at.Key("standard_uncertainty"), bad) * perUnit(u, to)
	x, _ := quantity.In(d, u, to)
	if p.MeasuredThickness {
		tol = 0
	}
	return x, su*su + tol*tol/3
}

func uncertaintyOf(n wire.Number, at wire.At, bad *fault.List) float64 {
	if !n.Present() {
		return 0
	}
	d, ok := n.Decimal(at, 9, bad)
	if ok && d.Sign() < 0 {
		bad.Add(at.Fault("negative", note.New("found_uncertainty_never_negative"), note.New("fix_send_zero_or_more")))
	}
	return d.Float64()
}

func perUnit(from, to quantity.Unit) float64 {
	x, ok := quantity.In(quantity.NewDecimal(1, 0), from, to)
	if !ok {
		return 1
	}
	return x.Float64()
}

// perMM is the change of the spec per unit of thickness: as asked, else that of the shim set that adjusts it, else −1.
func (b *batch) perMM(req *ClosureRequest, s *spec.Spec, bad *fault.List) quantity.Exact {
	if req.Change.Present() {
		d, ok := req.Change.Decimal("/change", 9, bad)
		if ok && (d.Sign() == 0 || d.Cmp(quantity.NewDecimal(100, 0)) > 0 || d.Cmp(quantity.NewDecimal(-100, 0)) < 0) {
			bad.Add(wire.At("/change").Fault("out_of_range", note.New("found_no_change_per_unit", note.Str("value", d.String())), note.New("fix_send_minus_one")))
		}
		return d.Exact()
	}
	plain := quantity.Int(-1)
	entry, ok := b.rev.Shims(s.AdjustedBy)
	if !ok {
		return plain
	}
	var found []quantity.Decimal
	for _, p := range entry.Base.Places {
		for _, e := range p.PerMM {
			if e.Spec == s.Key && (req.Place == "" || req.Place == p.ID) {
				found = append(found, e.Change)
			}
		}
	}
	if len(found) == 0 && req.Place != "" {
		bad.Add(wire.At("/place").Fault("unknown_place", note.New("found_no_place_shims_changes", note.Str("place", rim.Quote(req.Place))), note.New("fix_get_shim_set", note.Str("key", string(s.AdjustedBy)))))
		return plain
	}
	for _, d := range found {
		if d.Cmp(found[0]) != 0 {
			bad.Add(wire.At("/place").Fault("missing_place", note.New("found_places_shims_change_spec"), note.New("fix_name_place_or_send")))
			return plain
		}
	}
	if len(found) == 0 {
		return plain
	}
	return found[0].Exact()
}

// fromClosing is a closing as answers show it.
func (v *voice) fromClosing(k judge.Closing, ch judge.Change, s *spec.Spec) ClosureAnswer {
	d := s.Decimals
	exact := func(x quantity.Exact, has bool) wire.Decimal { return wire.DecIf(x.Print(d, 2), has) }
	a := ClosureAnswer{Outcome: string(k.Outcome), UndecidedBecause: k.Because, Explained: k.Outcome == judge.Explained, Unit: string(s.Unit),
		Before: exact(k.Before, k.HasResidual), After: exact(k.Then, k.HasResidual), Expected: exact(k.Expected, k.HasResidual),
		Residual: exact(k.Residual, k.HasResidual), Added: exact(ch.Added, true), Change: wire.Dec(ch.PerMM.Print(0, 9)),
		Suspects: v.notes(k.Suspects), Next: v.notes(k.Next)}
	if k.HasStandard {
		a.StandardU, a.ExpandedU = wire.Dec(quantity.FromFloat(k.Standard).Print(d, 4)), wire.Dec(quantity.FromFloat(k.Expanded).Print(d, 4))
	}
	switch {
	case k.HasResidual && k.HasStandard:
		bound := quantity.FromFloat(k.Expanded)
		a.Text = v.say("closure_"+a.Outcome, note.Qty("residual", k.Residual.Shown(d, bound, bound.Neg()), s.Unit),
			note.Str("bound", "± "+text.Value(bound.Shown(d, k.Residual.Abs()).String(), s.Unit)))
	case k.Outcome == judge.Explained:
		a.Text = v.say("closure_exact")
	default:
		a.Text = v.say("verdict_not_judged", note.Str("reason", v.word("because_"+k.Because)))
	}
	return a
}
