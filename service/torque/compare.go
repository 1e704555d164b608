package torque

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// compare holds the tool's error against the band: the ratio of half the band to the error at the aim, and the limits
// between which a reading of this tool proves the band (ISO 14253-1).
func (q question) compare(s *Setting) {
	b := q.w.Band
	if !q.tool.Rated || !b.TwoSided() || q.tool.Accuracy.Sign() == 0 {
		return
	}
	fault := q.w.Aim.Add(q.use.Running).Mul(q.tool.Accuracy).DivInt(100)
	if fault.Sign() <= 0 {
		return
	}
	s.Ratio, s.HasRatio = b.Upper.Exact().Sub(b.Lower.Exact()).DivInt(2).Quo(fault), true
	lower := b.Lower.Exact().Add(q.use.Running).Quo(q.share(-1)).Sub(q.use.Running)
	upper := b.Upper.Exact().Add(q.use.Running).Quo(q.share(+1)).Sub(q.use.Running)
	s.Guard = inward(lower, upper, q.w.Decimals)
}

// guardLoss is the most that rounding may take of a guard band: a tenth.
const guardLoss = 10

// inward rounds an interval inward with the fewest digits from decimals on that cost no more than a tenth of it. It is
// empty where the interval is.
func inward(lower, upper quantity.Exact, decimals int) quantity.Range {
	width := upper.Sub(lower)
	if width.Sign() < 0 {
		return quantity.Range{}
	}
	for places := decimals; places <= decimals+4 && places <= finest; places++ {
		lo, ok1 := lower.Round(places, quantity.Up)
		hi, ok2 := upper.Round(places, quantity.Down)
		if !ok1 || !ok2 || hi.Cmp(lo) < 0 {
			continue
		}
		cost := width.Sub(hi.Exact().Sub(lo.Exact()))
		if cost.MulInt(guardLoss).Cmp(width) <= 0 {
			return quantity.Between(lo, hi)
		}
	}
	return quantity.Range{}
}

func (q question) warn(s *Setting) {
	add := func(code string, params ...note.Param) { s.Warnings = append(s.Warnings, note.New(code, params...)) }
	asked, beyond := s.Set, false
	if q.w.Band.Empty() && !s.InBand { // the range may be why
		if d := s.Exact.Print(q.w.Decimals, 2); !q.tool.Reaches(d) {
			asked, beyond = d, true
		}
	}
	s.Warnings = q.tool.Misused(asked, q.w.LeftHand)
	switch {
	case s.InBand, beyond:
	case q.w.Band.Empty():
		add("wanted_not_reached", note.Qty("wanted", q.w.Aim.Print(q.w.Decimals, 2), q.w.Unit), note.Qty("gives", s.Gives.Shown(max(q.w.Decimals, min(s.Set.Places(), 2)), q.w.Aim), q.w.Unit))
	default:
		add("no_setting_in_band", note.Qty("lower", s.Lower.Print(q.w.Decimals, 2), q.w.Unit), note.Qty("upper", s.Upper.Print(q.w.Decimals, 2), q.w.Unit))
	}
	if q.tool.Rated && q.tool.Assumed {
		add("accuracy_assumed", note.Qty("percent", q.tool.Accuracy.Print(0, 6), "%"))
	}
	if q.tool.Named && !q.tool.Rated {
		add("accuracy_unknown")
	}
}

// Choose answers Set for each of several wrenches and names the best: one that is good enough before one that is not,
// then the larger ratio, then the first. best is -1 where none can be used at all.
func Choose(w Wanted, tools []Wrench, use Use) (list []Setting, best int) {
	list, best = make([]Setting, len(tools)), -1
	for i, tool := range tools {
		s, ok := Set(w, tool, use)
		if !ok {
			continue
		}
		list[i] = s
		if best < 0 || better(s, list[best]) {
			best = i
		}
	}
	return list, best
}

func better(a, b Setting) bool {
	if a.Good != b.Good {
		return a.Good
	}
	if a.InBand != b.InBand {
		return a.InBand
	}
	return a.HasRatio && b.HasRatio && b.Ratio.Less(a.Ratio)
}

// Against are the warnings for which a setting is not good enough: the wrench does not go so far, turns the other way,
// may leave the band, or does not give what is wanted.
func (s Setting) Against() []note.Note {
	var list []note.Note
	for _, n := range s.Warnings {
		switch n.Code {
		case "above_range", "below_range", "wrong_direction", "no_setting_in_band", "wanted_not_reached":
			list = append(list, n)
		}
	}
	return list
}

// Why says in one word of each kind what speaks for or against a wrench.
func (s Setting) Why() []note.Note {
	var list []note.Note
	code := "not_good_enough"
	if s.Good {
		code = "good_enough"
	}
	if s.HasRatio {
		list = append(list, note.New(code+"_ratio", note.Str("ratio", s.Ratio.Print(1, 1).String())))
	} else {
		list = append(list, note.New(code))
	}
	return append(list, s.Warnings...)
}
