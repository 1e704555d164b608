package snapshot

import (
	"math"

	"endfloat/service/spec"
	"endfloat/specdb/manifest"
)

// head leaves out which revisions are withdrawn: saying so later must not rename anything.
func (c *codec) head(h *manifest.Head) {
	str(c, &h.Date)
	c.text(&h.Reason)
	p := &h.Defaults.Policy
	str(c, &p.Name)
	str(c, &p.Rule)
	str(c, &p.Guard)
	c.yes(&p.RequireUncertainty)
	if c.yes(&p.HasMinProbability); p.HasMinProbability {
		bits := math.Float64bits(p.MinProbability)
		c.uint(&bits)
		p.MinProbability = math.Float64frombits(bits)
	}
	list(c, &h.Defaults.Instruments, func(c *codec, i *spec.Instrument) {
		str(c, &i.Kind)
		c.text(&i.Name)
		str(c, &i.Unit)
		c.maybe(&i.HasStandard, &i.Standard)
		c.maybe(&i.HasPercent, &i.Percent)
		if c.yes(&i.HasSmall); i.HasSmall {
			c.decimal(&i.SmallMax)
			c.decimal(&i.SmallPercent)
		}
		c.maybe(&i.HasResolution, &i.Resolution)
		str(c, &i.Basis)
	})
	list(c, &h.Defaults.Cautions, func(c *codec, x *spec.Caution) {
		str(c, &x.Code)
		c.int(&x.Severity)
	})
}

func withdrawn(c *codec, w *manifest.Withdrawn) {
	str(c, &w.Revision)
	c.text(&w.Reason)
}
