package lint

import (
	"slices"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// shims looks at whether a ladder can do what it is for.
func (c *checker) shims(s *spec.ShimSet, x *catalogue.Component) {
	key := string(s.Key)
	var sold []quantity.Decimal
	for _, g := range s.Ladder {
		if g.SupersededBy == "" {
			sold = append(sold, g.Thickness)
		}
		if g.SKU == "" {
			c.add(Warning, key, "size_without_number", "the size "+g.Thickness.String()+" cannot be ordered", "add its sku")
		}
	}
	if len(sold) == 0 {
		c.add(Error, key, "unreachable_ladder", "every size is superseded and no successor is listed", "add the sizes that are sold")
		return
	}
	for _, p := range s.Places {
		for _, m := range p.PerMM {
			e := entry(x, m.Spec)
			if e == nil {
				continue
			}
			if e.Base.AdjustedBy != s.Key {
				c.add(Warning, key, "one_sided_reference", string(m.Spec)+" does not say that this set adjusts it", "add adjusted_by to the spec")
			}
			if e.Base.Unit != s.Unit {
				c.add(Warning, key, "mixed_units", "sizes stand in "+string(s.Unit)+" and "+string(m.Spec)+" in "+string(e.Base.Unit), "keep each as it was published, and make sure that it was")
			}
			if len(s.Places) == 1 && len(p.PerMM) == 1 {
				c.steps(s, p, m, e.Base, sold)
			}
		}
	}
}

func entry(x *catalogue.Component, key spec.Key) *catalogue.Entry {
	for _, e := range x.Specs {
		if e.Base.Key == key {
			return e
		}
	}
	return nil
}

// steps finds a step of a single place of one piece that is wider than the band, which it can jump over.
func (c *checker) steps(s *spec.ShimSet, p spec.Place, m spec.Effect, base *spec.Spec, sold []quantity.Decimal) {
	if p.MaxPieces != 1 || !base.Band.TwoSided() || base.Unit != s.Unit {
		return
	}
	slices.SortFunc(sold, quantity.Decimal.Cmp)
	width := base.Band.Upper.Exact().Sub(base.Band.Lower.Exact())
	for i := 1; i < len(sold); i++ {
		step := sold[i].Exact().Sub(sold[i-1].Exact()).Mul(m.Change.Exact()).Abs()
		if width.Less(step) {
			c.add(Warning, string(s.Key), "coarse_ladder", "the step from "+sold[i-1].String()+" to "+sold[i].String()+" can jump over the band of "+string(base.Key), "some engines cannot be shimmed; add sizes if there are any")
			return
		}
	}
}
