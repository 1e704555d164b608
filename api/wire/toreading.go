package wire

import (
	"strconv"

	"endfloat/service/fault"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// Most entries of the lists in a reading.
const (
	MaxReadings = 100
	MaxRepeats  = 100
	MaxBlades   = 40
)

// Readings reads the places of a check in unit u; every violation is added to bad with its place. All readings of a
// check are of one kind: values, repeats, blades or categories. A reading that says nothing stays blank.
func Readings(list []ReadingRequest, u quantity.Unit, at At, bad *fault.List) []measure.Reading {
	if !Limit(len(list), MaxReadings, at, bad) {
		return nil
	}
	out := make([]measure.Reading, len(list))
	kind := ""
	for i := range list {
		r := &list[i]
		at := at.Index(i)
		own, ok := r.kind(at, bad)
		if !ok {
			continue
		}
		if kind == "" {
			kind = own
		}
		if own != "" && own != kind {
			bad.Add(at.Fault("mixed_readings", note.New("found_reading_first", note.Str("own", own), note.Str("first", kind)), note.New("fix_send_readings_one_kind")))
			continue
		}
		out[i] = r.reading(u, at, bad)
	}
	return out
}

// kind names which of the four a reading is; empty for a blank one. More than one is a fault.
func (r *ReadingRequest) kind(at At, bad *fault.List) (kind string, ok bool) {
	n := 0
	for _, k := range [...]struct {
		name string
		has  bool
	}{{"value", r.Value.Present()}, {"repeats", len(r.Repeats) > 0}, {"blades", len(r.Blades) > 0}, {"category", r.Category != ""}} {
		if k.has {
			kind = k.name
			n++
		}
	}
	if n > 1 {
		bad.Add(at.Fault("several_readings", note.New("found_reading_one_value_repeats"), note.New("fix_send_one_them_reading")))
	}
	return kind, n <= 1
}

func (r *ReadingRequest) reading(u quantity.Unit, at At, bad *fault.List) measure.Reading {
	out := measure.Reading{Category: r.Category, Position: r.Position, Stage: r.Stage}
	if r.Value.Present() {
		out.Value, out.HasValue = r.Value.In(u, at.Key("value"), bad)
	}
	if Limit(len(r.Repeats), MaxRepeats, at.Key("repeats"), bad) && len(r.Repeats) > 0 {
		out.Repeats = make([]quantity.Decimal, len(r.Repeats))
		for i, n := range r.Repeats {
			out.Repeats[i], _ = n.In(u, at.Key("repeats").Index(i), bad)
		}
	}
	out.Blades = Blades(r.Blades, u, at.Key("blades"), bad)
	Fits(r.Category, MaxName, bad, at, "category")
	Fits(r.Position, MaxName, bad, at, "position")
	out.Angle, out.HasAngle = optional(r.Angle, at.Key("angle"), quantity.Degree.MaxPlaces(), bad)
	if r.Running.Present() {
		out.Running, out.HasRunning = r.Running.In(u, at.Key("running_torque"), bad)
	}
	out.How, _ = Word(r.How, at.Key("how"), bad, "measured", "estimated", "check")
	return out
}

// Blades reads the blades of one place.
func Blades(list []BladeRequest, u quantity.Unit, at At, bad *fault.List) []measure.Blade {
	if len(list) == 0 || !Limit(len(list), MaxBlades, at, bad) {
		return nil
	}
	out := make([]measure.Blade, len(list))
	for i, b := range list {
		at := at.Index(i)
		size, ok := b.Size.In(u, at.Key("size"), bad)
		if ok && size.Sign() <= 0 {
			bad.Add(at.Key("size").Fault("not_positive", note.New("found_no_blade_thick", note.Str("size", size.String()+" "+string(u))), note.New("fix_send_thickness_blade_over")))
		}
		if b.Feel == "" {
			bad.Add(at.Key("feel").Fault("missing_feel", note.New("found_blade_says_went"), note.New("fix_send_feel_free_drag")))
		}
		feel, _ := Word(measure.Feel(b.Feel), at.Key("feel"), bad, measure.Free, measure.Drag, measure.Forced, measure.Refused)
		out[i] = measure.Blade{Size: size, Feel: feel}
	}
	return out
}

// In is the number as a quantity in unit u, within what a length or a torque may be.
func (n Number) In(u quantity.Unit, at At, bad *fault.List) (quantity.Decimal, bool) {
	d, ok := n.Decimal(at, u.MaxPlaces(), bad)
	if !ok {
		return d, false
	}
	if ok = quantity.InRange(d, u); !ok {
		bad.Add(at.Fault("number_out_of_range", note.New("found_out_of_range", note.Str("value", d.String()+" "+string(u))), note.New("fix_length_or_number_at_most", note.Str("length", "10"), note.Str("most", strconv.Itoa(quantity.Most)))))
	}
	return d, ok
}
