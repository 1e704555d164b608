package yamlfile

import (
	"go.yaml.in/yaml/v3"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// specKeys are the keys of a spec; an override may have all but id, kind and variants.
var specKeys = []string{"id", "kind", "name", "unit", "decimals", "value_form", "band", "target", "target_policy", "policy_percent",
	"stages", "angle", "angle_tolerance", "wear_limit", "plausible", "remedy", "critical", "form", "points", "sizes", "allowed",
	"rejected", "state", "conditions", "adjusted_by", "fastener", "cautions", "source", "reason", "variants", "revision_date"}

// specFields reads the keys of a mapping into s and leaves what is not named as it is.
func (r *reader) specFields(m mapping, s *spec.Spec) {
	if n := m.get("kind"); n != nil {
		s.Kind = spec.Kind(r.word(n, "dimension", "torque", "angle", "other", "category"))
	}
	if n := m.get("name"); n != nil {
		s.Name = r.text(n)
	}
	if n := m.get("unit"); n != nil {
		s.Unit = r.unit(n)
	}
	places := s.Unit.MaxPlaces()
	r.limitFields(m, s, places)
	r.wordFields(m, s)
	r.torqueFields(m, s, places)
	if n := m.get("points"); n != nil {
		s.Points = r.points(n, places)
	}
	if n := m.get("sizes"); n != nil {
		s.Sizes = r.sizes(n)
	}
	if n := m.get("decimals"); n != nil {
		s.Decimals = int(r.whole(n, 0, 9))
	} else {
		for _, d := range []quantity.Decimal{s.Band.Lower, s.Band.Upper, s.WearLimit.Lower, s.WearLimit.Upper, s.Target} {
			s.Decimals = max(s.Decimals, d.Places())
		}
	}
}

func (r *reader) unit(n *yaml.Node) quantity.Unit {
	u, ok := quantity.ParseUnit(r.str(n))
	if !ok {
		r.fault(n, "unknown_unit", n.Value+" is no unit that is read here", "write mm, um, in, thou, N.m, lbf.ft, lbf.in, kgf.m, kgf.cm, deg, N, kN, kPa, bar, cm3, turns, ratio or %")
	}
	return u
}

func (r *reader) limitFields(m mapping, s *spec.Spec, places int) {
	if n := m.get("band"); n != nil {
		s.Band = r.limits(n, places)
	}
	if n := m.get("wear_limit"); n != nil {
		s.WearLimit = r.limits(n, places)
	}
	if n := m.get("plausible"); n != nil {
		s.Plausible = r.limits(n, places)
	}
	if n := m.get("target"); n != nil {
		s.Target, s.HasTarget = r.number(n, places)
	}
	if n := m.get("target_policy"); n != nil {
		s.TargetPolicy = spec.TargetPolicy(r.word(n, "nearest", "not_below", "not_above"))
	}
}

func (r *reader) wordFields(m mapping, s *spec.Spec) {
	if n := m.get("remedy"); n != nil {
		s.Remedy = spec.Remedy(r.word(n, "adjust", "machine", "replace"))
	}
	if n := m.get("critical"); n != nil {
		s.Critical = r.yes(n)
	}
	if n := m.get("form"); n != nil {
		s.Form = r.yes(n)
	}
	if n := m.get("allowed"); n != nil {
		s.Allowed = r.strs(n)
	}
	if n := m.get("rejected"); n != nil {
		s.Rejected = r.strs(n)
	}
	if n := m.get("state"); n != nil {
		s.State = r.text(n)
	}
	if n := m.get("conditions"); n != nil {
		s.Conditions = r.strs(n)
	}
	if n := m.get("adjusted_by"); n != nil {
		s.AdjustedBy = spec.Key(r.slug(n))
	}
	if n := m.get("cautions"); n != nil {
		s.Cautions = r.strs(n)
	}
	if n := m.get("reason"); n != nil {
		s.Reason = r.text(n)
	}
	if n := m.get("revision_date"); n != nil {
		s.RevisionDate = r.date(n)
	}
}

func (r *reader) torqueFields(m mapping, s *spec.Spec, places int) {
	if n := m.get("value_form"); n != nil {
		s.ValueForm = spec.ValueForm(r.word(n, "range", "single", "stages", "torque_angle", "not_published", "out_of_scope"))
	}
	if n := m.get("policy_percent"); n != nil {
		s.PolicyPercent, s.HasPolicy = r.number(n, 3)
	}
	if n := m.get("angle"); n != nil {
		s.TurnAngle, s.HasTurnAngle = r.number(n, 9)
	}
	if n := m.get("angle_tolerance"); n != nil {
		s.AngleTolerance, s.HasAngleTol = r.number(n, 9)
	}
	if n := m.get("stages"); n != nil {
		s.Stages = nil
		for _, e := range r.list(n) {
			em := r.entries(e, "value", "angle", "pattern")
			var st spec.Stage
			st.Value, st.HasValue = r.number(em.get("value"), places)
			st.Angle, st.HasAngle = r.number(em.get("angle"), 9)
			st.Pattern = r.str(em.get("pattern"))
			s.Stages = append(s.Stages, st)
		}
	}
	if n := m.get("fastener"); n != nil {
		s.Fastener = r.fastener(n, places)
	}
}

func (r *reader) fastener(n *yaml.Node, places int) *spec.Fastener {
	m := r.entries(n, "thread", "hand", "property_class", "head", "into", "condition", "count", "access", "reuse", "retorque",
		"prevailing", "running_torque", "locking", "pattern", "taper", "slots")
	f := &spec.Fastener{Thread: r.str(m.get("thread")), Hand: spec.Hand(r.word(m.get("hand"), "left", "right")),
		PropertyClass: r.str(m.get("property_class")), Head: r.str(m.get("head")), Into: r.str(m.get("into")),
		Condition:  r.word(m.get("condition"), "dry", "oiled", "thread_lock", "anti_seize", "coated"),
		Count:      int(r.whole(m.get("count"), 1, 100)),
		Access:     r.word(m.get("access"), "open", "crowfoot", "extension", "no_wrench"),
		Reuse:      r.word(m.get("reuse"), "reusable", "one_time"),
		Retorque:   r.word(m.get("retorque"), "never", "after_first_run", "cold"),
		Prevailing: r.word(m.get("prevailing"), "included", "extra", "unstated"),
		Locking:    r.str(m.get("locking")), Pattern: r.str(m.get("pattern")), Taper: r.yes(m.get("taper")),
		Slots: int(r.whole(m.get("slots"), 1, 24))}
	f.Running, f.HasRunning = r.number(m.get("running_torque"), places)
	return f
}

func (r *reader) points(n *yaml.Node, places int) spec.Points {
	m := r.entries(n, "minimum", "combine", "against_lower", "against_upper", "max_spread", "places")
	rule := func(key string) spec.Combine { return spec.Combine(r.word(m.get(key), "mean", "min", "max", "range")) }
	p := spec.Points{Minimum: int(r.whole(m.get("minimum"), 1, 100)), Combine: rule("combine"), AgainstLower: rule("against_lower"),
		AgainstUpper: rule("against_upper"), Places: r.text(m.get("places"))}
	p.MaxSpread, p.HasMaxSpread = r.number(m.get("max_spread"), places)
	return p
}

func (r *reader) sizes(n *yaml.Node) []spec.Size {
	var out []spec.Size
	for _, e := range r.list(n) {
		m := r.entries(e, "part", "sign", "expansion_per_k")
		r.need(m, "part", "sign")
		s := spec.Size{Part: r.str(m.get("part")), Sign: int(r.whole(m.get("sign"), -1, 1))}
		s.ExpansionPerK, s.HasExpansion = r.number(m.get("expansion_per_k"), 9)
		if s.Sign == 0 && m.get("sign") != nil {
			r.fault(m.get("sign"), "bad_sign", "a size counts with +1 or −1", "write 1 or -1")
		}
		out = append(out, s)
	}
	return out
}

// source reads where values come from.
func (r *reader) source(n *yaml.Node) *spec.Source {
	m := r.entries(n, "class", "title", "locator", "reviewed", "review_by", "engines")
	r.need(m, "class", "title", "reviewed")
	return &spec.Source{Class: r.word(m.get("class"), "maker", "bulletin", "standard", "shop_measured", "generic", "demo"),
		Title: r.str(m.get("title")), Locator: r.str(m.get("locator")), Reviewed: r.date(m.get("reviewed")),
		ReviewBy: r.date(m.get("review_by")), Engines: int(r.whole(m.get("engines"), 1, 1_000_000))}
}
