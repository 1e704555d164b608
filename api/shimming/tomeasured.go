package shimming

import (
	"unicode/utf8"

	"endfloat/api/judging"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/shim"
)

// measured reads what was read of every spec, as checks are read, and judges it.
func (r *reader) measured() []shim.Measured {
	at := wire.At("/measured")
	if len(r.req.Measured) == 0 {
		r.bad.Add(at.Fault("missing_measured", note.New("found_plan_starts_measured"), note.New("fix_send_measured_spec_unit")))
	}
	if !wire.Limit(len(r.req.Measured), MaxSpecs, at, &r.bad) {
		return nil
	}
	var out []shim.Measured
	seen := map[string]bool{}
	for i := range r.req.Measured {
		m, at := &r.req.Measured[i], at.Index(i)
		if seen[m.Spec] {
			r.bad.Add(at.Key("spec").Fault("spec_twice", note.New("found_twice", note.Str("name", fault.Quote(m.Spec))), note.New("fix_send_all_readings_spec")))
			continue
		}
		seen[m.Spec] = true
		if one, ok := r.one(m, i, at); ok {
			out = append(out, one)
		}
	}
	return out
}

func (r *reader) one(m *MeasuredRequest, i int, at wire.At) (out shim.Measured, ok bool) {
	check := judging.CheckRequest{ID: m.Spec, Spec: m.Spec, Unit: m.Unit, Readings: m.Readings, Sizes: m.Sizes, Instrument: m.Instrument, How: m.How,
		Variant: r.req.Variant, EngineNumber: r.req.EngineNumber, Marks: r.req.Marks}
	if check.Unit == "" {
		check.Unit = r.req.Unit
	}
	if utf8.RuneCountInString(m.Spec) > judging.MaxID {
		check.ID = ""
	}
	switch {
	case m.Spec == "":
		r.bad.Add(at.Key("spec").Fault("missing_spec", note.New("found_measurement_names_spec"), note.New("fix_send_spec")))
		return out, false
	case len(r.req.CallerShims) > 0:
		own := r.own[m.Spec]
		if own == nil {
			r.bad.Add(at.Key("spec").Fault("unknown_spec", note.New("found_no_shim_set_request", note.Str("spec", fault.Quote(m.Spec))), note.New("fix_name_id_one_specs")))
			return out, false
		}
		if _, good := own.ToSpec("", &fault.List{}); !good {
			return out, false // faulted where it stands
		}
		check.Spec, check.CallerSpec = "", own
	}
	if r.wears(m.Spec) {
		check.Stage = judge.AsFound
	}
	_, _ = wire.Word(m.How, at.Key("how"), &r.bad, "measured", "estimated")
	before := r.bad.Len()
	row := r.bench.Read(&check, at)
	row.Faults(func(v fault.Violation) {
		if !r.shared(v, at) {
			r.bad.Add(v)
		}
	})
	out.Heat, out.HasHeat = m.Heat.read(r.unit, at.Key("expansion"), &r.bad)
	if r.bad.Len() != before {
		return out, false
	}
	now, asked, _ := r.bench.Judge(row, i)
	judged := *asked
	judged.Undecided = judged.Undecided || r.open[judged.Spec.Key]
	out.Check = judged
	r.now = append(r.now, *now)
	return out, true
}

// wears reports whether a spec says how far a part has worn that shims must not hide, and no shim adjusts it.
func (r *reader) wears(key string) bool {
	named := false
	for _, s := range r.sets {
		for _, p := range s.Places {
			for _, e := range p.PerMM {
				if string(e.Spec) == key {
					return false
				}
			}
		}
		for _, k := range s.WearOf {
			named = named || string(k) == key
		}
	}
	return named
}

// shared reports whether a violation is of what stands at the top of the request and was listed there.
func (r *reader) shared(v fault.Violation, at wire.At) bool {
	for _, key := range []string{"variant", "engine_number", "marks", "id"} {
		if p := string(at.Key(key)); v.At.Pointer == p || len(v.At.Pointer) > len(p) && v.At.Pointer[:len(p)+1] == p+"/" {
			return true
		}
	}
	return false
}

// read reads how the value grows when it is hot; all of it or nothing.
func (q *HeatRequest) read(unit quantity.Unit, at wire.At, bad *fault.List) (out shim.Heat, has bool) {
	if *q == (HeatRequest{}) {
		return out, false
	}
	out.Unit = unit
	if q.Unit != "" {
		out.Unit, _ = wire.Unit(q.Unit, quantity.Millimetre, at.Key("unit"), bad)
	}
	if out.Unit == "" {
		out.Unit = quantity.Millimetre
	}
	length, ok := q.Length.In(out.Unit, at.Key("length"), bad)
	if ok && length.Sign() <= 0 {
		bad.Add(at.Key("length").Fault("not_positive", note.New("found_nothing_long", note.Str("length", length.String())), note.New("fix_send_length_over_0")))
	}
	rise, ok := q.Rise.Decimal(at.Key("rise_k"), 6, bad)
	if ok && (rise.Cmp(quantity.NewDecimal(-500, 0)) < 0 || rise.Cmp(quantity.NewDecimal(1000, 0)) > 0) {
		bad.Add(at.Key("rise_k").Fault("out_of_range", note.New("found_no_engine_warms_up", note.Str("rise", rise.String())), note.New("fix_send_rise_cold_hot")))
	}
	out.Length, out.Rise = length, rise
	for _, e := range []struct {
		key string
		n   wire.Number
		to  *quantity.Decimal
	}{{"around_per_k", q.Around, &out.Around}, {"inside_per_k", q.Inside, &out.Inside}} {
		d, ok := e.n.Decimal(at.Key(e.key), 9, bad)
		if ok && (d.Sign() < 0 || d.Cmp(quantity.NewDecimal(1, 3)) > 0) {
			bad.Add(at.Key(e.key).Fault("out_of_range", note.New("found_per_k_no_expansion", note.Str("value", d.String())), note.New("fix_send_expansion_such_as", note.Str("example", "0.000023"))))
		}
		*e.to = d
	}
	return out, true
}
