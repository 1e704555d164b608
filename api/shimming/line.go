package shimming

import (
	"slices"
	"strings"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// headline says first what to fit, and then what is not planned.
func (s *shower) headline(p *shim.Plan, a *PlanAnswer) string {
	line := s.verdict(p, a)
	if len(p.Refused) == 0 || p.Outcome == shim.Refused {
		return line
	}
	var names []string
	for _, r := range p.Refused {
		names = append(names, s.called(string(r.Spec)))
	}
	return line + " " + s.say("plan_not_planned", note.Str("specs", strings.Join(names, ", ")))
}

func (s *shower) verdict(p *shim.Plan, a *PlanAnswer) string {
	code := "plan_" + a.Outcome
	switch p.Outcome {
	case shim.Refused:
		code += "_" + p.Reason
	case shim.Leave:
		if !p.Needed {
			code += "_in_order"
		}
	case shim.Change, shim.NoneSure:
		if len(a.ToOrder) == 0 {
			code = "plan_none_sure_alone"
			break
		}
		first := a.ToOrder[0].Text
		if p.Outcome == shim.Change {
			return s.change(p, a, first)
		}
		return s.say(code, note.Str("first", first))
	case shim.NoneInBand:
		if !a.Thickness.IsZero() {
			return s.say("plan_none_in_band_total", note.Str("total", a.Thickness.Display))
		}
	}
	return s.say(code)
}

// change says what to fit, and what would do without buying anything where that is something else.
func (s *shower) change(p *shim.Plan, a *PlanAnswer, first string) string {
	var now string
	var sure bool
	switch {
	case p.Stay:
		now, sure = s.say("plan_stay"), a.NoChange.MeetsDemand
	case len(a.FitNow) > 0 && a.FitNow[0].Text != first:
		now, sure = a.FitNow[0].Text, a.FitNow[0].MeetsDemand
	default:
		return s.say("plan_change", note.Str("first", first))
	}
	code := "plan_change_or"
	if !sure {
		code = "plan_change_or_unsure"
	}
	return s.say(code, note.Str("first", first), note.Str("now", now))
}

// fewPlaces is how many places a line names even where they keep what they have.
const fewPlaces = 2

// line is an option in one line: what sits where, and what it gives. Of many places only those are named that change,
// with what they change.
func (s *shower) line(w *Option, o *shim.Option) string {
	brief := len(w.Places) > fewPlaces && slices.ContainsFunc(w.Places, func(p Place) bool { return p.Changed })
	var places, values []string
	for i := range w.Places {
		p := &w.Places[i]
		if brief && !p.Changed {
			continue
		}
		places = append(places, s.spot(p.Shims, p.Place)+" "+s.pieces(p))
	}
	moved := slices.ContainsFunc(o.Predicted, func(p shim.Prediction) bool { return p.Moved })
	for i := range w.Predicted {
		p := &w.Predicted[i]
		if (brief || len(w.Predicted) > fewPlaces) && moved && !o.Predicted[i].Moved {
			continue
		}
		if len(w.Predicted) > 1 {
			values = append(values, s.called(p.Spec)+" "+p.Display)
		} else {
			values = append(values, p.Display)
		}
	}
	return strings.Join(places, " | ") + " → " + strings.Join(values, ", ")
}

// pieces is what goes to a place, and from where what sits elsewhere now.
func (s *shower) pieces(p *Place) string {
	if len(p.Pieces) != 1 || p.Pieces[0].FromPlace == "" {
		return p.Display
	}
	return s.say("plan_from", note.Str("pieces", p.Display), note.Str("place", s.spot(p.Pieces[0].FromShims, p.Pieces[0].FromPlace)))
}

// limitsOf are the limits that a shown prediction must not seem to reach.
func limitsOf(z *spec.Spec) (list []quantity.Exact) {
	if z.Band.HasLower {
		list = append(list, z.Band.Lower.Exact())
	}
	if z.Band.HasUpper {
		list = append(list, z.Band.Upper.Exact())
	}
	return list
}
