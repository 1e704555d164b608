package wire

import (
	"endfloat/service/fault"
	"endfloat/service/measure"
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
				bad.Add(at.Fault("not_positive", "no blade is "+d.String()+" "+string(u)+" thick", "send the thickness of the blade, over 0"))
			}
			out.BladeSet = append(out.BladeSet, d)
		}
	}
	if i.BladeTolerance.Present() {
		d, ok := i.BladeTolerance.In(u, at.Key("blade_tolerance"), bad)
		if ok && d.Sign() < 0 {
			bad.Add(at.Key("blade_tolerance").Fault("negative", "a tolerance is never negative", "send ± as one figure of 0 or more"))
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
		bad.Add(at.Fault("several_uncertainties", "an instrument is declared by one figure",
			"send one of standard_uncertainty, expanded_uncertainty, accuracy and accuracy_percent"))
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
		bad.Add(at.Key(key).Fault("negative", "an uncertainty is never negative", "send 0 or more"))
		return measure.Figure{}
	}
	if d.Float64() > mostOther {
		bad.Add(at.Key(key).Fault("number_out_of_range", d.String()+" is out of range", "send a smaller figure"))
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
		bad.Add(at.Key("k").Fault("k_alone", "k belongs to an expanded uncertainty", "send expanded_uncertainty beside it, or leave it out"))
	case k <= 0 || k > 100:
		bad.Add(at.Key("k").Fault("out_of_range", "a coverage factor is over 0", "send the k that the certificate names, usually 2"))
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
		bad.Add(at.Key("tip_angle_deg").Fault("out_of_range", "a stylus at more than 80 degrees shows nothing useful", "send its angle to the surface, from 0 to 80 degrees"))
	}
	if c.ProbeRadius.Present() != c.PitchRadius.Present() {
		bad.Add(at.Fault("radius_missing", "a reading is brought from one radius to another", "send both probe_radius and pitch_radius"))
	}
	radius := func(n Number, key string) quantity.Decimal {
		if !n.Present() {
			return quantity.Decimal{}
		}
		d, ok := n.In(u, at.Key(key), bad)
		if ok && d.Sign() <= 0 {
			bad.Add(at.Key(key).Fault("not_positive", "no radius is "+d.String(), "send a radius over 0"))
		}
		return d
	}
	out.Probe, out.Pitch = radius(c.ProbeRadius, "probe_radius"), radius(c.PitchRadius, "pitch_radius")
	out.Runout, _ = Word(measure.Runout(c.Runout), at.Key("runout"), bad, measure.OffsetToTIR, measure.TIRToOffset)
	return out
}
