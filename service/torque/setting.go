package torque

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// Use is how a wrench is put to a fastener.
type Use struct {
	Extension  Extension
	Running    quantity.Exact // running torque in the unit of Wanted, added before the extension
	HasRunning bool
}

// Uses is how a wrench is put to a fastener whose running torque somebody measured: without adds nothing for it, with
// adds it. Where the source says that it comes on top, both add it, and where it is included, neither does. silent: the
// source does not say, and both settings have to be told.
func (w Wanted) Uses(e Extension, running quantity.Exact) (without, with Use, silent bool) {
	without, with = Use{Extension: e}, Use{Extension: e, Running: running, HasRunning: true}
	switch w.Prevailing {
	case Extra:
		return with, with, false
	case Included:
		return without, without, false
	}
	return without, with, true
}

// Setting is what to set and what that gives. Exact and Set are in the unit of the wrench, everything else in the unit
// of Wanted.
type Setting struct {
	Unit     quantity.Unit    // of Exact and Set
	Exact    quantity.Exact   // the setting that would give the aim
	Set      quantity.Decimal // the nearest that the wrench has and whose result lies in the band; without one, gives the aim
	Total    quantity.Exact   // what Set turns with
	Gives    quantity.Exact   // what of it reaches the joint: Total less the running torque
	Lower    quantity.Exact   // Gives with the tool's whole error, both ways
	Upper    quantity.Exact
	HasError bool           // Lower and Upper are known
	InBand   bool           // with its error the result lies in the band, ends included; without one, the aim lies in the result
	Ratio    quantity.Exact // half the band over the tool's error at the aim (its U, k = 2)
	HasRatio bool
	Guard    quantity.Range // readings of the joint between which the tool proves the band
	Good     bool           // good enough: in range, the right way round, and InBand
	Warnings []note.Note
}

// Most is the largest torque and setting that is computed, in any unit: more than any wrench has.
const Most = 1_000_000

// Set is the setting of a wrench. ok is false where L + E · cos a is not over 0 or the setting would be over Most, so
// that there is none.
// The nearest multiple of the step whose result with the tool's accuracy lies in the band is set, the lower of a tie;
// where there is none the nearest, with a warning. Without a band the aim itself has to lie within that accuracy; where
// it does with no setting, the nearest in the range of the wrench is set, with a warning.
func Set(w Wanted, tool Wrench, use Use) (s Setting, ok bool) {
	f, ok := Factor(tool.Lever, use.Extension)
	if !ok {
		return Setting{}, false
	}
	if tool.Unit == "" {
		tool.Unit = w.Unit
	}
	one, ok := quantity.In(quantity.NewDecimal(1, 0), w.Unit, tool.Unit)
	if !ok {
		return Setting{}, false
	}
	q := question{w, tool, use, f.Mul(one)}
	s.Unit = tool.Unit
	s.Exact = w.Aim.Add(use.Running).Mul(q.scale)
	if quantity.Int(Most).Less(s.Exact) {
		return Setting{}, false
	}
	q.choose(&s)
	q.result(&s)
	q.compare(&s)
	q.warn(&s)
	s.Good = s.InBand && tool.Reaches(s.Set) && !tool.WrongWay(w.LeftHand)
	return s, true
}

// question holds what is asked; scale is the setting in the unit of the wrench for one unit of torque.
type question struct {
	w     Wanted
	tool  Wrench
	use   Use
	scale quantity.Exact
}

// share is 1 ± the tool's limit of error.
func (q question) share(sign int64) quantity.Exact {
	return quantity.Int(1).Add(q.tool.Accuracy.DivInt(100).MulInt(sign))
}

// span is an interval of settings, each end optional.
type span struct {
	lower, upper       quantity.Exact
	hasLower, hasUpper bool
}

// holds are the settings whose result with the tool's error lies in the band; without a band, those with which the aim
// lies within the tool's error.
func (q question) holds() (s span) {
	if q.w.Band.Empty() {
		off := q.rounding()
		exact := q.w.Aim.Add(q.use.Running).Mul(q.scale)
		return span{lower: exact.Sub(off).Quo(q.share(+1)), upper: exact.Add(off).Quo(q.share(-1)), hasLower: true, hasUpper: true}
	}
	if q.w.Band.HasLower {
		s.lower, s.hasLower = q.w.Band.Lower.Exact().Add(q.use.Running).Quo(q.share(-1)).Mul(q.scale), true
	}
	if q.w.Band.HasUpper {
		s.upper, s.hasUpper = q.w.Band.Upper.Exact().Add(q.use.Running).Quo(q.share(+1)).Mul(q.scale), true
	}
	return s
}

