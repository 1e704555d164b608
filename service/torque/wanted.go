package torque

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Words of a fastener about its running torque.
const (
	Included = "included"
	Extra    = "extra"
	Unstated = "unstated"
)

// Wanted is the torque that a fastener shall get, in Unit.
type Wanted struct {
	Aim        quantity.Exact
	Band       quantity.Range // empty: nothing was published and no policy stands in for it
	Policy     quantity.Decimal
	HasPolicy  bool // the band is policy, not published
	Unit       quantity.Unit
	Decimals   int
	LeftHand   bool
	Prevailing string // Included, Extra, Unstated; empty: not said
	Castle     bool   // the aim is the lower limit and the nut advances to the next slot
	Stage      int    // number of the stage, from 1; 0: no stages
	Angle      quantity.Decimal
	HasAngle   bool // turned further by Angle after the torque
	Pattern    string
}

// Reasons why there is no torque to set. They are results, not faults.
const (
	NotPublished = "not_published"
	OutOfScope   = "out_of_scope"
	NoTorque     = "not_a_torque"
	AngleAlone   = "angle_alone"
)

// Of is the torque that a spec asks for: the target, else the middle of the band, else the one limit there is; of a
// castle nut the lower figure; of stages the last one with a figure. reason is set where there is none.
func Of(s *spec.Spec) (w Wanted, reason string) {
	switch {
	case s.ValueForm == spec.OutOfScope:
		return w, OutOfScope
	case s.Kind != spec.Torque:
		return w, NoTorque
	case s.ValueForm == spec.NotPublished:
		return w, NotPublished
	}
	w = Wanted{Unit: s.Unit, Decimals: s.Decimals, Band: s.Band, LeftHand: s.LeftHand()}
	if s.Fastener != nil {
		w.Prevailing = s.Fastener.Prevailing
		w.Castle = s.Fastener.Slots > 0 && s.Band.HasLower
		w.Pattern = s.Fastener.Pattern
	}
	w.Angle, w.HasAngle = s.TurnAngle, s.HasTurnAngle
	if w.Band.Empty() {
		if band, ok := s.PolicyBand(); ok {
			w.Band, w.Policy, w.HasPolicy = band, s.PolicyPercent, true
		}
	}
	switch {
	case w.Castle:
		w.Aim = s.Band.Lower.Exact()
	case s.HasTarget:
		w.Aim = s.Target.Exact()
	case s.Band.TwoSided():
		w.Aim = s.Band.Lower.Exact().Add(s.Band.Upper.Exact()).DivInt(2)
	case s.Band.HasLower:
		w.Aim = s.Band.Lower.Exact()
	case s.Band.HasUpper:
		w.Aim = s.Band.Upper.Exact()
	default:
		return lastStage(w, s)
	}
	return w, ""
}

func lastStage(w Wanted, s *spec.Spec) (Wanted, string) {
	stages := Stages(s)
	if len(stages) == 0 {
		if w.HasAngle {
			return w, AngleAlone
		}
		return w, NotPublished
	}
	return stages[len(stages)-1], ""
}

// Stages are the steps of a staged tightening that have a figure, in their order. The band belongs to the last figure
// alone; a policy stands in for one at every stage.
func Stages(s *spec.Spec) []Wanted {
	var list []Wanted
	for i, st := range s.Stages {
		if !st.HasValue {
			if n := len(list); n > 0 && st.HasAngle {
				list[n-1].Angle, list[n-1].HasAngle = st.Angle, true
			}
			continue
		}
		w := Wanted{Aim: st.Value.Exact(), Unit: s.Unit, Decimals: s.Decimals, LeftHand: s.LeftHand(), Stage: i + 1,
			Pattern: st.Pattern, Angle: st.Angle, HasAngle: st.HasAngle}
		if s.Fastener != nil {
			w.Prevailing = s.Fastener.Prevailing
			if w.Pattern == "" {
				w.Pattern = s.Fastener.Pattern
			}
		}
		single := spec.Spec{Target: st.Value, HasTarget: true, PolicyPercent: s.PolicyPercent, HasPolicy: s.HasPolicy, Decimals: s.Decimals}
		if band, ok := single.PolicyBand(); ok {
			w.Band, w.Policy, w.HasPolicy = band, s.PolicyPercent, true
		}
		list = append(list, w)
	}
	if n := len(list); n > 0 && !s.Band.Empty() {
		last := &list[n-1]
		last.Band, last.HasPolicy, last.Policy = s.Band, false, quantity.Decimal{}
	}
	return list
}

// Doubts are what is not known about a figure: that its tolerance is policy or missing, and that nobody says whether the
// running torque of its nut is included. running says that somebody measured one.
func (w Wanted) Doubts(running bool) []note.Note {
	var list []note.Note
	switch {
	case w.HasPolicy:
		list = append(list, note.New("tolerance_is_policy", note.Qty("percent", w.Policy, "%")))
	case w.Band.Empty():
		list = append(list, note.New("tolerance_unknown"))
	}
	switch {
	case w.Prevailing == Unstated || w.Prevailing == "" && running:
		list = append(list, note.New("prevailing_unstated"))
	case w.Prevailing == Included && running:
		list = append(list, note.New("running_not_added"))
	}
	return list
}

// Advice is what has to be known about the fastener before and while it is turned, beside its number.
func Advice(s *spec.Spec) []note.Note {
	var list []note.Note
	add := func(when bool, n note.Note) {
		if when {
			list = append(list, n)
		}
	}
	f := s.Fastener
	if f == nil {
		f = &spec.Fastener{}
	}
	add(len(s.Stages) > 1, note.New("in_stages", note.Count("stages", len(s.Stages))))
	add(s.HasTurnAngle, note.New("turn_further", note.Qty("angle", s.TurnAngle, quantity.Degree)))
	add(f.Prevailing == Extra, note.New("running_extra"))
	add(f.Slots > 0, note.New("castle_lower_then_advance"))
	add(f.Taper, note.New("taper_clean_and_dry"))
	add(f.Condition == "thread_lock", note.New("thread_lock_once"))
	add(f.Reuse == "one_time", note.New("new_fastener"))
	add(f.Access == "no_wrench", note.New("no_access"))
	add(f.Retorque == "never", note.New("never_retorque"))
	add(f.Into == "light_alloy", note.New("soft_means_stop"))
	return list
}
