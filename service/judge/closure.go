package judge

import (
	"math"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Change is what was fitted between two measurements of one value: Added is the thickness that was added, negative
// where it was taken away, with the variance of the pieces, and PerMM the change of the value per unit of thickness.
type Change struct {
	Added    quantity.Exact
	Variance float64
	PerMM    quantity.Exact
}

// Outcome says whether before, change and after add up.
type Outcome string

// The outcomes.
const (
	Explained   Outcome = "explained"
	Unexplained Outcome = "unexplained"
	Open        Outcome = "not_judged"
)

// Closing is the answer to whether a change adds up. Suspects are listed the likelier first.
type Closing struct {
	Outcome      Outcome
	Because      string
	Expected     quantity.Exact
	Residual     quantity.Exact
	HasResidual  bool
	Standard     float64
	Expanded     float64
	HasStandard  bool
	Suspects     []note.Note
	Next         []note.Note
	Before, Then quantity.Exact
}

// Close compares what was measured after a change with what the one before and the change let expect: the residual is
// after − (before + change · added), and it is explained where it is within 2u (JCGM 100, 5.1.2 and 6.2). Both
// measurements count as independent even with one instrument, since most of what it may be wrong by differs from one
// set-up to the next. Lengths are exact and in the unit of the spec.
func Close(before, after Result, ch Change) Closing {
	k := Closing{Outcome: Open, Before: before.Value, Then: after.Value}
	for _, r := range [...]*Result{&before, &after} {
		if !r.HasValue || r.Basis == Implausible {
			k.Because, k.Next = r.Because, r.Next
			if len(k.Next) == 0 {
				k.Next = []note.Note{note.New("measure_it")}
			}
			return k
		}
	}
	k.Expected = before.Value.Add(ch.PerMM.Mul(ch.Added))
	k.Residual, k.HasResidual = after.Value.Sub(k.Expected), true
	if !before.HasStandard || !after.HasStandard {
		if k.Residual.Sign() == 0 {
			k.Outcome = Explained
			return k
		}
		k.Because = "no_uncertainty"
		k.Next = append(k.Next, note.New("name_the_instrument"))
		return k
	}
	change := ch.PerMM.Float64()
	k.Standard = math.Sqrt(before.Standard*before.Standard + after.Standard*after.Standard + change*change*ch.Variance)
	k.Expanded, k.HasStandard = 2*k.Standard, true
	if within(k.Residual, k.Expanded) {
		k.Outcome = Explained
		return k
	}
	k.Outcome = Unexplained
	k.suspect(ch)
	k.Next = append(k.Next, note.New("clean_and_measure_again"))
	return k
}

// Steps tells how a closing came about, in the unit of the spec.
func (k *Closing) Steps(s *spec.Spec, ch Change) []note.Note {
	show := func(name string, x quantity.Exact) note.Param { return note.Qty(name, x.Print(s.Decimals, 2), s.Unit) }
	if !k.HasResidual {
		return nil
	}
	list := []note.Note{
		note.New("trace_before", show("value", k.Before)),
		note.New("trace_added", show("added", ch.Added), str("change", ch.PerMM.Print(0, 9).String())),
		note.New("trace_expected", show("value", k.Expected)),
		note.New("trace_after", show("value", k.Then), show("residual", k.Residual)),
	}
	if k.HasStandard {
		u := quantity.FromFloat(k.Standard).Print(s.Decimals, 4)
		list = append(list, note.New("trace_residual", note.Qty("standard_uncertainty", u, s.Unit), note.Qty("bound", quantity.FromFloat(k.Expanded).Print(s.Decimals, 4), s.Unit)))
	}
	return list
}

// within compares at 1e-9 of the unit, as interval ends are compared.
func within(x quantity.Exact, bound float64) bool {
	a, ok1 := x.Abs().Round(grid, quantity.HalfEven)
	b, ok2 := estimate(bound).Round(grid, quantity.HalfEven)
	return ok1 && ok2 && a.Cmp(b) <= 0
}

// suspect lists what would make a residual of this side and size. A residual as large as the whole change says that
// nothing was changed, one of twice that size that it went the other way round.
func (k *Closing) suspect(ch Change) {
	add := func(code string) { k.Suspects = append(k.Suspects, note.New(code)) }
	moved := ch.PerMM.Mul(ch.Added)
	if moved.Sign() != 0 {
		if within(k.Residual.Add(moved), k.Expanded) {
			add("suspect_not_changed")
		}
		if within(k.Residual.Add(moved.MulInt(2)), k.Expanded) {
			add("suspect_other_way_round")
		}
	}
	if k.Residual.Sign()*ch.PerMM.Sign() > 0 {
		add("suspect_dirt_under_shim")
		add("suspect_shim_thicker")
		add("suspect_circlip_unseated")
		return
	}
	add("suspect_shim_thinner")
	add("suspect_circlip_unseated")
	add("suspect_dirt_before")
}
