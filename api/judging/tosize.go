package judging

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// measured reads what was measured into the row's check.
func (c *CheckRequest) measured(r *row) {
	s, at, bad := r.check.Spec, r.at, &r.bad
	if len(c.Sizes) > 0 && len(c.Readings) > 0 {
		bad.Add(at.Key("sizes").Fault("readings_and_sizes", note.New("found_check_readings_value"), note.New("fix_send_one_readings_sizes")))
		return
	}
	if len(c.Readings) > wire.MaxReadings || !wire.Limit(len(c.Sizes), MaxSizes, at.Key("sizes"), bad) {
		wire.Limit(len(c.Readings), wire.MaxReadings, at.Key("readings"), bad)
		return
	}
	unit, ok := c.unit(s, at, bad)
	if !ok {
		return
	}
	r.check.Unit = unit
	r.check.Instrument = c.Instrument.ToInstrument(unit, at.Key("instrument"), bad)
	r.check.Readings = wire.Readings(c.Readings, unit, at.Key("readings"), bad)
	fits(r.check.Readings, s, at.Key("readings"), bad)
	for i := range c.Sizes {
		r.check.Sizes = append(r.check.Sizes, c.Sizes[i].toSize(s, unit, at.Key("sizes").Index(i), bad))
	}
	if len(c.Sizes) > 0 && (s.Kind == spec.Torque || s.Kind == spec.Category) {
		bad.Add(at.Key("sizes").Fault("wrong_reading", note.New("found_spec_not_made_sizes"), note.New("fix_send_readings")))
	}
	allParts(s, r.check.Sizes, at.Key("sizes"), bad)
}

// unit reads the unit of the readings. It may only be left out where nothing was read or where words are judged.
func (c *CheckRequest) unit(s *spec.Spec, at wire.At, bad *fault.List) (quantity.Unit, bool) {
	if s.Kind == spec.Category || s.ValueForm == spec.OutOfScope || c.Unit == "" && c.blank() {
		return s.Unit, true
	}
	return wire.Unit(c.Unit, s.Unit, at.Key("unit"), bad)
}

func (c *CheckRequest) blank() bool {
	for i := range c.Readings {
		if r := &c.Readings[i]; r.Value.Present() || len(r.Repeats) > 0 || len(r.Blades) > 0 || r.Category != "" {
			return false
		}
	}
	return len(c.Sizes) == 0
}

// fits holds the kind of the readings against the kind of the spec.
func fits(list []measure.Reading, s *spec.Spec, at wire.At, bad *fault.List) {
	for i := range list {
		r := &list[i]
		switch {
		case r.Blank():
		case s.Kind == spec.Category && r.Category == "":
			bad.Add(at.Index(i).Fault("wrong_reading", note.New("found_spec_judges_words_not"), note.New("fix_send_category")))
		case s.Kind != spec.Category && r.Category != "":
			bad.Add(at.Index(i).Key("category").Fault("wrong_reading", note.New("found_spec_judges_numbers_not"), note.New("fix_send_value")))
		case len(r.Blades) > 0 && s.Kind != spec.Dimension:
			bad.Add(at.Index(i).Key("blades").Fault("wrong_reading", note.New("found_blades_measure_gap_spec"), note.New("fix_send_value")))
		}
	}
}

func (z *SizeRequest) toSize(s *spec.Spec, u quantity.Unit, at wire.At, bad *fault.List) judge.Size {
	out := judge.Size{Part: z.Part, Sign: z.Sign.Whole(at.Key("sign"), -1, 1, bad)}
	if z.Part == "" || utf8.RuneCountInString(z.Part) > wire.MaxName {
		bad.Add(at.Key("part").Fault("bad_part", note.New("found_size_names_part"), note.New("fix_send_part_most_characters", note.Str("most", "64"))))
	}
	z.known(s, &out, at, bad)
	if out.Sign == 0 {
		bad.Add(at.Key("sign").Fault("missing_sign", note.New("found_size_added_or_taken"), note.New("fix_send_sign_1")))
	}
	out.Readings = wire.Readings(z.Readings, u, at.Key("readings"), bad)
	for i := range out.Readings {
		if r := &out.Readings[i]; r.Category != "" || len(r.Blades) > 0 {
			bad.Add(at.Key("readings").Index(i).Fault("wrong_reading", note.New("found_size_read_number"), note.New("fix_send_value_or_repeats")))
		}
	}
	out.Instrument = z.Instrument.ToInstrument(u, at.Key("instrument"), bad)
	z.temperatures(&out, at, bad)
	return out
}

