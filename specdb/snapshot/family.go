package snapshot

import (
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

func (c *codec) family(f *catalogue.Family) {
	str(c, &f.Key)
	c.text(&f.Name)
	str(c, &f.Maker)
	c.text(&f.Description)
	strs(c, &f.Aliases)
	list(c, &f.Variants, variant)
	pointers(c, &f.Components, func(c *codec, x *catalogue.Component) { c.component(x, f) })
}

func variant(c *codec, v *catalogue.Variant) {
	str(c, &v.ID)
	c.text(&v.Name)
	c.text(&v.Feature)
	list(c, &v.Ranges, func(c *codec, r *catalogue.SerialRange) {
		str(c, &r.Prefix)
		c.uint(&r.From)
		c.uint(&r.To)
	})
}

func (c *codec) component(x *catalogue.Component, f *catalogue.Family) {
	str(c, &x.Key)
	c.text(&x.Name)
	strs(c, &x.Marks)
	c.text(&x.MarkPlace)
	strs(c, &x.Cautions)
	str(c, &x.Gate)
	strs(c, &x.Scopes)
	pointers(c, &x.Specs, func(c *codec, e *catalogue.Entry) { c.entry(e, x, f) })
	pointers(c, &x.Shims, func(c *codec, e *catalogue.ShimEntry) { c.shimEntry(e) })
	pointers(c, &x.Parts, func(c *codec, p *catalogue.Part) { c.part(p) })
}

func (c *codec) entry(e *catalogue.Entry, x *catalogue.Component, f *catalogue.Family) {
	c.spec(&e.Base, x, f)
	list(c, &e.Overrides, func(c *codec, o *catalogue.Override) {
		str(c, &o.Variant)
		str(c, &o.Mark)
		c.spec(&o.Spec, x, f)
	})
}

func (c *codec) shimEntry(e *catalogue.ShimEntry) {
	c.shims(&e.Base)
	list(c, &e.Overrides, func(c *codec, o *catalogue.ShimOverride) {
		str(c, &o.Variant)
		str(c, &o.Mark)
		c.shims(&o.Shims)
	})
}

func (c *codec) part(p *catalogue.Part) {
	str(c, &p.SKU)
	c.text(&p.Name)
	c.int(&p.Quantity)
	c.text(&p.Position)
	str(c, &p.Size)
	c.yes(&p.Renew)
	str(c, &p.SupersededBy)
	strs(c, &p.Supersedes)
	strs(c, &p.Specs)
	strs(c, &p.Companions)
	strs(c, &p.Variants)
}

func (c *codec) decidedBy(d *spec.DecidedBy) {
	str(c, &d.Variant)
	str(c, &d.Mark)
}

func (c *codec) shims(p **spec.ShimSet) {
	if !c.writing {
		*p = &spec.ShimSet{}
	}
	s := *p
	str(c, &s.Key)
	c.text(&s.Name)
	str(c, &s.Unit)
	c.int(&s.Decimals)
	list(c, &s.Places, func(c *codec, p *spec.Place) {
		str(c, &p.ID)
		c.text(&p.Name)
		c.int(&p.MinPieces)
		c.int(&p.MaxPieces)
		str(c, &p.Against)
		list(c, &p.PerMM, func(c *codec, e *spec.Effect) {
			str(c, &e.Spec)
			c.decimal(&e.Change)
		})
	})
	str(c, &s.Offset.Between[0])
	str(c, &s.Offset.Between[1])
	c.maybe(&s.Offset.HasLimit, &s.Offset.Limit)
	strs(c, &s.WearOf)
	list(c, &s.Ladder, func(c *codec, r *spec.Rung) {
		c.decimal(&r.Thickness)
		c.limits(&r.Tolerance)
		str(c, &r.SKU)
		str(c, &r.SupersededBy)
		str(c, &r.FromSerial)
		str(c, &r.ToSerial)
	})
	c.yes(&s.GrindTo)
	strs(c, &s.Cautions)
	c.source(&s.Source)
	str(c, &s.RevisionDate)
	c.decidedBy(&s.DecidedBy)
}
