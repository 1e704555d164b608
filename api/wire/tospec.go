package wire

import (
	"strconv"
	"strings"

	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// ToSpec is a caller's own spec. Every violation is added to bad with its pointer; ok is false where there was one.
// Limits are kept as written; without decimals the finest limit sets them.
func (c *CallerSpecRequest) ToSpec(at At, bad *fault.List) (s *spec.Spec, ok bool) {
	before := bad.Len()
	s = &spec.Spec{Key: spec.Key(c.Key), Critical: c.Critical, Form: c.Form, AdjustedBy: spec.Key(c.AdjustedBy),
		Name: spec.English(c.Name), State: spec.English(c.State), Conditions: c.Conditions, Allowed: c.Allowed,
		Rejected: c.Rejected, Cautions: c.Cautions, Source: &spec.Source{Class: "caller"}}
	c.texts(at, bad)
	c.kindAndUnit(s, at, bad)
	s.ValueForm, _ = Word(spec.ValueForm(c.ValueForm), at.Key("value_form"), bad, spec.Range, spec.Single, spec.Stages,
		spec.TorqueAngle, spec.NotPublished, spec.OutOfScope)
	s.TargetPolicy, _ = Word(spec.TargetPolicy(c.TargetPolicy), at.Key("target_policy"), bad, spec.Nearest, spec.NotBelow, spec.NotAbove)
	s.Remedy, _ = Word(spec.Remedy(c.Remedy), at.Key("remedy"), bad, spec.Adjust, spec.Machine, spec.Replace)
	if bad.Len() == before {
		c.limits(s, at, bad)
		c.points(s, at, bad)
		c.torque(s, at, bad)
		c.sizes(s, at, bad)
	}
	if bad.Len() == before {
		c.consistent(s, at, bad)
	}
	return s, bad.Len() == before
}

func (c *CallerSpecRequest) texts(at At, bad *fault.List) {
	for _, t := range []struct {
		key, text string
		most      int
	}{{"key", c.Key, 200}, {"name", c.Name, 200}, {"state", c.State, 500}, {"adjusted_by", c.AdjustedBy, 200}} {
		Fits(t.text, t.most, bad, at, t.key)
	}
	for _, l := range []struct {
		key  string
		n, m int
	}{{"allowed", len(c.Allowed), 50}, {"rejected", len(c.Rejected), 50}, {"conditions", len(c.Conditions), 20},
		{"cautions", len(c.Cautions), 20}, {"stages", len(c.Stages), 20}, {"sizes", len(c.Sizes), 8}} {
		Limit(l.n, l.m, at.Key(l.key), bad)
	}
}

func (c *CallerSpecRequest) kindAndUnit(s *spec.Spec, at At, bad *fault.List) {
	if c.Kind == "" {
		bad.Add(at.Key("kind").Fault("missing_kind", note.New("found_spec_says_kind"), note.New("fix_send_kind_dimension_torque")))
		return
	}
	kind, ok := Word(spec.Kind(c.Kind), at.Key("kind"), bad, spec.Dimension, spec.Torque, spec.Angle, spec.Other, spec.Category)
	if !ok {
		return
	}
	s.Kind = kind
	if kind == spec.Category {
		return
	}
	unit, ok := quantity.ParseOther(c.Unit)
	if kind != spec.Other || !ok {
		unit, ok = AnyUnit(c.Unit, at.Key("unit"), bad)
	}
	if !ok {
		return
	}
	want := map[spec.Kind]quantity.Kind{spec.Dimension: quantity.LengthKind, spec.Torque: quantity.TorqueKind,
		spec.Angle: quantity.AngleKind, spec.Other: quantity.Other}[kind]
	if unit.Kind() != want {
		bad.Add(at.Key("unit").Fault("unit_of_wrong_kind", note.New("found_unit_of_other_kind", note.Str("unit", strconv.Quote(string(unit))), note.Str("kind", c.Kind)),
			note.New("fix_send_one_of", note.Str("list", joinUnits(quantity.UnitsOf(want))))))
	}
	s.Unit = unit
}

func joinUnits(units []quantity.Unit) string {
	list := make([]string, len(units))
	for i, u := range units {
		list[i] = string(u)
	}
	return strings.Join(list, ", ")
}

// optional reads a number that may be absent.
func optional(n Number, at At, places int, bad *fault.List) (quantity.Decimal, bool) {
	if !n.Present() {
		return quantity.Decimal{}, false
	}
	return n.Decimal(at, places, bad)
}

// ToRange reads an interval in a unit: lower over upper is a fault.
func (r RangeRequest) ToRange(at At, u quantity.Unit, bad *fault.List) (out quantity.Range) {
	out.Lower, out.HasLower = optional(r.Lower, at.Key("lower"), u.MaxPlaces(), bad)
	out.Upper, out.HasUpper = optional(r.Upper, at.Key("upper"), u.MaxPlaces(), bad)
	if out.TwoSided() && out.Lower.Cmp(out.Upper) > 0 {
		bad.Add(at.Fault("lower_over_upper", note.New("found_lower_limit_over_upper", note.Str("lower", out.Lower.String()), note.Str("upper", out.Upper.String())), note.New("fix_exchange_them")))
	}
	return out
}

func (c *CallerSpecRequest) limits(s *spec.Spec, at At, bad *fault.List) {
	s.Band = c.Band.ToRange(at.Key("band"), s.Unit, bad)
	s.WearLimit = c.WearLimit.ToRange(at.Key("wear_limit"), s.Unit, bad)
	s.Plausible = c.Plausible.ToRange(at.Key("plausible"), s.Unit, bad)
	s.Target, s.HasTarget = optional(c.Target, at.Key("target"), s.Unit.MaxPlaces(), bad)
	for _, d := range []quantity.Decimal{s.Band.Lower, s.Band.Upper, s.WearLimit.Lower, s.WearLimit.Upper, s.Target} {
		s.Decimals = max(s.Decimals, d.Places())
	}
	if c.Decimals.Present() {
		s.Decimals = c.Decimals.whole(at.Key("decimals"), 0, 9, bad)
	}
}

// whole reads a whole number from least to most.
func (n Number) whole(at At, least, most int64, bad *fault.List) int {
	d, ok := n.Decimal(at, quantity.MaxPlaces, bad)
	if !ok {
		return 0
	}
	d = d.Trimmed(0)
	if d.Places() > 0 || d.Coef() < least || d.Coef() > most {
		from, to := note.Str("least", strconv.FormatInt(least, 10)), note.Str("most", strconv.FormatInt(most, 10))
		bad.Add(at.Fault("not_a_whole_number", note.New("found_not_whole_number", note.Str("value", d.String()), from, to), note.New("fix_send_from_to", from, to)))
		return 0
	}
	return int(d.Coef())
}

// Whole is an optional whole number from least to most; 0 where it is absent.
func (n Number) Whole(at At, least, most int64, bad *fault.List) int {
	if !n.Present() {
		return 0
	}
	return n.whole(at, least, most, bad)
}

func (c *CallerSpecRequest) points(s *spec.Spec, at At, bad *fault.List) {
	p, at := c.Points, at.Key("points")
	rule := func(key, word string) spec.Combine {
		w, _ := Word(spec.Combine(word), at.Key(key), bad, spec.Mean, spec.Min, spec.Max, spec.Spread)
		return w
	}
	s.Points = spec.Points{Minimum: p.Minimum.Whole(at.Key("minimum"), 0, 100, bad), Combine: rule("combine", p.Combine),
		AgainstLower: rule("against_lower", p.AgainstLower), AgainstUpper: rule("against_upper", p.AgainstUpper)}
	s.Points.MaxSpread, s.Points.HasMaxSpread = optional(p.MaxSpread, at.Key("max_spread"), s.Unit.MaxPlaces(), bad)
	if s.Points.MaxSpread.Sign() < 0 {
		bad.Add(at.Key("max_spread").Fault("negative", note.New("found_spread_never_negative"), note.New("fix_send_zero_or_more")))
	}
}

func (c *CallerSpecRequest) sizes(s *spec.Spec, at At, bad *fault.List) {
	for i, z := range c.Sizes {
		at := at.Key("sizes").Index(i)
		sign := z.Sign.whole(at.Key("sign"), -1, 1, bad)
		e, has := optional(z.ExpansionPerK, at.Key("expansion_per_k"), 9, bad)
		s.Sizes = append(s.Sizes, spec.Size{Part: z.Part, Sign: sign, ExpansionPerK: e, HasExpansion: has})
	}
}