// known takes sign and expansion of a part from the spec, where that lists its parts.
func (z *SizeRequest) known(s *spec.Spec, out *judge.Size, at wire.At, bad *fault.List) {
	if len(s.Sizes) == 0 {
		return
	}
	var names []string
	for _, p := range s.Sizes {
		if p.Part == z.Part {
			if out.Sign != 0 && out.Sign != p.Sign {
				bad.Add(at.Key("sign").Fault("wrong_sign", note.New("found_enters_spec_sign", note.Str("part", p.Part), note.Str("sign", strconv.Itoa(p.Sign))), note.New("fix_leave_sign")))
			}
			out.Sign = p.Sign
			out.Expansion, out.HasExp = p.ExpansionPerK, p.HasExpansion
			return
		}
		names = append(names, p.Part)
	}
	bad.Add(at.Key("part").Fault("unknown_part", note.New("found_spec_no_part", note.Str("part", rim.Quote(z.Part))), note.New("fix_name_one_of", note.Str("list", strings.Join(names, ", ")))))
}

// allParts holds that every part of the spec is there once.
func allParts(s *spec.Spec, sizes []judge.Size, at wire.At, bad *fault.List) {
	if len(sizes) == 0 {
		return
	}
	seen := map[string]bool{}
	for i, z := range sizes {
		if seen[z.Part] {
			bad.Add(at.Index(i).Key("part").Fault("part_twice", note.New("found_part_stands_twice", note.Str("part", rim.Quote(z.Part))), note.New("fix_send_all_readings_part")))
		}
		seen[z.Part] = true
	}
	for _, p := range s.Sizes {
		if !seen[p.Part] {
			bad.Add(at.Fault("missing_part", note.New("found_size_missing", note.Str("part", p.Part)), note.New("fix_send_size_every_part")))
		}
	}
}

func (z *SizeRequest) temperatures(out *judge.Size, at wire.At, bad *fault.List) {
	out.Celsius, out.HasTemp = celsius(z.Temperature, at.Key("temperature_c"), bad)
	out.Gauge, out.HasGauge = celsius(z.InstrumentTemp, at.Key("instrument_temperature_c"), bad)
	if e, has := expansion(z.Expansion, at.Key("expansion_per_k"), bad); has {
		out.Expansion, out.HasExp = e, true
	}
	out.GaugeExp, out.HasGaugeExp = expansion(z.InstrumentExpan, at.Key("instrument_expansion_per_k"), bad)
	if out.HasTemp && !out.HasExp && out.Celsius.Cmp(quantity.NewDecimal(20, 0)) != 0 {
		bad.Add(at.Key("expansion_per_k").Fault("missing_expansion", note.New("found_size_away_deg_c", note.Str("celsius", "20")),
			note.New("fix_send_expansion_per_k", note.Str("steel", "0.0000115"), note.Str("alloy", "0.000023"), note.Str("percent", "5"))))
	}
}

// celsius is a temperature of a part or an instrument.
func celsius(n wire.Number, at wire.At, bad *fault.List) (quantity.Decimal, bool) {
	if !n.Present() {
		return quantity.Decimal{}, false
	}
	d, ok := n.Decimal(at, 9, bad)
	if ok && (d.Cmp(quantity.NewDecimal(coldest, 0)) < 0 || d.Cmp(quantity.NewDecimal(hottest, 0)) > 0) {
		bad.Add(at.Fault("out_of_range", note.New("found_out_of_range", note.Str("value", d.String())),
			note.New("fix_part_measured_between_deg", note.Count("least", coldest), note.Count("most", hottest))))
	}
	return d, ok
}

// Parts are measured between these, in °C.
const (
	coldest = -80
	hottest = 300
)

func expansion(n wire.Number, at wire.At, bad *fault.List) (quantity.Decimal, bool) {
	if !n.Present() {
		return quantity.Decimal{}, false
	}
	d, ok := n.Decimal(at, 9, bad)
	if ok && (d.Sign() < 0 || d.Cmp(quantity.NewDecimal(1, 3)) > 0) {
		bad.Add(at.Fault("out_of_range", note.New("found_per_k_no_expansion", note.Str("value", d.String())), note.New("fix_send_expansion_such_as", note.Str("example", "0.000023"))))
	}
	return d, ok
}
