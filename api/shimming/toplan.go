package shimming

import (
	"slices"
	"strconv"

	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// reader reads one request; it collects all that is wrong with it.
type reader struct {
	req     *PlanRequest
	in      *rim.Request
	rev     *catalogue.Revision
	bench   *judging.Bench
	engine  catalogue.Selection
	unit    quantity.Unit
	own     map[string]*wire.CallerSpecRequest // the caller's specs by id
	sets    []*spec.ShimSet
	open    map[spec.Key]bool // specs of sets that differ between variants
	now     []judging.Result
	foreign bool
	bad     fault.List
}

// toPlan reads a request for a plan. The error lists every violation with its pointer.
func (h Handlers) toPlan(req *PlanRequest, in *rim.Request) (*reader, shim.Request, error) {
	r := &reader{req: req, in: in, rev: in.Revision, own: map[string]*wire.CallerSpecRequest{}, open: map[spec.Key]bool{}}
	wire.CheckSelection(req.Variant, req.EngineNumber, req.Marks, "", &r.bad)
	r.engine = wire.ToSelection(req.Variant, req.EngineNumber, req.Marks, catalogue.Selection{})
	r.bench = h.bench.Bench(in, judging.Ground{Engine: r.engine, Rule: req.Rule, Guard: req.Guard}, &r.bad)
	wire.Fits(req.Note, judging.MaxNote, &r.bad, "", "note")
	r.unit = quantity.Millimetre
	if u, ok := wire.Unit(req.Unit, quantity.Millimetre, "/unit", &r.bad); ok {
		r.unit = u
	}
	r.choose()
	out := shim.Request{Unit: r.unit, Trace: true, Fitted: r.fitted(), OnHand: r.stock(), Serial: digits(r.engine.EngineNumber)}
	out.Sets = r.states()
	r.demands(&out)
	out.Measured = r.measured()
	r.size()
	return r, out, r.bad.Err()
}

// choose reads the shim sets: exactly one of shims and caller_shims.
func (r *reader) choose() {
	req := r.req
	switch {
	case len(req.Shims) > 0 && len(req.CallerShims) > 0:
		r.bad.Add(wire.At("/caller_shims").Fault("two_shims", note.New("found_plan_made_shims_catalogue"), note.New("fix_send_either_shims")))
		return
	case len(req.Shims) == 0 && len(req.CallerShims) == 0:
		r.bad.Add(wire.At("/shims").Fault("missing_shims", note.New("found_plan_names_shims"), note.New("fix_send_shims_keys_catalogue")))
		return
	}
	if !wire.Limit(len(req.Shims), MaxSets, "/shims", &r.bad) || !wire.Limit(len(req.CallerShims), MaxSets, "/caller_shims", &r.bad) {
		return
	}
	for i, key := range req.Shims {
		at := wire.At("/shims").Index(i)
		set, undecided := r.published(key, at)
		if set == nil || !r.once(set, at) {
			continue
		}
		for _, p := range set.Places {
			for _, e := range p.PerMM {
				r.open[e.Spec] = r.open[e.Spec] || undecided
			}
		}
	}
	for i := range req.CallerShims {
		c, at := &req.CallerShims[i], wire.At("/caller_shims").Index(i)
		id(c.ID, at.Key("id"), &r.bad)
		r.once(c.own(r, at), at.Key("id"))
	}
}

// once keeps a set that was not named before.
func (r *reader) once(s *spec.ShimSet, at wire.At) bool {
	for _, o := range r.sets {
		if o.Key == s.Key {
			r.bad.Add(at.Fault("shims_twice", note.New("found_twice", note.Str("name", fault.Quote(string(s.Key)))), note.New("fix_name_each_set_once")))
			return false
		}
	}
	r.sets = append(r.sets, s)
	return true
}

// size holds the number of places of all sets to its limit.
func (r *reader) size() {
	n := 0
	for _, s := range r.sets {
		n += len(s.Places)
	}
	if n > MaxPlaces {
		r.bad.Add(fault.Violation{Code: "too_many", Detail: note.New("found_places_more_planned_together", note.Str("places", strconv.Itoa(n)), note.Str("most", strconv.Itoa(MaxPlaces))),
			Fix: note.New("fix_send_fewer_sets_time"), At: wire.At("").Place()})
	}
}

// setFor is the set that something names; with one set the name may be left out.
func (r *reader) setFor(name string, at wire.At) *spec.ShimSet {
	if name == "" {
		switch len(r.sets) {
		case 0:
			return nil
		case 1:
			return r.sets[0]
		}
		r.bad.Add(at.Key("shims").Fault("missing_shims", note.New("found_several_shim_sets_names"), note.New("fix_send_shims")))
		return nil
	}
	for _, s := range r.sets {
		if string(s.Key) == name {
			return s
		}
	}
	r.named(name, at.Key("shims"))
	return nil
}

// named faults a set that the request is not about.
func (r *reader) named(name string, at wire.At) {
	if name == "" || len(r.sets) == 0 {
		return
	}
	for _, s := range r.sets {
		if string(s.Key) == name {
			return
		}
	}
	r.bad.Add(at.Fault("unknown_shims", note.New("found_request_not_about_shims", note.Str("shims", fault.Quote(name))), note.New("fix_name_set_request")))
}

// states reads where the stacks stand now.
func (r *reader) states() []shim.Set {
	out := make([]shim.Set, len(r.sets))
	for i, s := range r.sets {
		out[i].Shims = s
	}
	if now, at := r.req.OffsetNow, wire.At("/offset_now"); now.Present() && len(out) == 1 {
		r.stands(&out[0], now, at)
	} else if now.Present() {
		if d, _ := now.In(r.unit, at, &r.bad); len(out) > 1 && d.Sign() != 0 {
			r.bad.Add(at.Fault("missing_shims", note.New("found_several_shim_sets_offset"), note.New("fix_send_sets_shims_offset")))
		}
	}
	if !wire.Limit(len(r.req.Sets), MaxSets, "/sets", &r.bad) {
		return out
	}
	seen := map[string]bool{}
	for i := range r.req.Sets {
		z, at := &r.req.Sets[i], wire.At("/sets").Index(i)
		set := r.setFor(z.Shims, at)
		if set == nil {
			continue
		}
		if seen[string(set.Key)] {
			r.bad.Add(at.Key("shims").Fault("shims_twice", note.New("found_twice", note.Str("name", fault.Quote(z.Shims))), note.New("fix_name_each_set_once")))
		}
		seen[string(set.Key)] = true
		if z.OffsetNow.Present() {
			r.stands(&out[slices.Index(r.sets, set)], z.OffsetNow, at.Key("offset_now"))
		}
	}
	return out
}

// stands reads where the stack of a set stands; who says it twice says the same. 0 is true of any set.
func (r *reader) stands(out *shim.Set, now wire.Number, at wire.At) {
	d, ok := now.In(r.unit, at, &r.bad)
	switch {
	case d.Sign() != 0 && out.Shims.Offset.Between[0] == "":
		r.bad.Add(at.Fault("no_offset", note.New("found_set_no_places_stand"), note.New("fix_leave_offset_now")))
	case ok && out.HasOffset && d.Cmp(out.OffsetNow) != 0:
		r.bad.Add(at.Fault("offset_twice", note.New("found_twice", note.Str("name", "offset_now")), note.New("fix_send_once")))
	}
	out.OffsetNow, out.HasOffset = d, ok
}

// demands reads how sure and how many the options are to be. A pinned policy stands against the request.
func (r *reader) demands(out *shim.Request) {
	req := r.req
	out.MaxOptions = shim.DefaultOptions
	if req.MaxOptions.Present() {
		out.MaxOptions = req.MaxOptions.Whole("/max_options", 1, MaxOptions, &r.bad)
	}
	out.Objective, _ = wire.Word(shim.Objective(req.Objective), "/objective", &r.bad, shim.Closest, shim.FewestNew)
	if req.MinProbability.Present() {
		d, ok := req.MinProbability.Decimal("/min_probability", 9, &r.bad)
		if ok && (d.Sign() < 0 || d.Cmp(quantity.NewDecimal(1, 0)) > 0) {
			r.bad.Add(wire.At("/min_probability").Fault("out_of_range", note.New("found_no_probability", note.Str("value", d.String())), note.New("fix_send_number_within", note.Str("least", "0"), note.Str("most", "1"))))
		}
		out.MinProbability, out.HasMin = d.Float64(), ok
	}
	if p := r.in.Policy; p.HasMinProbability && (r.in.Pinned || !out.HasMin) {
		out.MinProbability, out.HasMin = max(p.MinProbability, out.MinProbability), true
	}
}

// digits is the serial number at the end of an engine number; 0 where there is none.
func digits(number string) uint64 {
	at := len(number)
	for at > 0 && number[at-1] >= '0' && number[at-1] <= '9' {
		at--
	}
	n, err := strconv.ParseUint(number[at:], 10, 63)
	if err != nil {
		return 0
	}
	return n
}
