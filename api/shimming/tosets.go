package shimming

import (
	"strconv"
	"unicode/utf8"

	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// own is a caller's set with its specs.
func (c *CallerShimsRequest) own(r *reader, at wire.At) *spec.ShimSet {
	bad := &r.bad
	s := &spec.ShimSet{Key: spec.Key(c.ID), Unit: r.unit, GrindTo: c.Grind, Source: &spec.Source{Class: "caller"}}
	if c.Unit != "" {
		if u, ok := wire.Unit(c.Unit, quantity.Millimetre, at.Key("unit"), bad); ok {
			s.Unit = u
		}
	}
	ids := c.specs(r, at.Key("specs"))
	at1 := at.Key("places")
	if len(c.Places) == 0 {
		bad.Add(at1.Fault("missing_places", note.New("found_shim_set_places"), note.New("fix_send_places_id_per")))
	}
	if wire.Limit(len(c.Places), MaxPlaces, at1, bad) {
		for i := range c.Places {
			p := c.Places[i].place(ids, at1.Index(i), bad)
			if hasPlace(s, p.ID) {
				bad.Add(at1.Index(i).Key("id").Fault("place_twice", note.New("found_place_stands_twice", note.Str("place", fault.Quote(p.ID))), note.New("fix_give_each_place_own")))
			}
			s.Places = append(s.Places, p)
		}
	}
	c.ladder(s, at.Key("ladder"), bad)
	c.offset(s, at.Key("offset"), bad)
	wire.Limit(len(c.WearOf), 16, at.Key("wear_of"), bad)
	for i, id := range c.WearOf {
		if !ids[id] {
			bad.Add(at.Key("wear_of").Index(i).Fault("unknown_spec", note.New("found_set_no_spec", note.Str("spec", fault.Quote(id))), note.New("fix_name_id_one_specs")))
		}
		s.WearOf = append(s.WearOf, spec.Key(id))
	}
	return s
}

// specs reads the caller's specs; their ids name them everywhere in the request.
func (c *CallerShimsRequest) specs(r *reader, at wire.At) map[string]bool {
	ids := map[string]bool{}
	if len(c.Specs) == 0 {
		r.bad.Add(at.Fault("missing_specs", note.New("found_shim_set_adjusts_specs"), note.New("fix_send_specs_id_caller")))
	}
	if !wire.Limit(len(c.Specs), MaxSpecs, at, &r.bad) {
		return ids
	}
	for i := range c.Specs {
		z, at := &c.Specs[i], at.Index(i)
		id(z.ID, at.Key("id"), &r.bad)
		ids[z.ID] = true
		if r.own[z.ID] != nil {
			r.bad.Add(at.Key("id").Fault("id_twice", note.New("found_id_stands_twice", note.Str("id", fault.Quote(z.ID))), note.New("fix_give_each_spec_request")))
			continue
		}
		if z.CallerSpec == nil {
			r.bad.Add(at.Key("caller_spec").Fault("missing_spec", note.New("found_id_stands_spec"), note.New("fix_send_caller_spec")))
			continue
		}
		named := *z.CallerSpec
		named.Key = z.ID
		if s, ok := named.ToSpec(at.Key("caller_spec"), &r.bad); ok && s.Unit.Kind() != quantity.LengthKind && s.Kind == spec.Dimension {
			r.bad.Add(at.Key("caller_spec").Key("unit").Fault("unit_of_wrong_kind", note.New("found_dimension_length"), note.New("fix_send_mm_um")))
		}
		r.own[z.ID] = &named
	}
	return ids
}

func id(s string, at wire.At, bad *fault.List) {
	if s == "" || utf8.RuneCountInString(s) > wire.MaxName {
		bad.Add(at.Fault("bad_id", note.New("found_not_an_id"), note.New("fix_send_name_characters", note.Str("least", "1"), note.Str("most", "64"))))
	}
}

func (p *PlaceRequest) place(ids map[string]bool, at wire.At, bad *fault.List) spec.Place {
	out := spec.Place{ID: p.ID, MinPieces: 1, MaxPieces: 1}
	id(p.ID, at.Key("id"), bad)
	if p.MinPieces.Present() {
		out.MinPieces = p.MinPieces.Whole(at.Key("min_pieces"), 0, MaxPieces, bad)
		out.MaxPieces = max(1, out.MinPieces)
	}
	if p.MaxPieces.Present() {
		out.MaxPieces = p.MaxPieces.Whole(at.Key("max_pieces"), 0, MaxPieces, bad)
	}
	if out.MaxPieces < out.MinPieces {
		bad.Add(at.Key("max_pieces").Fault("lower_over_upper", note.New("found_min_pieces_over_max"), note.New("fix_exchange_them")))
	}
	out.Against, _ = wire.Word(p.Against, at.Key("against"), bad, "circlip", "rotating")
	if !wire.Limit(len(p.PerMM), MaxEffects, at.Key("per_mm"), bad) {
		return out
	}
	if len(p.PerMM) == 0 {
		bad.Add(at.Key("per_mm").Fault("missing_change", note.New("found_place_says_millimetre_changes"), note.New("fix_send_per_mm_spec")))
	}
	seen := map[string]bool{}
	for i, e := range p.PerMM {
		at := at.Key("per_mm").Index(i)
		if !ids[e.Spec] {
			bad.Add(at.Key("spec").Fault("unknown_spec", note.New("found_set_no_spec", note.Str("spec", fault.Quote(e.Spec))), note.New("fix_name_id_one_specs")))
		}
		if seen[e.Spec] {
			bad.Add(at.Key("spec").Fault("id_twice", note.New("found_spec_stands_twice", note.Str("spec", fault.Quote(e.Spec))), note.New("fix_send_one_change_each")))
		}
		seen[e.Spec] = true
		d, ok := e.Change.Decimal(at.Key("change"), 9, bad)
		if ok && (d.Cmp(quantity.NewDecimal(1000, 0)) > 0 || d.Cmp(quantity.NewDecimal(-1000, 0)) < 0) {
			bad.Add(at.Key("change").Fault("out_of_range", note.New("found_no_change_per_millimetre", note.Str("value", d.String())), note.New("fix_send_minus_one_at_most", note.Str("most", "1000"))))
		}
		out.PerMM = append(out.PerMM, spec.Effect{Spec: spec.Key(e.Spec), Change: d})
	}
	return out
}

func (c *CallerShimsRequest) ladder(s *spec.ShimSet, at wire.At, bad *fault.List) {
	if !wire.Limit(len(c.Ladder), MaxLines, at, bad) {
		return
	}
	for i := range c.Ladder {
		l, at := &c.Ladder[i], at.Index(i)
		out := spec.Rung{Thickness: thickness(l.Thickness, s.Unit, at.Key("thickness"), bad), SKU: l.SKU, SupersededBy: l.SupersededBy,
			FromSerial: serial(l.FromSerial, at.Key("from_serial"), bad), ToSerial: serial(l.ToSerial, at.Key("to_serial"), bad)}
		sku(l.SKU, at.Key("sku"), bad)
		sku(l.SupersededBy, at.Key("superseded_by"), bad)
		if r, has := l.Tolerance.read(s.Unit, at.Key("tolerance"), bad); has {
			out.Tolerance = r
			solid(out.Thickness, r, at.Key("tolerance"), bad)
		}
		s.Decimals = max(s.Decimals, out.Thickness.Places())
		s.Ladder = append(s.Ladder, out)
	}
}

func serial(s string, at wire.At, bad *fault.List) string {
	if s == "" {
		return ""
	}
	if _, err := strconv.ParseUint(s, 10, 63); err != nil {
		bad.Add(at.Fault("bad_serial", note.New("found_no_serial_number", note.Str("word", fault.Quote(s))), note.New("fix_send_digits")))
		return ""
	}
	return s
}

func (c *CallerShimsRequest) offset(s *spec.ShimSet, at wire.At, bad *fault.List) {
	o := c.Offset
	if len(o.Between) == 0 {
		if o.Limit.Present() {
			bad.Add(at.Key("between").Fault("missing_place", note.New("found_offset_lies_between_two"), note.New("fix_send_between")))
		}
		return
	}
	if len(o.Between) != 2 || o.Between[0] == o.Between[1] {
		bad.Add(at.Key("between").Fault("missing_place", note.New("found_offset_lies_between_two"), note.New("fix_name_two_different_places")))
		return
	}
	for i, p := range o.Between {
		if !hasPlace(s, p) {
			bad.Add(at.Key("between").Index(i).Fault("unknown_place", note.New("found_set_no_place", note.Str("place", fault.Quote(p))), note.New("fix_send_two_of", note.Str("list", placesOf(s)))))
		}
		s.Offset.Between[i] = p
	}
	if o.Limit.Present() {
		d, ok := o.Limit.In(s.Unit, at.Key("limit"), bad)
		if ok && d.Sign() < 0 {
			bad.Add(at.Key("limit").Fault("negative", note.New("found_limit_offset_never_negative"), note.New("fix_send_zero_or_more")))
		}
		s.Offset.Limit, s.Offset.HasLimit = d, ok
	}
}

// published is a set of the catalogue for the engine of the request; undecided says that it differs between variants and
// none was named.
func (r *reader) published(key string, at wire.At) (set *spec.ShimSet, undecided bool) {
	entry, ok := r.rev.Shims(spec.Key(key))
	if !ok {
		detail := note.New("found_no_shims_key", note.Str("key", fault.Quote(key)))
		if f, has := r.rev.FamilyOf(spec.Key(key)); has {
			if near, has := f.NearestShims(spec.Key(key)); has {
				detail = note.New("found_no_shims_key_nearest", detail.Params[0], note.Str("near", near))
			}
		}
		r.bad.Add(at.Fault("unknown_shims", detail, note.New("fix_component_lists_shim_sets")))
		return nil, false
	}
	wire.CheckEngine(r.rev, spec.Key(key), r.req.Variant, r.req.Marks, "", &r.bad)
	return entry.Resolve(r.narrow(key))
}

// narrow fills in what an engine number means in the family of a key.
func (r *reader) narrow(key string) catalogue.Selection {
	f, ok := r.rev.FamilyOf(spec.Key(key))
	if !ok {
		return r.engine
	}
	sel, open := r.rev.Narrow(f, r.engine)
	for _, n := range open {
		if n.Code == "engine_number_of_other_family" && !r.foreign {
			r.foreign = true
			r.bad.Add(wire.At("/engine_number").Fault(n.Code, note.New("found_engine_number_belongs_family", note.Str("number", fault.Quote(r.engine.EngineNumber)), note.Str("family", n.Get("family"))),
				note.New("fix_name_shims_family")))
		}
	}
	return sel
}
