package judge

import (
	"errors"
	"slices"

	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// dimension judges readings at places.
func (c *Check) dimension(r *Result, l *limits) {
	places, because := c.places()
	if because != "" {
		c.undone(r, because, Measured)
		return
	}
	if c.trial != nil { // they could be judged, and still can
		c.tryPlaces(r, places, l)
		return
	}
	if i := c.implausible(places, l); i >= 0 {
		c.implausibleAt(r, places[i].Value, l)
		return
	}
	if c.otherState() {
		c.inOtherState(r, places)
		return
	}
	r.Basis, r.RuleUsed = Measured, c.Rule
	r.summarise(places)
	c.warnPlaces(r, places)
	if because := c.tooFew(len(places)); because != "" {
		r.Verdict, r.Because = NotJudged, because
		return
	}
	if beyond(places) {
		c.beyondGauge(r, places, l)
		return
	}
	shown := c.combine(places, c.Spec.CombineRule())
	c.value(r, &shown)
	sides, silent := c.sides(places, l, &shown)
	c.decide(r, l, &sides)
	c.possibleSlip(r, l, &sides)
	if silent && placeOut(places, l) {
		r.cap("one_place_out")
	}
}

// tryPlaces judges places that were judged before for their verdict alone.
func (c *Check) tryPlaces(r *Result, places []measure.Place, l *limits) {
	shown := c.combine(places, c.Spec.CombineRule())
	sides, silent := c.sides(places, l, &shown)
	c.decide(r, l, &sides)
	if silent && placeOut(places, l) {
		r.cap("one_place_out")
	}
}

// otherState reports whether the readings were taken in a state that is not the published one.
func (c *Check) otherState() bool {
	return c.Condition != "" && len(c.Spec.Conditions) > 0 && !slices.Contains(c.Spec.Conditions, c.Condition)
}

// inOtherState gives the value alone.
func (c *Check) inOtherState(r *Result, places []measure.Place) {
	c.undone(r, "condition", Measured)
	if !beyond(places) {
		r.Value, r.HasValue = c.combine(places, c.Spec.CombineRule()).value, true
	}
	r.warn("condition_differs", str("condition", c.Condition), str("published", c.Spec.Conditions[0]))
}

// places reads every place; because is the reason for which one of them cannot be read.
func (c *Check) places() (places []measure.Place, because string) {
	if c.trial != nil {
		return c.trial.places, ""
	}
	places = make([]measure.Place, len(c.Readings))
	for i := range places {
		p, err := measure.PlaceOf(&c.Readings[i], c.Unit, c.Spec.Unit, &c.Instrument)
		if err != nil {
			return nil, whyUnread(err)
		}
		p.Correct(&c.Instrument.Correction)
		p.Shift(c.Shift)
		places[i] = p
	}
	return places, ""
}

func whyUnread(err error) string {
	if errors.Is(err, measure.ErrContradiction) {
		return "blades_contradict"
	}
	return "mixed_units"
}

// sides is what is held against the lower and the upper limit, where shown is the value by combine; silent says that a
// side with a limit is held to the mean because the spec says nothing else.
func (c *Check) sides(places []measure.Place, l *limits, shown *held) (sides [2]held, silent bool) {
	own := c.Spec.CombineRule()
	for side := range sides {
		rule, quiet := c.against(l, side)
		if rule == own {
			sides[side] = *shown
		} else {
			sides[side] = c.combine(places, rule)
		}
		silent = silent || quiet && l.has[side]
	}
	return sides, silent
}

// tooFew is the reason for which so few places cannot be judged at all.
func (c *Check) tooFew(n int) string {
	if n < 2 && (c.Spec.CombineRule() == spec.Spread || c.Spec.Form) {
		return "few_places"
	}
	return ""
}

// summarise fills in how many places there were and how they differ, where each has a value.
func (r *Result) summarise(places []measure.Place) {
	if beyond(places) {
		return
	}
	lo, hi := places[0].Value, places[0].Value
	for i := range places {
		x := places[i].Value
		if x.Less(lo) {
			lo = x
		}
		if hi.Less(x) {
			hi = x
		}
	}
	r.Places, r.HasPlaces = Places{len(places), lo, hi, hi.Sub(lo)}, true
}

func (c *Check) warnPlaces(r *Result, places []measure.Place) {
	s := c.Spec
	if n := s.Points.Minimum; len(places) < n {
		r.warn("few_places", note.Count("places", len(places)), note.Count("minimum", n))
	}
	for i := range places {
		if p := &places[i]; p.FewRepeats() {
			r.warn("few_repeats", note.Count("repeats", p.Count), note.Count("needed", measure.EnoughRepeats))
			break
		}
	}
	c.warnSpread(r)
}

func (c *Check) warnSpread(r *Result) {
	s := c.Spec
	if !r.HasPlaces || s.CombineRule() == spec.Spread {
		return
	}
	most := s.Points.MaxSpread.Exact()
	if !s.Points.HasMaxSpread {
		if !s.Band.TwoSided() {
			return
		}
		most = s.Band.Upper.Exact().Sub(s.Band.Lower.Exact()).DivInt(3)
	}
	if most.Less(r.Places.Spread) {
		r.warn("uneven_places", c.eye("spread", r.Places.Spread, most), c.eye("allowed", most, r.Places.Spread))
	}
}

// eye is a value as an eye reads it, with the digits of the spec, and more only where rounding would reach or cross one
// of the limits.
func (c *Check) eye(name string, x quantity.Exact, limits ...quantity.Exact) note.Param {
	return note.Qty(name, x.Shown(c.Spec.Decimals, limits...), c.Spec.Unit)
}

// show is a value as a parameter, with the digits of the spec and two more.
func (c *Check) show(name string, x quantity.Exact) note.Param {
	return note.Qty(name, x.Print(c.Spec.Decimals, 2), c.Spec.Unit)
}

func (r *Result) warn(code string, params ...note.Param) {
	r.Warnings = append(r.Warnings, note.New(code, params...))
}

func (r *Result) next(code string, params ...note.Param) {
	r.Next = append(r.Next, note.New(code, params...))
}

// value fills in what is shown of the value by combine.
func (c *Check) value(r *Result, h *held) {
	r.Value, r.HasValue = h.value, h.hasValue
	r.setInterval(&h.from, &h.to)
	if h.budget.Known() {
		r.Standard, r.HasStandard, r.Source = h.budget.Standard(), true, h.budget.Source
	} else {
		r.Source = measure.Unknown
	}
	if s := c.Spec; s.HasTarget && h.hasValue {
		r.Target = Limit{s.Target.Exact(), true}
		r.Deviation = Limit{h.value.Sub(r.Target.At), true}
	}
}

func (r *Result) setInterval(from, to *measure.End) {
	if from.Has {
		r.Lower, r.HasLower = from.At.Round(grid, quantity.HalfEven)
		r.LowerOpen = from.Open
	}
	if to.Has {
		r.Upper, r.HasUpper = to.At.Round(grid, quantity.HalfEven)
		r.UpperOpen = to.Open
	}
}

// placeOut reports whether the value of a place lies outside the limits of the stage.
func placeOut(places []measure.Place, l *limits) bool {
	for i := range places {
		if p := &places[i]; p.HasValue && l.outside(p.Value) != 0 {
			return true
		}
	}
	return false
}
