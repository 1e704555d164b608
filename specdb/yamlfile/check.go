package yamlfile

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// check holds the fields of one spec against each other.
func (r *reader) check(n *yaml.Node, s *spec.Spec) {
	r.checkUnit(n, s)
	b, w := s.Band, s.WearLimit
	if s.HasTarget && (b.HasLower && s.Target.Cmp(b.Lower) < 0 || b.HasUpper && s.Target.Cmp(b.Upper) > 0) {
		r.fault(n, "target_outside_band", "the target "+s.Target.String()+" lies outside the band", "aim inside the band; its limits belong to it")
	}
	if b.HasUpper && w.HasUpper && w.Upper.Cmp(b.Upper) < 0 || b.HasLower && w.HasLower && w.Lower.Cmp(b.Lower) > 0 {
		r.fault(n, "wear_limit_inside_band", "the wear limit is tighter than the band", "a part wears from the band towards its wear limit")
	}
	p := s.Plausible
	for _, d := range limitsOf(s) {
		if p.HasLower && d.Cmp(p.Lower) < 0 || p.HasUpper && d.Cmp(p.Upper) > 0 {
			r.fault(n, "limit_not_plausible", "the limit "+d.String()+" lies outside what is called plausible", "widen plausible")
		}
	}
	if s.Points.MaxSpread.Sign() < 0 {
		r.fault(n, "negative", "a spread is never negative", "write 0 or more")
	}
	r.checkForm(n, s)
}

func limitsOf(s *spec.Spec) []quantity.Decimal {
	var out []quantity.Decimal
	for _, l := range []quantity.Range{s.Band, s.WearLimit} {
		if l.HasLower {
			out = append(out, l.Lower)
		}
		if l.HasUpper {
			out = append(out, l.Upper)
		}
	}
	return out
}

func (r *reader) checkUnit(n *yaml.Node, s *spec.Spec) {
	if s.Kind == spec.Category {
		if len(s.Allowed) == 0 {
			r.fault(n, "no_limit", "a category lists what is allowed", "add allowed")
		}
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
	if s.Unit == "" || s.Unit.Kind() != want {
		r.fault(n, "unit_of_wrong_kind", "the unit does not measure a "+string(s.Kind), "write "+what)
	}
}

// checkForm holds a torque to the form in which it was published, and any other spec to having a limit.
func (r *reader) checkForm(n *yaml.Node, s *spec.Spec) {
	switch s.ValueForm {
	case spec.NotPublished:
		if s.Limited() || s.HasTarget {
			r.fault(n, "value_without_source", "a value that was not published has no limits", "remove them, or name the form in which it was published")
		}
		return
	case spec.OutOfScope:
		if s.Limited() || s.HasTarget || len(s.Stages) > 0 {
			r.fault(n, "out_of_scope_value", "a fastener that is out of scope never carries a value", "remove every number")
		}
		return
	case spec.Single:
		if !s.HasTarget {
			r.fault(n, "missing_key", "a single value stands in target", "add target")
		}
		if !s.HasPolicy {
			r.fault(n, "single_without_policy", "a single value has no published tolerance", "add policy_percent, which is shown as policy")
		}
		return
	case spec.Stages:
		if len(s.Stages) == 0 {
			r.fault(n, "missing_key", "stages are missing", "add stages")
		}
	case spec.TorqueAngle:
		if !s.HasTarget || !s.HasTurnAngle {
			r.fault(n, "missing_key", "a torque with an angle has target and angle", "add both")
		}
		return
	}
	if s.Kind != spec.Category && !s.Limited() && !s.HasTarget {
		r.fault(n, "no_limit", "there is nothing to hold a reading to", "add band or wear_limit, or value_form: not_published")
	}
}

// references checks, once a family is read, that what its specs and shims name is there.
func (r *reader) references(n *yaml.Node, has func(spec.Key) bool, refs []spec.Key) {
	for _, k := range refs {
		if !has(k) {
			r.fault(n, "dangling_reference", "nothing has the key "+string(k), "name a spec or shim set of the same component: "+lastName(k)+" is none")
		}
	}
}

func lastName(k spec.Key) string {
	s := string(k)
	return s[strings.LastIndexByte(s, '/')+1:]
}
