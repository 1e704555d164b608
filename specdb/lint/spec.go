package lint

import (
	"slices"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

func (c *checker) spec(s *spec.Spec, x *catalogue.Component) {
	key := string(s.Key)
	if s.LeftHand() && !slices.Contains(s.Cautions, catalogue.LeftHandThread) {
		c.add(Error, key, "left_hand_without_caution", "the thread is left-hand and the cautions do not say so", "add left_hand_thread to cautions")
	}
	if !s.LeftHand() && slices.Contains(s.Cautions, catalogue.LeftHandThread) {
		c.add(Error, key, "caution_without_left_hand", "the cautions name a left-hand thread and the fastener has none", "add hand: left, or remove the caution")
	}
	if s.ValueForm == spec.Single && !s.HasPolicy {
		c.add(Warning, key, "single_without_policy", "a single torque has no tolerance to hold a reading to", "add policy_percent; it is shown as policy")
	}
	if src := s.Source; src != nil && src.ReviewBy != "" && src.ReviewBy < c.today {
		c.add(Warning, key, "overdue_review", "the review was due on "+src.ReviewBy, "hold the value against its source and write the new dates")
	}
	if src := s.Source; src != nil && src.Class == "shop_measured" && src.Engines == 0 {
		c.add(Warning, key, "engines_missing", "nobody knows on how many engines the value stands", "add engines to the source")
	}
	if b, w := s.Band, s.WearLimit; !b.Empty() && (w.HasUpper && !b.HasUpper || w.HasLower && !b.HasLower) {
		c.add(Warning, key, "wear_limit_without_band", "there is a wear limit on a side without a limit for new parts", "add that limit to the band, or move the wear limit")
	}
	if n := len(s.Stages); n > 0 && s.HasTarget && s.Stages[n-1].HasValue && s.Stages[n-1].Value.Cmp(s.Target) != 0 {
		c.add(Warning, key, "last_stage_off_target", "the last stage is "+s.Stages[n-1].Value.String()+", the target "+s.Target.String(), "make them the same, or leave the target out")
	}
	if s.Form && s.Points.Minimum == 1 {
		c.add(Warning, key, "form_of_one_place", "one place cannot show the form of a part", "raise points.minimum")
	}
	if s.AdjustedBy != "" && !adjusts(x, s) {
		c.add(Error, key, "unreachable_ladder", "no place of "+string(s.AdjustedBy)+" changes it", "add it to per_mm of the set, or remove adjusted_by")
	}
	c.torque(s, key)
}

// adjusts reports whether a place of the set that a spec names changes it.
func adjusts(x *catalogue.Component, s *spec.Spec) bool {
	for _, e := range x.Shims {
		if e.Base.Key != s.AdjustedBy {
			continue
		}
		for _, p := range e.Base.Places {
			for _, m := range p.PerMM {
				if m.Spec == s.Key {
					return true
				}
			}
		}
	}
	return false
}

// Shares of the generic estimate between which a published torque is not remarkable; common practice, no source.
const (
	lowShare  = 1.0 / 15
	highShare = 1.5
)

// torque holds a published torque to the estimate for its thread (VDI 2230 Part 1 at nine tenths of the yield, friction
// 0.14): a slip of a digit or of a unit shows.
func (c *checker) torque(s *spec.Spec, key string) {
	f := s.Fastener
	top, ok := highest(s)
	if s.Kind != spec.Torque || f == nil || !ok || f.Thread == "" {
		return
	}
	thread, err := torque.ThreadOf(f.Thread)
	if err != nil {
		c.add(Warning, key, "unknown_thread", "the thread "+f.Thread+" is in no table", "write it as M8x1.25 or 3/8-16, unless it is a special one")
		return
	}
	class, err := torque.ClassOf(strings.TrimSpace(f.PropertyClass), thread)
	if err != nil {
		return // a nut or a special class: nothing to hold it to
	}
	face, err := torque.FaceOf(thread, "")
	if err != nil {
		return
	}
	most := torque.Joint{Thread: thread, Class: class, Face: face, Friction: torque.Friction{Thread: 0.14, Head: 0.14}, Utilisation: 0.9}.Estimate().Torque
	if s.ValueForm != spec.TorqueAngle && (top > highShare*most || top < lowShare*most) {
		c.add(Warning, key, "unusual_torque", "the torque is far from what such a thread bears", "look for a slip of a digit or of the unit")
	}
}

// highest is the greatest torque of a spec in N·m.
func highest(s *spec.Spec) (float64, bool) {
	d, ok := s.Band.Upper, s.Band.HasUpper
	if !ok {
		d, ok = s.Target, s.HasTarget
	}
	x, has := quantity.In(d, s.Unit, quantity.NewtonMetre)
	return x.Float64(), ok && has
}
