package shimming

import (
	"strconv"
	"unicode/utf8"

	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
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
		bad.Add(at1.Fault("missing_places", "a shim set has places", "send places with id and per_mm"))
	}
	if wire.Limit(len(c.Places), MaxPlaces, at1, bad) {
		for i := range c.Places {
			p := c.Places[i].place(ids, at1.Index(i), bad)
			if hasPlace(s, p.ID) {
				bad.Add(at1.Index(i).Key("id").Fault("place_twice", "the place "+fault.Quote(p.ID)+" stands twice", "give each place its own id"))
			}
			s.Places = append(s.Places, p)
		}
	}
	c.ladder(s, at.Key("ladder"), bad)
	c.offset(s, at.Key("offset"), bad)
	wire.Limit(len(c.WearOf), 16, at.Key("wear_of"), bad)
	for i, id := range c.WearOf {
		if !ids[id] {
			bad.Add(at.Key("wear_of").Index(i).Fault("unknown_spec", "the set has no spec "+fault.Quote(id), "name the id of one of its specs"))
		}
		s.WearOf = append(s.WearOf, spec.Key(id))
	}
	return s
}

// specs reads the caller's specs; their ids name them everywhere in the request.
func (c *CallerShimsRequest) specs(r *reader, at wire.At) map[string]bool {
	ids := map[string]bool{}
	if len(c.Specs) == 0 {
		r.bad.Add(at.Fault("missing_specs", "a shim set adjusts specs", "send specs with id and caller_spec"))
	}
	if !wire.Limit(len(c.Specs), MaxSpecs, at, &r.bad) {
		return ids
	}
	for i := range c.Specs {
		z, at := &c.Specs[i], at.Index(i)
		id(z.ID, at.Key("id"), &r.bad)
		ids[z.ID] = true
		if r.own[z.ID] != nil {
			r.bad.Add(at.Key("id").Fault("id_twice", "the id "+fault.Quote(z.ID)+" stands twice", "give each spec of the request its own id"))
			continue
		}
		if z.CallerSpec == nil {
			r.bad.Add(at.Key("caller_spec").Fault("missing_spec", "an id stands for a spec", "send caller_spec"))
			continue
		}
		named := *z.CallerSpec
		named.Key = z.ID
		if s, ok := named.ToSpec(at.Key("caller_spec"), &r.bad); ok && s.Unit.Kind() != quantity.LengthKind && s.Kind == spec.Dimension {
			r.bad.Add(at.Key("caller_spec").Key("unit").Fault("unit_of_wrong_kind", "a dimension is a length", "send mm, um, in or thou"))
		}
		r.own[z.ID] = &named
	}
	return ids
}

func id(s string, at wire.At, bad *fault.List) {
	if s == "" || utf8.RuneCountInString(s) > wire.MaxName {
		bad.Add(at.Fault("bad_id", "this is no id", "send a name of 1 to 64 characters"))
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
		bad.Add(at.Key("max_pieces").Fault("lower_over_upper", "min_pieces is over max_pieces", "exchange them"))
	}
	out.Against, _ = wire.Word(p.Against, at.Key("against"), bad, "circlip", "rotating")
	if !wire.Limit(len(p.PerMM), MaxEffects, at.Key("per_mm"), bad) {
		return out
	}
	if len(p.PerMM) == 0 {
		bad.Add(at.Key("per_mm").Fault("missing_change", "a place says what a millimetre there changes", `send per_mm [{"spec":"…","change":-1}]`))
	}
	seen := map[string]bool{}
	for i, e := range p.PerMM {
		at := at.Key("per_mm").Index(i)
		if !ids[e.Spec] {
			bad.Add(at.Key("spec").Fault("unknown_spec", "the set has no spec "+fault.Quote(e.Spec), "name the id of one of its specs"))
		}
		if seen[e.Spec] {
			bad.Add(at.Key("spec").Fault("id_twice", "the spec "+fault.Quote(e.Spec)+" stands twice", "send one change for each spec"))
		}
		seen[e.Spec] = true
		d, ok := e.Change.Decimal(at.Key("change"), 9, bad)
		if ok && (d.Cmp(quantity.NewDecimal(1000, 0)) > 0 || d.Cmp(quantity.NewDecimal(-1000, 0)) < 0) {
			bad.Add(at.Key("change").Fault("out_of_range", d.String()+" is no change per millimetre", "send -1 for a plain stack, and at most 1000"))
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
		bad.Add(at.Fault("bad_serial", fault.Quote(s)+" is no serial number", "send its digits"))
		return ""
	}
	return s
}

func (c *CallerShimsRequest) offset(s *spec.ShimSet, at wire.At, bad *fault.List) {
	o := c.Offset
	if len(o.Between) == 0 {
		if o.Limit.Present() {
			bad.Add(at.Key("between").Fault("missing_place", "an offset lies between two places", `send between ["…","…"]`))
		}
		return
	}
	if len(o.Between) != 2 || o.Between[0] == o.Between[1] {
		bad.Add(at.Key("between").Fault("missing_place", "an offset lies between two places", "name two different places"))
		return
	}
	for i, p := range o.Between {
		if !hasPlace(s, p) {
			bad.Add(at.Key("between").Index(i).Fault("unknown_place", "the set has no place "+fault.Quote(p), "send two of: "+placesOf(s)))
		}
		s.Offset.Between[i] = p
	}
	if o.Limit.Present() {
		d, ok := o.Limit.In(s.Unit, at.Key("limit"), bad)
		if ok && d.Sign() < 0 {
			bad.Add(at.Key("limit").Fault("negative", "a limit of an offset is never negative", "send 0 or more"))
		}
		s.Offset.Limit, s.Offset.HasLimit = d, ok
	}
}

// published is a set of the catalogue for the engine of the request; undecided says that it differs between variants and
// none was named.
func (r *reader) published(key string, at wire.At) (set *spec.ShimSet, undecided bool) {
	entry, ok := r.rev.Shims(spec.Key(key))
	if !ok {
		detail := "no shim set has the key " + fault.Quote(key)
		if f, has := r.rev.FamilyOf(spec.Key(key)); has {
			if near, has := f.NearestShims(spec.Key(key)); has {
				detail += "; the nearest is " + near
			}
		}
		r.bad.Add(at.Fault("unknown_shims", detail, "a component lists its shim sets"))
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
			r.bad.Add(wire.At("/engine_number").Fault(n.Code, "the engine number "+fault.Quote(r.engine.EngineNumber)+" belongs to the family "+n.Get("family"),
				"name the shims of that family, or leave the number out"))
		}
	}
	return sel
}
