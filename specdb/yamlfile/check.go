package yamlfile

import (
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// check holds the fields of one spec against each other.
func (r *reader) check(m mapping, s *spec.Spec) {
	r.checkUnit(m, s)
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

func (r *reader) checkUnit(m mapping, s *spec.Spec) {
	if s.Kind == spec.Category {
		if len(s.Allowed) == 0 {
			r.fault(m.at, "no_limit", "a category lists what is allowed", "add allowed")
		}
		for _, a := range s.Allowed {
			for _, b := range s.Rejected {
				if a == b {
					r.fault(m.near("rejected", "allowed"), "allowed_and_rejected", a+" is allowed and rejected", "keep one of them")
				}
			}
		}
		return
	}
	if s.Kind == "" {
		return
	}
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
	only := map[string]bool{}
	for _, k := range []string{"value_form", "policy_percent", "stages", "fastener"} {
		only[k] = s.Kind == spec.Torque
	}
	only["angle"], only["angle_tolerance"] = s.Kind == spec.Torque || s.Kind == spec.Angle, s.Kind == spec.Torque || s.Kind == spec.Angle
	only["allowed"], only["rejected"] = s.Kind == spec.Category, s.Kind == spec.Category
	only["sizes"] = s.Kind == spec.Dimension
	only["band"], only["target"], only["wear_limit"] = s.Kind != spec.Category, s.Kind != spec.Category, s.Kind != spec.Category
	for i, f := range m.shape.Fields {
		if allowed, bound := only[f.Key]; bound && !allowed && m.values[i] != nil {
			r.fault(m.values[i], "key_of_other_kind", f.Key+" says nothing about a "+string(s.Kind), "remove it, or change kind")
		}
	}
	if s.Kind == spec.Torque && (s.Band.HasLower && s.Band.Lower.Sign() < 0 || s.HasTarget && s.Target.Sign() <= 0 || s.PolicyPercent.Sign() < 0) {
		r.fault(m.near("band", "target"), "negative", "a torque is never negative", "write figures over 0")
	}
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
