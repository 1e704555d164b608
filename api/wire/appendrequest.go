package wire

import (
	"endfloat/api/compact"
)

// AppendJSON appends the number as it was sent.
func (n *Number) AppendJSON(b []byte) []byte {
	if n.state != good {
		return compact.Quote(b, n.text())
	}
	return n.decimal().Append(b)
}

// AppendText appends the number as it was sent, whatever was sent for one, without quotes. One with fewer decimals than
// it is to show gets zeros.
func (n *Number) AppendText(b []byte, decimals int) []byte {
	if n.state != good {
		return append(b, n.text()...)
	}
	return n.decimal().Padded(decimals).Append(b)
}

// MemberIf is the member of an object that holds the number, where there is one.
func (n *Number) MemberIf(o *compact.Object, key string) {
	if n.state != absent {
		o.Put(n.AppendJSON(o.At(key)))
	}
}

// AppendJSON appends the mark.
func (m *MarkRequest) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("component", m.Component)
	o.Text("mark", m.Mark)
	return o.Close()
}

// AppendJSON appends the reading.
func (r *ReadingRequest) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	r.Value.MemberIf(&o, "value")
	compact.ListIf(&o, "repeats", r.Repeats, (*Number).AppendJSON)
	compact.ListIf(&o, "blades", r.Blades, (*BladeRequest).AppendJSON)
	o.TextIf("category", r.Category)
	o.TextIf("position", r.Position)
	o.IntIf("stage", r.Stage)
	r.Angle.MemberIf(&o, "angle")
	r.Running.MemberIf(&o, "running_torque")
	o.TextIf("how", r.How)
	return o.Close()
}

// AppendText appends what was read at the place, as it was sent and with at least so many decimals, with spaces between
// several figures.
func (r *ReadingRequest) AppendText(b []byte, decimals int) []byte {
	start := len(b)
	next := func() {
		if len(b) > start {
			b = append(b, ' ')
		}
	}
	if r.Value.Present() {
		b = r.Value.AppendText(b, decimals)
	}
	for i := range r.Repeats {
		next()
		b = r.Repeats[i].AppendText(b, decimals)
	}
	for i := range r.Blades {
		next()
		b = append(append(r.Blades[i].Size.AppendText(b, decimals), ':'), r.Blades[i].Feel...)
	}
	if r.Category != "" {
		next()
		b = append(b, r.Category...)
	}
	return b
}

// AppendJSON appends the blade.
func (l *BladeRequest) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Put(l.Size.AppendJSON(o.At("size")))
	o.Text("feel", l.Feel)
	return o.Close()
}

// MemberIf is the member of an object that holds the instrument, where anything was said of it.
func (q *InstrumentRequest) MemberIf(o *compact.Object, key string) {
	p := o.Nest(key)
	p.TextIf("id", q.ID)
	p.TextIf("kind", q.Kind)
	q.StandardUncertainty.MemberIf(&p, "standard_uncertainty")
	q.ExpandedUncertainty.MemberIf(&p, "expanded_uncertainty")
	q.K.MemberIf(&p, "k")
	q.Accuracy.MemberIf(&p, "accuracy")
	q.AccuracyPercent.MemberIf(&p, "accuracy_percent")
	p.TextIf("distribution", q.Distribution)
	q.Level.MemberIf(&p, "level")
	q.Resolution.MemberIf(&p, "resolution")
	compact.ListIf(&p, "blade_set", q.BladeSet, (*Number).AppendJSON)
	q.BladeTolerance.MemberIf(&p, "blade_tolerance")
	q.Range.memberIf(&p, "range")
	p.TextIf("directions", q.Directions)
	q.Correction.memberIf(&p, "correction")
	p.TextIf("calibration_due", q.CalibrationDue)
	o.PutIf(&p)
}

func (r *RangeRequest) memberIf(o *compact.Object, key string) {
	p := o.Nest(key)
	r.Lower.MemberIf(&p, "lower")
	r.Upper.MemberIf(&p, "upper")
	o.PutIf(&p)
}

func (c *Correction) memberIf(o *compact.Object, key string) {
	p := o.Nest(key)
	c.TipAngle.MemberIf(&p, "tip_angle_deg")
	c.ProbeRadius.MemberIf(&p, "probe_radius")
	c.PitchRadius.MemberIf(&p, "pitch_radius")
	p.TextIf("runout", c.Runout)
	o.PutIf(&p)
}
