package yamlfile

import (
	"fmt"
	"maps"
	"slices"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/manifest"
)

// join gathers the files and checks what lies between them.
func join(files []file, defaults catalogue.Defaults, beside []*catalogue.Family) (*Loaded, Faults) {
	out := &Loaded{Head: manifest.Head{Defaults: defaults}, Places: map[string]Place{}}
	owner := map[string]string{}
	for _, f := range files {
		maps.Copy(out.Places, f.reader.placed)
		switch {
		case f.head != nil:
			out.Head = *f.head
		case f.family == nil || f.family.Key == "":
		case owner[f.family.Key] != "":
			f.reader.fault(f.root, "duplicate_id", "the family "+f.family.Key+" stands in "+owner[f.family.Key]+" too", "give each family its own id")
		default:
			owner[f.family.Key] = f.name
			out.Families = append(out.Families, f.family)
			out.Files = append(out.Files, f.name)
		}
	}
	for _, f := range beside {
		if owner[f.Key] == "" {
			out.Families, out.Files = append(out.Families, f), append(out.Files, "")
		}
	}
	between(files, out)
	var faults Faults
	for _, f := range files {
		faults = append(faults, f.reader.faults...)
	}
	return out, faults[:min(len(faults), most)]
}

// between checks the part numbers and caution codes that files name.
func between(files []file, l *Loaded) {
	known, next := skus(l.Families)
	for _, f := range files {
		for _, x := range f.reader.skus {
			switch {
			case !known[x.name]:
				f.reader.fault(x.at, "dangling_reference", "nothing has the part number "+x.name, "list the part, or the size in a ladder")
			case circular(x.name, next):
				f.reader.fault(x.at, "circular_supersession", x.name+" is in the end superseded by itself", "let the chain end at the part that is sold")
			}
		}
		for _, x := range f.reader.codes {
			if !slices.ContainsFunc(l.Defaults.Cautions, func(c spec.Caution) bool { return c.Code == x.name }) {
				f.reader.fault(x.at, "unknown_caution", fmt.Sprintf("the caution %q has no severity", x.name), "list it under cautions in "+HeadFile+", or use a known one")
			}
		}
	}
}

// skus is every part number that a part or a size has, and by which each of those replaced was replaced.
func skus(families []*catalogue.Family) (known map[string]bool, next map[string]string) {
	known, next = map[string]bool{}, map[string]string{}
	add := func(sku, by string) {
		known[sku] = true
		if by != "" {
			next[sku] = by
		}
	}
	for _, f := range families {
		for _, c := range f.Components {
			for _, p := range c.Parts {
				add(p.SKU, p.SupersededBy)
			}
			for _, e := range c.Shims {
				for _, g := range e.Base.Ladder {
					add(g.SKU, g.SupersededBy)
				}
				for _, o := range e.Overrides {
					for _, g := range o.Shims.Ladder {
						add(g.SKU, g.SupersededBy)
					}
				}
			}
		}
	}
	return known, next
}

// circular follows a chain until it ends or comes back.
func circular(sku string, next map[string]string) bool {
	at := sku
	for range len(next) {
		if at = next[at]; at == "" {
			return false
		}
		if at == sku {
			return true
		}
	}
	return false
}
