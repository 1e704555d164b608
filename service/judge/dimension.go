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
func (c Check) dimension(l limits) Result {
	s := c.Spec
	places, because := c.places()
	if because != "" {
		return c.undone(because, Measured)
	}
	r := Result{Basis: Measured, RuleUsed: c.Rule}
	c.summarise(&r, places)
	if bad, ok := c.implausible(places, l); ok {
		return bad
	}
	c.warnPlaces(&r, places)
	if bad, ok := c.otherState(places); ok {
		return bad
	}
	if because := c.tooFew(len(places)); because != "" {
		r.Verdict, r.Because = NotJudged, because
		return r
	}
	if beyond(places) {
		return c.beyondGauge(r, places, l)
	}
	c.value(&r, c.combine(places, s.CombineRule()))
	sides, silent := c.sides(places, l)
	c.decide(&r, l, sides)
	c.possibleSlip(&r, l, sides)
	if silent && c.placeOut(places, l) {
		r.cap("one_place_out")
	}
	return r
}

// otherState is the result of readings taken in a state that is not the published one: then the value alone is given.
func (c Check) otherState(places []measure.Place) (Result, bool) {
	if c.Condition == "" || len(c.Spec.Conditions) == 0 || slices.Contains(c.Spec.Conditions, c.Condition) {
		return Result{}, false
	}
	bad := c.undone("condition", Measured)
	if !beyond(places) {
		bad.Value, bad.HasValue = c.combine(places, c.Spec.CombineRule()).value, true
	}
	bad.warn("condition_differs", str("condition", c.Condition), str("published", c.Spec.Conditions[0]))
	return bad, true
}

// places reads every place; because is the reason for which one of them cannot be read.
func (c Check) places() (places []measure.Place, because string) {
	places = make([]measure.Place, len(c.Readings))
	for i, rd := range c.Readings {
		p, err := measure.PlaceOf(rd, c.Unit, c.Spec.Unit, c.Instrument)
		if err != nil {
			return nil, whyUnread(err)
		}
		places[i] = p.Corrected(c.Instrument.Correction).Shifted(c.Shift)
	}
	return places, ""
}

func whyUnread(err error) string {
	if errors.Is(err, measure.ErrContradiction) {
		return "blades_contradict"
	}
	return "mixed_units"
}

// sides is what is held against the lower and the upper limit; silent says that a side with a limit is held to the mean
// because the spec says nothing else.
func (c Check) sides(places []measure.Place, l limits) (sides [2]held, silent bool) {
	for side := range sides {
		rule, quiet := c.against(l, side)
		sides[side] = c.combine(places, rule)
		silent = silent || quiet && l.has[side]
	}
	return sides, silent
}

// tooFew is the reason for which so few places cannot be judged at all.
func (c Check) tooFew(n int) string {
	if n < 2 && (c.Spec.CombineRule() == spec.Spread || c.Spec.Form) {
		return "few_places"
	}
	return ""
}

// summarise fills in how many places there were and how they differ, where each has a value.
func (c Check) summarise(r *Result, places []measure.Place) {
	for _, p := range places {
		if !p.HasValue {
			return
		}
	}
	lo, hi := places[0].Value, places[0].Value
	for _, p := range places[1:] {
		if p.Value.Less(lo) {
			lo = p.Value
		}
		if hi.Less(p.Value) {
			hi = p.Value
		}
	}
	r.Places, r.HasPlaces = Places{len(places), lo, hi, hi.Sub(lo)}, true
}

func (c Check) warnPlaces(r *Result, places []measure.Place) {
	s := c.Spec
	if n := s.Points.Minimum; len(places) < n {
		r.warn("few_places", note.Count("places", len(places)), note.Count("minimum", n))
	}
	for _, p := range places {
		if p.FewRepeats() {
			r.warn("few_repeats", note.Count("repeats", p.Count), note.Count("needed", measure.EnoughRepeats))
			break
		}
	}
	c.warnSpread(r)
}

func (c Check) warnSpread(r *Result) {
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
func (c Check) eye(name string, x quantity.Exact, limits ...quantity.Exact) note.Param {
	return note.Qty(name, x.Shown(c.Spec.Decimals, limits...), c.Spec.Unit)
}

// show is a value as a parameter, with the digits of the spec and two more.
func (c Check) show(name string, x quantity.Exact) note.Param {
	return note.Qty(name, x.Print(c.Spec.Decimals, 2), c.Spec.Unit)
}

func (r *Result) warn(code string, params ...note.Param) {
	r.Warnings = append(r.Warnings, note.New(code, params...))
}

func (r *Result) next(code string, params ...note.Param) {
	r.Next = append(r.Next, note.New(code, params...))
}

// value fills in what is shown of the value by combine.
func (c Check) value(r *Result, h held) {
	r.Value, r.HasValue = h.value, h.hasValue
	low, up := c.interval(h)
	r.setInterval(low, up)
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

func (r *Result) setInterval(low, up measure.End) {
	if low.Has {
		r.Lower, r.HasLower = low.At.Round(grid, quantity.HalfEven)
	}
	if up.Has {
		r.Upper, r.HasUpper = up.At.Round(grid, quantity.HalfEven)
	}
}

// placeOut reports whether the value of a place lies outside the limits of the stage.
func (c Check) placeOut(places []measure.Place, l limits) bool {
	for _, p := range places {
		if p.HasValue && l.outside(p.Value) != 0 {
			return true
		}
	}
	return false
}
