package sheet

import (
	"slices"

	"endfloat/service/judge"
	"endfloat/service/spec"
)

// order lists what is to be bought, in assembly order: parts that are always renewed and were not, and parts of lines
// that ask for a new one.
func (b *bench) order() {
	for _, p := range b.plan.Parts {
		sku := b.rev.Latest(p.Part.SKU)
		if b.isRenewed(p) {
			continue
		}
		o := Order{Part: p.Part, SKU: sku, Quantity: max(p.Part.Quantity, 1), Component: p.Component.Key}
		for _, k := range p.Part.Specs {
			if r := b.by[k]; r != nil && !r.Bad {
				if f, ok := lastRead(r); ok && f.Result.Action == judge.Replace {
					o.Specs = append(o.Specs, k)
				}
			}
		}
		switch {
		case len(o.Specs) > 0:
			o.Because = "replace"
		case p.Part.Renew:
			o.Because = "always_renew"
		default:
			continue
		}
		b.out.Order = append(b.out.Order, o)
	}
}

// isRenewed reports whether a part was renewed, or one of another size put in its place: undersize shells after a journal
// was ground are not fitted beside standard ones. A part of another size names its size, is not always renewed itself, and
// serves a spec of the part in the same component.
func (b *bench) isRenewed(p Part) bool {
	if b.renewed[b.rev.Latest(p.Part.SKU)] {
		return true
	}
	return slices.ContainsFunc(b.plan.Parts, func(o Part) bool {
		return o.Component == p.Component && o.Part.Size != "" && !o.Part.Renew && b.renewed[b.rev.Latest(o.Part.SKU)] &&
			slices.ContainsFunc(p.Part.Specs, func(k spec.Key) bool { return slices.Contains(o.Part.Specs, k) })
	})
}

// lastRead is the latest stage that was read.
func lastRead(r *Record) (Stage, bool) {
	if r.Built.Has {
		return r.Built, true
	}
	return r.Found, r.Found.Has
}

// notRenewed finds always-renew parts of what was built up again and not renewed: those of a line that was read as
// built, or of a component of which any line was, where the part names no spec.
func (b *bench) notRenewed() {
	for _, p := range b.plan.Parts {
		if !p.Part.Renew || b.isRenewed(p) {
			continue
		}
		if r := b.builtWith(p); r != nil {
			b.contradict(Contradiction{Note: noteOf("not_renewed", "sku", p.Part.SKU), Lines: []*Record{r}, Keys: []spec.Key{r.Key}, Blocks: true})
		}
	}
}

func (b *bench) builtWith(p Part) *Record {
	for i := range b.plan.Lines {
		l := &b.plan.Lines[i]
		if l.Component != p.Component || len(p.Part.Specs) > 0 && !slices.Contains(p.Part.Specs, l.Spec().Key) {
			continue
		}
		if r := b.by[l.Spec().Key]; r != nil && r.Built.Has && r.Built.Result.Basis != judge.Missing {
			return r
		}
	}
	return nil
}
