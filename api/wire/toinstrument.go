package wire

import (
	"endfloat/service/fault"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// MaxBladeSet is the most blades of a declared set.
const MaxBladeSet = 100

// ToInstrument reads what was measured with, in unit u of the check; every violation is added to bad with its place.
// At most one figure of uncertainty is allowed, and none is negative.
func (i *InstrumentRequest) ToInstrument(u quantity.Unit, at At, bad *fault.List) measure.Instrument {
	out := measure.Instrument{ID: i.ID, Kind: i.Kind}
	Fits(i.ID, MaxName, bad, at, "id")
	Fits(i.Kind, MaxName, bad, at, "kind")
	i.oneFigure(at, bad)
	out.Standard = i.figure(i.StandardUncertainty, "standard_uncertainty", at, bad)
	out.Expanded = i.figure(i.ExpandedUncertainty, "expanded_uncertainty", at, bad)
	out.Accuracy = i.figure(i.Accuracy, "accuracy", at, bad)
	out.Percent = i.figure(i.AccuracyPercent, "accuracy_percent", at, bad)
	out.Resolution = i.figure(i.Resolution, "resolution", at, bad)
	i.coverage(&out, at, bad)
	i.shape(&out, at, bad)
	if Limit(len(i.BladeSet), MaxBladeSet, at.Key("blade_set"), bad) {
		for j, n := range i.BladeSet {
			at := at.Key("blade_set").Index(j)
			d, ok := n.In(u, at, bad)
			if ok && d.Sign() <= 0 {
				bad.Add(at.Fault("not_positive", note.New("found_no_blade_thick", note.Str("size", d.String()+" "+string(u))), note.New("fix_send_thickness_blade_over")))
			}
			out.BladeSet = append(out.BladeSet, d)
		}
	}
	if i.BladeTolerance.Present() {
		d, ok := i.BladeTolerance.In(u, at.Key("blade_tolerance"), bad)
		if ok && d.Sign() < 0 {
			bad.Add(at.Key("blade_tolerance").Fault("negative", note.New("found_tolerance_negative"), note.New("fix_send_one_figure_0")))
		}
		out.Tolerance = d
	}
	out.Range = i.Range.ToRange(at.Key("range"), u, bad)
	if out.Range.HasUpper {
		out.Maximum = measure.Some(out.Range.Upper.Float64())
	}
	out.Correction = i.Correction.read(u, at.Key("correction"), bad)
	way, _ := Word(i.Directions, at.Key("directions"), bad, Directions()...)
	out.Only = OnlyHand(way)
	return out
}

// Directions lists the words for the ways in which a torque tool works.
func Directions() []string { return []string{"both", "clockwise", "anticlockwise"} }

// OnlyHand is the hand of thread that a tool tightens which works in one direction; empty for one that works in both.
func OnlyHand(direction string) spec.Hand {
	switch direction {
	case "clockwise":
		return spec.Right
	case "anticlockwise":
		return spec.Left
	}
	return ""
}

func (i *InstrumentRequest) oneFigure(at At, bad *fault.List) {
	n := 0
	for _, f := range [...]Number{i.StandardUncertainty, i.ExpandedUncertainty, i.Accuracy, i.AccuracyPercent} {
		if f.Present() {
			n++
		}
	}
	if n > 1 {
		bad.Add(at.Fault("several_uncertainties", note.New("found_instrument_declared_one_figure"),
			note.New("fix_send_one_standard_uncertainty")))
	}
}

// figure reads one number that is never negative. It is an estimate and may have up to nine fractional digits.
func (i *InstrumentRequest) figure(n Number, key string, at At, bad *fault.List) measure.Figure {
	if !n.Present() {
		return measure.Figure{}
	}
	d, ok := n.Decimal(at.Key(key), 9, bad)
	if !ok {
		return measure.Figure{}
	}
	if d.Sign() < 0 {
		bad.Add(at.Key(key).Fault("negative", note.New("found_uncertainty_never_negative"), note.New("fix_send_zero_or_more")))
		return measure.Figure{}
	}
	if d.Float64() > quantity.Most {
		bad.Add(at.Key(key).Fault("number_out_of_range", note.New("found_out_of_range", note.Str("value", d.String())), note.New("fix_send_smaller_figure")))
		return measure.Figure{}
	}
	return measure.Some(d.Float64())
}

// coverage reads the factor k, which belongs to an expanded uncertainty and is over 0.
func (i *InstrumentRequest) coverage(out *measure.Instrument, at At, bad *fault.List) {
	if !i.K.Present() {
		return
	}
	k, ok := i.K.Float(at.Key("k"), bad)
	switch {
	case !ok:
	case !i.ExpandedUncertainty.Present():
		bad.Add(at.Key("k").Fault("k_alone", note.New("found_k_belongs_expanded_uncertainty"), note.New("fix_send_expanded_uncertainty_beside")))
	case k <= 0 || k > 100:
		bad.Add(at.Key("k").Fault("out_of_range", note.New("found_coverage_factor_over_0"), note.New("fix_send_k_certificate_names", note.Str("usual", "2"))))
	default:
		out.K = k
	}
}

// read is the correction of what an indicator shows: an angle from 0 to 80 degrees, both radii or neither, over 0.
func (c Correction) read(u quantity.Unit, at At, bad *fault.List) (out measure.Correction) {
	if c == (Correction{}) {
		return out
	}
	var ok bool
	if out.TipAngle, ok = optional(c.TipAngle, at.Key("tip_angle_deg"), quantity.Degree.MaxPlaces(), bad); ok &&
		(out.TipAngle.Sign() < 0 || out.TipAngle.Cmp(quantity.NewDecimal(80, 0)) > 0) {
		bad.Add(at.Key("tip_angle_deg").Fault("out_of_range", note.New("found_stylus_more_degrees_shows", note.Str("most", "80")), note.New("fix_send_angle_surface_degrees", note.Str("least", "0"), note.Str("most", "80"))))
	}
	if c.ProbeRadius.Present() != c.PitchRadius.Present() {
		bad.Add(at.Fault("radius_missing", note.New("found_reading_brought_one_radius"), note.New("fix_send_both_probe_radius")))
	}
	radius := func(n Number, key string) quantity.Decimal {
		if !n.Present() {
			return quantity.Decimal{}
		}
		d, ok := n.In(u, at.Key(key), bad)
		if ok && d.Sign() <= 0 {
			bad.Add(at.Key(key).Fault("not_positive", note.New("found_no_radius", note.Str("value", d.String())), note.New("fix_send_radius_over_0")))
		}
		return d
	}
	out.Probe, out.Pitch = radius(c.ProbeRadius, "probe_radius"), radius(c.PitchRadius, "pitch_radius")
	out.Runout, _ = Word(measure.Runout(c.Runout), at.Key("runout"), bad, measure.OffsetToTIR, measure.TIRToOffset)
	return out
}
