package yamlfile

import (
	"slices"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// check holds the fields of one spec against each other.
func (r *reader) check(m mapping, s *spec.Spec) {
	switch s.Kind {
	case "": // a fault already
	case spec.Category:
		r.checkCategory(m, s)
	default:
		r.checkUnit(m, s)
	}
	b, w := s.Band, s.WearLimit
	if s.HasTarget && (b.HasLower && s.Target.Cmp(b.Lower) < 0 || b.HasUpper && s.Target.Cmp(b.Upper) > 0) {
		r.fault(m.near("target", "band"), "target_outside_band", "the target "+s.Target.String()+" lies outside the band", "aim inside the band; its limits belong to it")
	}
	if b.HasUpper && w.HasUpper && w.Upper.Cmp(b.Upper) < 0 || b.HasLower && w.HasLower && w.Lower.Cmp(b.Lower) > 0 {
		r.fault(m.near("wear_limit", "band"), "wear_limit_inside_band", "the wear limit is tighter than the band", "a part wears from the band towards its wear limit")
	}
	r.checkPlausible(m, s)
	if s.TargetPolicy != "" && !s.HasTarget {
		r.fault(m.near("target_policy"), "policy_without_target", "there is no target to keep a side of", "add target, or remove target_policy")
	}
	r.checkKind(m, s)
	r.checkForm(m, s)
}

func (r *reader) checkPlausible(m mapping, s *spec.Spec) {
	p := s.Plausible
	for _, l := range []struct {
		key string
		quantity.Range
	}{{"band", s.Band}, {"wear_limit", s.WearLimit}} {
		low := l.HasLower && (p.HasLower && l.Lower.Cmp(p.Lower) < 0 || p.HasUpper && l.Lower.Cmp(p.Upper) > 0)
		high := l.HasUpper && (p.HasUpper && l.Upper.Cmp(p.Upper) > 0 || p.HasLower && l.Upper.Cmp(p.Lower) < 0)
		if low || high {
			r.fault(m.near(l.key, "plausible"), "limit_not_plausible", "a limit lies outside what is called plausible", "widen plausible")
		}
	}
}

func (r *reader) checkCategory(m mapping, s *spec.Spec) {
	if len(s.Allowed) == 0 {
		r.fault(m.at, "no_limit", "a category lists what is allowed", "add allowed")
	}
	for _, word := range s.Allowed {
		if slices.Contains(s.Rejected, word) {
			r.fault(m.near("rejected", "allowed"), "allowed_and_rejected", word+" is allowed and rejected", "keep one of them")
		}
	}
}

// checkUnit holds the unit to what a kind measures.
func (r *reader) checkUnit(m mapping, s *spec.Spec) {
	want, what := quantity.Other, "a unit without conversion, such as N or kPa"
	switch s.Kind {
	case spec.Dimension:
		want, what = quantity.LengthKind, "mm, um, in or thou"
	case spec.Torque:
		want, what = quantity.TorqueKind, "N.m, lbf.ft, lbf.in, kgf.m or kgf.cm"
	case spec.Angle:
		want, what = quantity.AngleKind, "deg"
	}
	switch {
	case m.get("unit") == nil && s.Unit == "":
		r.fault(m.at, "missing_key", "unit is missing", "write "+what)
	case s.Unit != "" && s.Unit.Kind() != want:
		r.fault(m.near("unit", "kind"), "unit_of_wrong_kind", string(s.Unit)+" does not measure a "+string(s.Kind), "write "+what)
	}
}

// checkKind faults keys that say nothing about a spec of its kind.
func (r *reader) checkKind(m mapping, s *spec.Spec) {
	if s.Kind == "" {
		return
	}
	for i := range m.shape.Fields {
		if key := m.shape.Fields[i].Key; m.values[i] != nil && !says(key, s.Kind) {
			r.fault(m.values[i], "key_of_other_kind", key+" says nothing about a "+string(s.Kind), "remove it, or change kind")
		}
	}
	if s.Kind == spec.Torque && (s.Band.HasLower && s.Band.Lower.Sign() < 0 || s.HasTarget && s.Target.Sign() <= 0 || s.PolicyPercent.Sign() < 0) {
		r.fault(m.near("band", "target"), "negative", "a torque is never negative", "write figures over 0")
	}
}

// says reports whether a key says something about specs of a kind.
func says(key string, k spec.Kind) bool {
	switch key {
	case "value_form", "policy_percent", "stages", "fastener":
		return k == spec.Torque
	case "angle", "angle_tolerance":
		return k == spec.Torque || k == spec.Angle
	case "sizes":
		return k == spec.Dimension
	case "allowed", "rejected":
		return k == spec.Category
	case "band", "target", "wear_limit":
		return k != spec.Category
	}
	return true
}

// checkForm holds a torque to the form in which it was published, and any other spec to having a limit.
func (r *reader) checkForm(m mapping, s *spec.Spec) {
	switch s.ValueForm {
	case spec.NotPublished:
		if s.Limited() || s.HasTarget || len(s.Stages) > 0 {
			r.fault(m.near("band", "target", "stages"), "value_without_source", "a value that was not published has no limits", "remove them, or name the form in which it was published")
		}
		return
	case spec.OutOfScope:
		if s.Limited() || s.HasTarget || len(s.Stages) > 0 {
			r.fault(m.near("band", "target", "stages"), "out_of_scope_value", "a fastener that is out of scope never carries a value", "remove every number")
		}
		return
	case spec.Single:
		if !s.HasTarget {
			r.fault(m.at, "missing_key", "a single value stands in target", "add target")
		}
		if !s.Band.Empty() {
			r.fault(m.near("band"), "single_with_band", "a single value has no published band", "write value_form: range, or remove band")
		}
		return
	case spec.Stages:
		if len(s.Stages) == 0 {
			r.fault(m.near("stages"), "missing_key", "stages are missing", "add stages")
		}
		return
	case spec.TorqueAngle:
		if !s.HasTarget || !s.HasTurnAngle {
			r.fault(m.at, "missing_key", "a torque with an angle has target and angle", "add both")
		}
		return
	}
	stated := m.near("band", "wear_limit", "target", "angle") != m.at // then what is wrong with it was said
	if s.Kind != "" && s.Kind != spec.Category && !s.Limited() && !s.HasTarget && !s.HasTurnAngle && !stated {
		r.fault(m.at, "no_limit", "there is nothing to hold a reading to", "add band or wear_limit, or value_form: not_published")
	}
}
