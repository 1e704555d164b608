package yamlfile

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Bounds of a shim set: as many places and sizes as a plan can use.
const (
	mostPlaces = 32
	mostRungs  = 500
)

func (r *reader) shims(n *yaml.Node, s scope) *catalogue.ShimEntry {
	m, ok := r.entries(n, r.shapes.shims)
	if !ok {
		return nil
	}
	s = r.within(s, m)
	base := &spec.ShimSet{Key: s.key(r.slug(m.get("id"))), Source: s.source, RevisionDate: r.date(m.get("revision_date"))}
	if base.RevisionDate == "" && base.Source != nil {
		base.RevisionDate = base.Source.Reviewed
	}
	r.place(string(base.Key), n)
	r.shimFields(m, base, s)
	entry := &catalogue.ShimEntry{Base: base}
	for _, e := range r.list(m.get("variants")) {
		om, _ := r.entries(e, r.shapes.shimOverride)
		variant, mark := r.chosen(om, s)
		o := *base
		if in := r.within(s, om); om.get("source") != nil {
			o.Source, o.RevisionDate = in.source, in.source.Reviewed
		}
		r.shimFields(om, &o, s)
		o.DecidedBy = spec.DecidedBy{Variant: variant, Mark: mark}
		if variant == "" && mark == "" {
			continue
		}
		if slices.ContainsFunc(entry.Overrides, func(x catalogue.ShimOverride) bool { return x.Variant == variant && x.Mark == mark }) {
			r.fault(e, "duplicate_id", "the variant or mark stands twice", "write one override for each")
		}
		entry.Overrides = append(entry.Overrides, catalogue.ShimOverride{Variant: variant, Mark: mark, Shims: &o})
	}
	return entry
}

func (r *reader) shimFields(m mapping, s *spec.ShimSet, in scope) {
	if n := m.get("name"); n != nil {
		s.Name = r.names(n)
	}
	if n := m.get("unit"); n != nil {
		s.Unit = r.unit(n)
		if s.Unit != "" && s.Unit.Kind() != quantity.LengthKind {
			r.fault(n, "unit_of_wrong_kind", string(s.Unit)+" is no unit of length", "shims are measured in mm, um, in or thou")
		}
	}
	if n := m.get("places"); n != nil {
		s.Places = r.places(n, in)
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
			s.WearOf = append(s.WearOf, r.refer(e, in, "spec"))
		}
	}
	if n := m.get("grind_to"); n != nil {
		s.GrindTo = r.yes(n)
	}
	if n := m.get("cautions"); n != nil {
		s.Cautions = r.codesOf(n)
	}
	for _, rung := range s.Ladder {
		s.Decimals = max(s.Decimals, rung.Thickness.Places())
	}
	if m.get("decimals") != nil {
		s.Decimals = int(r.whole(m, "decimals"))
	}
}

func (r *reader) places(n *yaml.Node, in scope) []spec.Place {
	var out []spec.Place
	for _, e := range r.list(n) {
		p := r.shimPlace(e, in)
		if slices.ContainsFunc(out, func(o spec.Place) bool { return o.ID == p.ID && p.ID != "" }) {
			r.fault(e, "duplicate_id", "the place "+p.ID+" stands twice", "give each place its own id")
		}
		out = append(out, p)
	}
	if len(out) == 0 || len(out) > mostPlaces {
		r.fault(n, "too_long", fmt.Sprintf("a shim set has from 1 to %d places", mostPlaces), "split it, or add a place")
	}
	return out
}

