package wire

import (
	"slices"

	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func (c *CallerSpecRequest) torque(s *spec.Spec, at At, bad *fault.List) {
	s.PolicyPercent, s.HasPolicy = optional(c.Policy.Percent, at.Key("policy").Key("percent"), 9, bad)
	if s.PolicyPercent.Sign() < 0 || s.PolicyPercent.Cmp(quantity.NewDecimal(100, 0)) > 0 {
		bad.Add(at.Key("policy").Key("percent").Fault("out_of_range", note.New("found_a_tolerance_is_from", note.Str("least", "0"), note.Str("most", "100")), note.New("fix_send_percent_figure", note.Str("example", "10"))))
	}
	s.TurnAngle, s.HasTurnAngle = optional(c.Angle, at.Key("angle"), quantity.Degree.MaxPlaces(), bad)
	s.AngleTolerance, s.HasAngleTolerance = optional(c.AngleTolerance, at.Key("angle_tolerance"), quantity.Degree.MaxPlaces(), bad)
	for i, st := range c.Stages {
		at := at.Key("stages").Index(i)
		v, hasV := optional(st.Value, at.Key("value"), s.Unit.MaxPlaces(), bad)
		a, hasA := optional(st.Angle, at.Key("angle"), quantity.Degree.MaxPlaces(), bad)
		s.Stages = append(s.Stages, spec.Stage{Value: v, HasValue: hasV, Angle: a, HasAngle: hasA, Pattern: st.Pattern})
	}
	f := c.Fastener
	if f.Hand == "" && slices.Contains(c.Cautions, catalogue.LeftHandThread) { // then it is said before the value, too
		f.Hand = string(spec.Left)
	}
	if f != (CallerFastener{}) {
		s.Fastener = f.toFastener(at.Key("fastener"), s.Unit, bad)
	}
}

func (f CallerFastener) toFastener(at At, u quantity.Unit, bad *fault.List) *spec.Fastener {
	hand, _ := Word(spec.Hand(f.Hand), at.Key("hand"), bad, spec.Right, spec.Left)
	prevailing, _ := Word(f.Prevailing, at.Key("prevailing"), bad, "included", "extra", "unstated")
	running, hasRunning := optional(f.Running, at.Key("running_torque"), u.MaxPlaces(), bad)
	return &spec.Fastener{Thread: f.Thread, Hand: hand, PropertyClass: f.PropertyClass, Head: f.Head, Into: f.Into,
		Condition: f.Condition, Count: f.Count.Whole(at.Key("count"), 0, 1000, bad), Access: f.Access, Reuse: f.Reuse,
		Retorque: f.Retorque, Prevailing: prevailing, Running: running, HasRunning: hasRunning, Locking: f.Locking,
		Pattern: f.Pattern, Taper: f.Taper, Slots: f.Slots.Whole(at.Key("slots"), 0, 24, bad)}
}

// consistent holds the limits of a spec against each other.
func (c *CallerSpecRequest) consistent(s *spec.Spec, at At, bad *fault.List) {
	silent := s.ValueForm == spec.NotPublished || s.ValueForm == spec.OutOfScope
	if silent {
		return
	}
	if s.Kind == spec.Category {
		if len(s.Allowed) == 0 {
			bad.Add(at.Key("allowed").Fault("no_limit", note.New("found_category_spec_lists_allowed"), note.New("fix_send_allowed_least")))
		}
		return
	}
	if !s.Limited() && !s.HasTarget && !s.HasTurnAngle {
		bad.Add(at.Fault("no_limit", note.New("found_nothing_hold_reading"), note.New("fix_send_band_wear_limit")))
	}
	b, w := s.Band, s.WearLimit
	if s.HasTarget && (b.HasLower && s.Target.Cmp(b.Lower) < 0 || b.HasUpper && s.Target.Cmp(b.Upper) > 0) {
		bad.Add(at.Key("target").Fault("target_outside_band", note.New("found_target_lies_outside_band", note.Str("target", s.Target.String())), note.New("fix_aim_inside_band_limits")))
	}
	if b.HasUpper && w.HasUpper && w.Upper.Cmp(b.Upper) < 0 {
		bad.Add(at.Key("wear_limit").Key("upper").Fault("wear_limit_inside_band", note.New("found_wear_limit_tighter_band"), note.New("fix_part_wears_band_towards")))
	}
	if b.HasLower && w.HasLower && w.Lower.Cmp(b.Lower) > 0 {
		bad.Add(at.Key("wear_limit").Key("lower").Fault("wear_limit_inside_band", note.New("found_wear_limit_tighter_band"), note.New("fix_part_wears_band_towards")))
	}
}
