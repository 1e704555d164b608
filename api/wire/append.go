package wire

import "endfloat/api/compact"

// MemberIf is the member of an object that holds the number, where there is one.
func (d *Decimal) MemberIf(o *compact.Object, key string) {
	if d.set {
		o.Put(d.dec.Append(o.At(key)))
	}
}

// MemberIf is the member of an object that holds the interval, where there is one.
func (v *Band) MemberIf(o *compact.Object, key string) {
	if *v == (Band{}) {
		return
	}
	p := o.Nest(key)
	v.Lower.MemberIf(&p, "lower")
	v.Upper.MemberIf(&p, "upper")
	o.PutIf(&p)
}

// MemberIf is the member of an object that holds the tolerance, where there is one.
func (p *SpecPolicy) MemberIf(o *compact.Object, key string) {
	if *p == (SpecPolicy{}) {
		return
	}
	q := o.Nest(key)
	p.Percent.MemberIf(&q, "percent")
	o.PutIf(&q)
}

// AppendJSON appends the note.
func (n *Note) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("code", n.Code)
	o.Text("text", n.Text)
	compact.List(&o, "params", n.Params, (*Param).AppendJSON)
	return o.Close()
}

// AppendJSON appends the value.
func (p *Param) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("name", p.Name)
	o.Text("value", p.Value)
	o.TextIf("unit", p.Unit)
	return o.Close()
}

// AppendJSON appends the caution.
func (c *Caution) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("code", c.Code)
	o.Int("severity", c.Severity)
	o.Text("text", c.Text)
	return o.Close()
}

// AppendJSON appends the alternative.
func (a *Alternative) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.TextIf("variant", a.Variant)
	o.TextIf("mark", a.Mark)
	o.Text("name", a.Name)
	o.TextIf("unit", a.Unit)
	o.Int("decimals", a.Decimals)
	o.TextIf("value_form", a.ValueForm)
	a.Band.MemberIf(&o, "band")
	a.Target.MemberIf(&o, "target")
	a.WearLimit.MemberIf(&o, "wear_limit")
	o.Texts("cautions", a.Cautions)
	o.Put(a.Display.AppendJSON(o.At("display")))
	if a.Converted != (Converted{}) {
		o.Put(a.Converted.AppendJSON(o.At("converted")))
	}
	return o.Close()
}

// AppendJSON appends the strings.
func (d *Display) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("summary", d.Summary)
	o.TextIf("band", d.Band)
	o.TextIf("target", d.Target)
	o.TextIf("wear_limit", d.WearLimit)
	o.TextIf("hand", d.Hand)
	o.TextIf("details", d.Details)
	o.TextIf("source", d.Source)
	return o.Close()
}

// AppendJSON appends the limits.
func (c *Converted) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("unit", c.Unit)
	o.Int("decimals", c.Decimals)
	c.Band.MemberIf(&o, "band")
	c.Target.MemberIf(&o, "target")
	c.WearLimit.MemberIf(&o, "wear_limit")
	o.Put(c.Display.AppendJSON(o.At("display")))
	return o.Close()
}
