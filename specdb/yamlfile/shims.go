package yamlfile

import (
	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

var shimKeys = []string{"id", "name", "unit", "decimals", "places", "offset", "wear_of", "ladder", "grind_to", "cautions", "source", "variants"}

func (r *reader) shims(n *yaml.Node, f *catalogue.Family, c *catalogue.Component, source *spec.Source) *catalogue.ShimEntry {
	m := r.entries(n, shimKeys...)
	if !r.need(m, "id", "name", "unit", "places", "ladder") {
		return nil
	}
	base := &spec.ShimSet{Key: key(f, c, r.slug(m.get("id"))), Source: source}
	if s := m.get("source"); s != nil {
		base.Source = r.source(s)
	}
	base.RevisionDate = base.Source.Reviewed
	r.shimFields(m, base, f, c)
	entry := &catalogue.ShimEntry{Base: base}
	for _, e := range r.list(m.get("variants")) {
		om := r.entries(e, append([]string{"variant", "mark"}, shimKeys[1:len(shimKeys)-1]...)...)
		variant, mark := r.chosen(om, f, c)
		s := *base
		r.shimFields(om, &s, f, c)
		s.DecidedBy = spec.DecidedBy{Variant: variant, Mark: mark}
		entry.Overrides = append(entry.Overrides, catalogue.ShimOverride{Variant: variant, Mark: mark, Shims: &s})
	}
	return entry
}

func (r *reader) shimFields(m mapping, s *spec.ShimSet, f *catalogue.Family, c *catalogue.Component) {
	if n := m.get("name"); n != nil {
		s.Name = r.text(n)
	}
	if n := m.get("unit"); n != nil {
		s.Unit = r.unit(n)
		if s.Unit.Kind() != quantity.LengthKind {
			r.fault(n, "unit_of_wrong_kind", n.Value+" is no unit of length", "shims are measured in mm, um, in or thou")
		}
	}
	if n := m.get("places"); n != nil {
		s.Places = nil
		for _, e := range r.list(n) {
			s.Places = append(s.Places, r.place(e, f, c))
		}
	}
	if n := m.get("ladder"); n != nil {
		s.Ladder = r.ladder(n, s.Unit)
	}
	if n := m.get("offset"); n != nil {
		s.Offset = r.offset(n, s)
	}
	if n := m.get("wear_of"); n != nil {
		s.WearOf = nil
		for _, e := range r.list(n) {
			s.WearOf = append(s.WearOf, key(f, c, r.slug(e)))
		}
	}
	if n := m.get("grind_to"); n != nil {
		s.GrindTo = r.yes(n)
	}
	if n := m.get("cautions"); n != nil {
		s.Cautions = r.strs(n)
	}
	for _, rung := range s.Ladder {
		s.Decimals = max(s.Decimals, rung.Thickness.Places())
	}
	if n := m.get("decimals"); n != nil {
		s.Decimals = int(r.whole(n, 0, 9))
	}
}

func (r *reader) place(n *yaml.Node, f *catalogue.Family, c *catalogue.Component) spec.Place {
	m := r.entries(n, "id", "name", "min_pieces", "max_pieces", "against", "per_mm")
	r.need(m, "id", "per_mm")
	p := spec.Place{ID: r.slug(m.get("id")), Name: r.text(m.get("name")), MinPieces: 1, MaxPieces: 1,
		Against: r.word(m.get("against"), "circlip", "rotating")}
	if e := m.get("min_pieces"); e != nil {
		p.MinPieces = int(r.whole(e, 0, 20))
		p.MaxPieces = max(1, p.MinPieces)
	}
	if e := m.get("max_pieces"); e != nil {
		p.MaxPieces = int(r.whole(e, 1, 20))
	}
	if p.MinPieces > p.MaxPieces {
		r.fault(n, "lower_over_upper", "min_pieces is over max_pieces", "exchange them")
	}
	for _, e := range r.list(m.get("per_mm")) {
		em := r.entries(e, "spec", "change")
		r.need(em, "spec", "change")
		change, ok := r.number(em.get("change"), 9)
		if ok && change.Sign() == 0 {
			r.fault(em.get("change"), "no_effect", "a shim that changes nothing is no shim", "write the change of the spec per mm, such as -1")
		}
		p.PerMM = append(p.PerMM, spec.Effect{Spec: key(f, c, r.slug(em.get("spec"))), Change: change})
	}
	return p
}

func (r *reader) ladder(n *yaml.Node, unit quantity.Unit) []spec.Rung {
	var out []spec.Rung
	for _, e := range r.list(n) {
		m := r.entries(e, "thickness", "tolerance", "sku", "superseded_by", "from_serial", "to_serial")
		r.need(m, "thickness")
		t, ok := r.number(m.get("thickness"), unit.MaxPlaces())
		if ok && t.Sign() <= 0 {
			r.fault(m.get("thickness"), "not_positive", t.String()+" is no thickness", "write a thickness over 0")
		}
		rung := spec.Rung{Thickness: t, Tolerance: r.limits(m.get("tolerance"), unit.MaxPlaces()), SKU: r.sku(m.get("sku")),
			SupersededBy: r.sku(m.get("superseded_by")), FromSerial: r.str(m.get("from_serial")), ToSerial: r.str(m.get("to_serial"))}
		if rung.Tolerance.HasLower != rung.Tolerance.HasUpper {
			r.fault(m.get("tolerance"), "half_tolerance", "a tolerance has both ends", "write lower and upper, such as -0.02 and 0")
		}
		for _, o := range out {
			if o.SKU != "" && o.SKU == rung.SKU {
				r.fault(e, "duplicate_id", "the SKU "+o.SKU+" stands twice in the ladder", "give each size its own SKU")
			}
		}
		out = append(out, rung)
	}
	return out
}

func (r *reader) offset(n *yaml.Node, s *spec.ShimSet) spec.Offset {
	m := r.entries(n, "between", "limit")
	r.need(m, "between")
	var o spec.Offset
	names := r.strs(m.get("between"))
	if len(names) != 2 || !hasPlace(s, names[0]) || !hasPlace(s, names[1]) || names[0] == names[1] {
		r.fault(n, "dangling_reference", "an offset lies between two places of the set", "name two different places, such as [left, right]")
		return o
	}
	o.Between = [2]string{names[0], names[1]}
	o.Limit, o.HasLimit = r.number(m.get("limit"), s.Unit.MaxPlaces())
	if o.Limit.Sign() < 0 {
		r.fault(m.get("limit"), "negative", "an offset limit is never negative", "write 0 or more")
	}
	return o
}

func hasPlace(s *spec.ShimSet, id string) bool {
	for _, p := range s.Places {
		if p.ID == id {
			return true
		}
	}
	return false
}