func (r *reader) shimPlace(n *yaml.Node, in scope) spec.Place {
	m, _ := r.entries(n, r.shapes.place)
	p := spec.Place{ID: r.slug(m.get("id")), Name: r.names(m.get("name")), MinPieces: 1, MaxPieces: 1, Against: r.word(m, "against")}
	if m.get("min_pieces") != nil {
		p.MinPieces = int(r.whole(m, "min_pieces"))
		p.MaxPieces = max(1, p.MinPieces)
	}
	if m.get("max_pieces") != nil {
		p.MaxPieces = int(r.whole(m, "max_pieces"))
	}
	if p.MinPieces > p.MaxPieces {
		r.fault(m.near("max_pieces", "min_pieces"), "lower_over_upper", "min_pieces is over max_pieces", "exchange them")
	}
	for _, e := range r.list(m.get("per_mm")) {
		em, _ := r.entries(e, r.shapes.effect)
		change, ok := r.number(em.get("change"), 9)
		if ok && change.Sign() == 0 {
			r.fault(em.get("change"), "no_effect", "a shim that changes nothing is no shim", "write the change of the spec per mm, such as -1")
		}
		if at := em.get("spec"); at != nil {
			x := spec.Effect{Spec: r.refer(at, in, "spec"), Change: change}
			if slices.ContainsFunc(p.PerMM, func(o spec.Effect) bool { return o.Spec == x.Spec && x.Spec != "" }) {
				r.fault(e, "duplicate_id", "the spec stands twice", "write one change for each spec")
			}
			p.PerMM = append(p.PerMM, x)
		}
	}
	if at := m.get("per_mm"); at != nil && at.Kind == yaml.SequenceNode && len(at.Content) == 0 {
		r.fault(at, "no_effect", "a place that changes no spec is no place", "name the spec that a thicker piece changes")
	}
	return p
}

func (r *reader) ladder(n *yaml.Node, unit quantity.Unit) []spec.Rung {
	var out []spec.Rung
	for _, e := range r.list(n) {
		m, _ := r.entries(e, r.shapes.rung)
		t, ok := r.number(m.get("thickness"), unit.MaxPlaces())
		if ok && t.Sign() <= 0 {
			r.fault(m.get("thickness"), "not_positive", t.String()+" is no thickness", "write a thickness over 0")
		}
		rung := spec.Rung{Thickness: t, Tolerance: r.limits(m.get("tolerance"), unit.MaxPlaces()), SKU: r.sku(m.get("sku")),
			SupersededBy: r.skuRef(m.get("superseded_by")), FromSerial: r.str(m.get("from_serial")), ToSerial: r.str(m.get("to_serial"))}
		if rung.Tolerance.HasLower != rung.Tolerance.HasUpper {
			r.fault(m.get("tolerance"), "half_tolerance", "a tolerance has both ends", "write lower and upper, such as -0.02 and 0")
		}
		if slices.ContainsFunc(out, func(o spec.Rung) bool { return o.SKU != "" && o.SKU == rung.SKU }) {
			r.fault(e, "duplicate_id", "the part number "+rung.SKU+" stands twice in the ladder", "give each size its own")
		}
		out = append(out, rung)
	}
	if len(out) == 0 || len(out) > mostRungs {
		r.fault(n, "too_long", fmt.Sprintf("a ladder has from 1 to %d sizes", mostRungs), "leave out what cannot be bought, or add a size")
	}
	return out
}

func (r *reader) offset(n *yaml.Node, s *spec.ShimSet) spec.Offset {
	m, _ := r.entries(n, r.shapes.offset)
	var o spec.Offset
	at := m.near("between")
	names := r.strs(m.get("between"))
	has := func(id string) bool {
		return slices.ContainsFunc(s.Places, func(p spec.Place) bool { return p.ID == id })
	}
	if len(names) != 2 || !has(names[0]) || !has(names[1]) {
		r.fault(at, "dangling_reference", "an offset lies between two places of the set", "name two different places, such as [left, right]")
		return o
	}
	o.Between = [2]string{names[0], names[1]}
	o.Limit, o.HasLimit = r.number(m.get("limit"), s.Unit.MaxPlaces())
	if o.Limit.Sign() < 0 {
		r.fault(m.get("limit"), "negative", "an offset limit is never negative", "write 0 or more")
	}
	return o
}
