package catalogue

import (
	"slices"

	"endfloat/service/spec"
)

// RungUse is a size of a ladder with the shim set that it serves.
type RungUse struct {
	Family    *Family
	Component *Component
	Shims     *spec.ShimSet
	Rung      spec.Rung
	Variant   string // only where an override of this variant lists the size
	Mark      string // only where an override of this mark lists it
	Thinner   *spec.Rung
	Thicker   *spec.Rung
}

// PartView is everything a shop page says about a SKU.
type PartView struct {
	SKU          string
	Name         spec.Text
	Uses         []PartUse
	Rungs        []RungUse
	Specs        []*Entry // that involve the part, torques apart
	Torques      []*Entry // of its fasteners
	Companions   []string // to be renewed or fitted with it, in order of first mention
	SupersededBy string   // the next one; empty: it is current
	Successor    string   // the one at the end of the chain; empty: it is current
	Supersedes   []string // the ones it replaces, sorted
}

// addRungs files every size of a shim set under its SKU; sizes that an override lists again unchanged stand once.
func (r *Revision) addRungs(f *Family, c *Component, e *ShimEntry) {
	r.addLadder(f, c, e.Base, "", "")
	for _, o := range e.Overrides {
		if !slices.Equal(o.Shims.Ladder, e.Base.Ladder) {
			r.addLadder(f, c, o.Shims, o.Variant, o.Mark)
		}
	}
}

func (r *Revision) addLadder(f *Family, c *Component, s *spec.ShimSet, variant, mark string) {
	for i, g := range s.Ladder {
		if g.SKU == "" {
			continue
		}
		u := RungUse{Family: f, Component: c, Shims: s, Rung: g, Variant: variant, Mark: mark}
		u.Thinner, u.Thicker = neighbours(s.Ladder, i)
		r.rungs[g.SKU] = append(r.rungs[g.SKU], u)
	}
}

// neighbours are the next sizes down and up that are not superseded.
func neighbours(ladder []spec.Rung, at int) (thinner, thicker *spec.Rung) {
	own := ladder[at].Thickness
	for i := range ladder {
		g := &ladder[i]
		switch c := g.Thickness.Cmp(own); {
		case g.SupersededBy != "":
		case c < 0 && (thinner == nil || g.Thickness.Cmp(thinner.Thickness) > 0):
			thinner = g
		case c > 0 && (thicker == nil || g.Thickness.Cmp(thicker.Thickness) < 0):
			thicker = g
		}
	}
	return thinner, thicker
}

// indexSuccession collects who replaces whom, from either side of the statement.
func (r *Revision) indexSuccession() {
	add := func(newer, older string) {
		if newer != "" && older != "" && !slices.Contains(r.older[newer], older) {
			r.older[newer] = append(r.older[newer], older)
			if r.newer[older] == "" || newer < r.newer[older] {
				r.newer[older] = newer
			}
		}
	}
	for sku, uses := range r.parts {
		for _, u := range uses {
			add(u.Part.SupersededBy, sku)
			for _, o := range u.Part.Supersedes {
				add(sku, o)
			}
		}
	}
	for sku, uses := range r.rungs {
		for _, u := range uses {
			add(u.Rung.SupersededBy, sku)
		}
	}
	for _, list := range r.older {
		slices.Sort(list)
	}
}

// PartView gathers what is known about a SKU. One that is only named as replaced has nothing but its successor. ok is
// false where nothing names it.
func (r *Revision) PartView(sku string) (v PartView, ok bool) {
	v = PartView{SKU: sku, Uses: r.parts[sku], Rungs: r.rungs[sku], Supersedes: r.older[sku]}
	if len(v.Uses) == 0 && len(v.Rungs) == 0 && r.newer[sku] == "" {
		return PartView{}, false
	}
	for _, u := range v.Uses {
		if v.Name.Empty() {
			v.Name = u.Part.Name
		}
		for _, c := range u.Part.Companions {
			if !slices.Contains(v.Companions, c) {
				v.Companions = append(v.Companions, c)
			}
		}
		for _, k := range u.Part.Specs {
			v.involve(r.entry(k))
		}
	}
	for _, u := range v.Rungs {
		if v.Name.Empty() {
			v.Name = u.Shims.Name
		}
		for _, p := range u.Shims.Places {
			for _, x := range p.PerMM {
				v.involve(r.entry(x.Spec))
			}
		}
	}
	v.SupersededBy, v.Successor = r.next(sku), r.successor(sku)
	return v, true
}

// entry is the spec with that key, nil where there is none.
func (r *Revision) entry(key spec.Key) *Entry { return r.holds(key).specs[key] }

func (v *PartView) involve(e *Entry) {
	switch {
	case e == nil || slices.Contains(v.Specs, e) || slices.Contains(v.Torques, e):
	case e.Base.Kind == spec.Torque:
		v.Torques = append(v.Torques, e)
	default:
		v.Specs = append(v.Specs, e)
	}
}

// next is the SKU that replaces one; empty where none does.
func (r *Revision) next(sku string) string {
	for _, u := range r.parts[sku] {
		if u.Part.SupersededBy != "" {
			return u.Part.SupersededBy
		}
	}
	for _, u := range r.rungs[sku] {
		if u.Rung.SupersededBy != "" {
			return u.Rung.SupersededBy
		}
	}
	return r.newer[sku]
}

// successor follows a chain to its end; a chain that comes back to itself ends where it would repeat.
func (r *Revision) successor(sku string) string {
	seen := []string{sku}
	for n := r.next(sku); n != "" && !slices.Contains(seen, n); n = r.next(n) {
		seen = append(seen, n)
	}
	if len(seen) == 1 {
		return ""
	}
	return seen[len(seen)-1]
}

// Latest is the SKU that is sold now in place of one; itself where nothing replaces it.
func (r *Revision) Latest(sku string) string {
	if n := r.successor(sku); n != "" {
		return n
	}
	return sku
}

// HasSKU reports whether a part or a size of a ladder has that SKU, or one that it replaces, or one that replaces it.
func (r *Revision) HasSKU(sku string) bool {
	return len(r.parts[sku]) > 0 || len(r.rungs[sku]) > 0 || r.newer[sku] != "" || len(r.older[sku]) > 0
}

// SKUs lists every SKU of parts and ladders, in byte order.
func (r *Revision) SKUs() []string {
	out := make([]string, 0, len(r.parts)+len(r.rungs))
	for s := range r.parts {
		out = append(out, s)
	}
	for s := range r.rungs {
		if r.parts[s] == nil {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return out
}

// NearestSKU is a SKU that was perhaps meant.
func (r *Revision) NearestSKU(sku string) (string, bool) {
	return Nearest(sku, slices.Values(r.SKUs()))
}