// has reports whether a setting lies in s, ends included.
func (s span) has(x quantity.Exact) bool {
	return !(s.hasLower && x.Less(s.lower)) && !(s.hasUpper && s.upper.Less(x))
}

// within narrows s to the range of the wrench.
func (s span) within(r quantity.Range) span {
	if r.HasLower && (!s.hasLower || s.lower.Less(r.Lower.Exact())) {
		s.lower, s.hasLower = r.Lower.Exact(), true
	}
	if r.HasUpper && (!s.hasUpper || r.Upper.Exact().Less(s.upper)) {
		s.upper, s.hasUpper = r.Upper.Exact(), true
	}
	return s
}

// step is what settings are multiples of.
func (q question) step() quantity.Exact {
	if s := q.tool.Step.Exact(); s.Sign() > 0 {
		return s
	}
	return quantity.NewDecimal(1, finest).Exact()
}

// rounding is how far a setting may be off because of its steps alone: half of one, where the error of the tool is not
// known or there are no steps. A known error has to be enough by itself.
func (q question) rounding() quantity.Exact {
	if q.tool.Rated && q.tool.Step.Sign() > 0 {
		return quantity.Exact{}
	}
	return q.step().DivInt(2)
}

// finest is how many decimals a setting has where the wrench has no steps.
const finest = 6

// choose sets s.Set: first among the settings of the wrench that hold the band, then among those that hold it, then
// the nearest.
func (q question) choose(s *Setting) {
	step, holds := q.step(), q.holds()
	spans := []span{holds.within(q.tool.Range), holds, {}}
	if q.w.Band.Empty() {
		spans[1] = span{}.within(q.tool.Range)
	}
	for _, allowed := range spans {
		if n, ok := nearest(s.Exact.Quo(step), step, allowed); ok {
			x := step.Mul(quantity.Int(n))
			s.Set, _ = x.Round(max(q.tool.Step.Places(), 0), quantity.HalfEven)
			if q.tool.Step.Sign() <= 0 {
				d, _ := x.Round(finest, quantity.HalfEven)
				s.Set = d.Trimmed(0)
			}
			return
		}
	}
}

// nearest is the whole number nearest to x whose multiple of step lies in s, the lower of a tie and never under 1.
func nearest(x, step quantity.Exact, s span) (n int64, ok bool) {
	d, ok := x.Sub(quantity.Frac(1, 2)).Round(0, quantity.Up)
	if !ok {
		return 0, false
	}
	n = max(d.Coef(), 1)
	if s.hasUpper {
		most, ok := s.upper.Quo(step).Round(0, quantity.Down)
		if !ok {
			return 0, false
		}
		n = min(n, most.Coef())
	}
	if s.hasLower {
		least, ok := s.lower.Quo(step).Round(0, quantity.Up)
		if !ok {
			return 0, false
		}
		if n < least.Coef() {
			n = least.Coef()
			if s.hasUpper && s.upper.Less(step.MulInt(n)) {
				return 0, false
			}
		}
	}
	return n, n >= 1
}

// result is what the setting gives.
func (q question) result(s *Setting) {
	s.Total = s.Set.Exact().Quo(q.scale)
	s.Gives = s.Total.Sub(q.use.Running)
	s.Lower, s.Upper, s.HasError = s.Gives, s.Gives, q.tool.Rated
	if s.HasError {
		s.Lower = s.Total.Mul(q.share(-1)).Sub(q.use.Running)
		s.Upper = s.Total.Mul(q.share(+1)).Sub(q.use.Running)
	}
	b := q.w.Band
	if b.Empty() {
		s.InBand = q.holds().has(s.Set.Exact())
		return
	}
	s.InBand = !(b.HasLower && s.Lower.Less(b.Lower.Exact())) && !(b.HasUpper && b.Upper.Exact().Less(s.Upper))
}
