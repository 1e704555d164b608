package yamlfile

import (
	"slices"
	"strconv"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// family reads one family.
func (r *reader) family(n *yaml.Node) *catalogue.Family {
	m := r.entries(n, "family", "name", "maker", "description", "aliases", "source", "variants", "components")
	if !r.need(m, "family", "name", "source", "components") {
		return nil
	}
	f := &catalogue.Family{Key: r.slug(m.get("family")), Name: r.text(m.get("name")), Maker: r.str(m.get("maker")),
		Description: r.text(m.get("description")), Aliases: r.strs(m.get("aliases"))}
	source := r.source(m.get("source"))
	for _, e := range r.list(m.get("variants")) {
		v := r.variant(e)
		if f.HasVariant(v.ID) {
			r.fault(e, "duplicate_id", "the variant "+v.ID+" stands twice", "give each variant its own id")
		}
		f.Variants = append(f.Variants, v)
	}
	seen := map[string]bool{}
	for _, e := range r.list(m.get("components")) {
		if c := r.component(e, f, source); c != nil {
			if seen[c.Key] {
				r.fault(e, "duplicate_id", "the component "+c.Key+" stands twice", "give each component its own id")
			}
			seen[c.Key] = true
			f.Components = append(f.Components, c)
		}
	}
	return f
}

func (r *reader) variant(n *yaml.Node) catalogue.Variant {
	m := r.entries(n, "id", "name", "ranges", "feature")
	r.need(m, "id")
	v := catalogue.Variant{ID: r.slug(m.get("id")), Name: r.text(m.get("name")), Feature: r.text(m.get("feature"))}
	for _, e := range r.list(m.get("ranges")) {
		rm := r.entries(e, "prefix", "from", "to")
		r.need(rm, "prefix", "from")
		s := catalogue.SerialRange{Prefix: r.str(rm.get("prefix")), From: uint64(r.whole(rm.get("from"), 0, 999_999_999)),
			To: uint64(r.whole(rm.get("to"), 0, 999_999_999))}
		if s.To != 0 && s.From > s.To {
			r.fault(e, "lower_over_upper", "from "+strconv.FormatUint(s.From, 10)+" is over to", "exchange from and to; leave to out where the run is open")
		}
		v.Ranges = append(v.Ranges, s)
	}
	return v
}

func (r *reader) component(n *yaml.Node, f *catalogue.Family, source *spec.Source) *catalogue.Component {
	m := r.entries(n, "id", "name", "marks", "mark_place", "cautions", "source", "specs", "shims", "parts")
	if !r.need(m, "id", "name") {
		return nil
	}
	c := &catalogue.Component{Key: r.slug(m.get("id")), Name: r.text(m.get("name")), Marks: r.strs(m.get("marks")),
		MarkPlace: r.text(m.get("mark_place")), Cautions: r.strs(m.get("cautions"))}
	if s := m.get("source"); s != nil {
		source = r.source(s)
	}
	seen := map[spec.Key]bool{}
	once := func(at *yaml.Node, key spec.Key) {
		if seen[key] {
			r.fault(at, "duplicate_id", "the key "+string(key)+" stands twice", "give each its own id")
		}
		seen[key] = true
	}
	for _, e := range r.list(m.get("specs")) {
		if entry := r.spec(e, f, c, source); entry != nil {
			once(e, entry.Base.Key)
			c.Specs = append(c.Specs, entry)
		}
	}
	for _, e := range r.list(m.get("shims")) {
		if entry := r.shims(e, f, c, source); entry != nil {
			once(e, entry.Base.Key)
			c.Shims = append(c.Shims, entry)
		}
	}
	for _, e := range r.list(m.get("parts")) {
		c.Parts = append(c.Parts, r.part(e, f, c))
	}
	return c
}

func (r *reader) spec(n *yaml.Node, f *catalogue.Family, c *catalogue.Component, source *spec.Source) *catalogue.Entry {
	m := r.entries(n, specKeys...)
	if !r.need(m, "id", "kind", "name") {
		return nil
	}
	base := &spec.Spec{Key: key(f, c, r.slug(m.get("id"))), FamilyName: f.Name, ComponentName: c.Name, Source: source}
	if s := m.get("source"); s != nil {
		base.Source = r.source(s)
	}
	base.RevisionDate = base.Source.Reviewed
	r.specFields(m, base)
	r.finish(base, f, c)
	r.check(n, base)
	entry := &catalogue.Entry{Base: base}
	for _, e := range r.list(m.get("variants")) {
		if o, ok := r.override(e, base, f, c); ok {
			entry.Overrides = append(entry.Overrides, o)
		}
	}
	return entry
}

// finish completes references within the component.
func (r *reader) finish(s *spec.Spec, f *catalogue.Family, c *catalogue.Component) {
	if s.AdjustedBy != "" && isSlug(string(s.AdjustedBy)) {
		s.AdjustedBy = key(f, c, string(s.AdjustedBy))
	}
}

func (r *reader) override(n *yaml.Node, base *spec.Spec, f *catalogue.Family, c *catalogue.Component) (catalogue.Override, bool) {
	m := r.entries(n, append([]string{"variant", "mark"}, specKeys[2:len(specKeys)-2]...)...)
	variant, mark := r.chosen(m, f, c)
	s := *base
	if src := m.get("source"); src != nil {
		s.Source = r.source(src)
	}
	r.specFields(m, &s)
	r.finish(&s, f, c)
	s.DecidedBy = spec.DecidedBy{Variant: variant, Mark: mark}
	r.check(n, &s)
	return catalogue.Override{Variant: variant, Mark: mark, Spec: &s}, variant != "" || mark != ""
}

// chosen reads which variant or part mark an override is for: exactly one of them, and it exists.
func (r *reader) chosen(m mapping, f *catalogue.Family, c *catalogue.Component) (variant, mark string) {
	variant, mark = r.str(m.get("variant")), r.str(m.get("mark"))
	switch {
	case (variant == "") == (mark == ""):
		r.fault(m.at, "no_selector", "an override is for a variant or for a part mark", "write exactly one of variant and mark")
	case variant != "" && !f.HasVariant(variant):
		r.fault(m.get("variant"), "dangling_reference", "the family has no variant "+variant, "name a variant of the family")
	case mark != "" && !slices.Contains(c.Marks, mark):
		r.fault(m.get("mark"), "dangling_reference", "the component has no mark "+mark, "list it under marks of the component")
	}
	if mark != "" {
		mark = c.Key + ":" + mark
	}
	return variant, mark
}

func key(f *catalogue.Family, c *catalogue.Component, id string) spec.Key {
	return spec.Key(f.Key + "/" + c.Key + "/" + id)
}

func (r *reader) part(n *yaml.Node, f *catalogue.Family, c *catalogue.Component) *catalogue.Part {
	m := r.entries(n, "sku", "name", "quantity", "position", "size", "renew", "superseded_by", "supersedes", "specs", "companions", "variants")
	r.need(m, "sku", "name")
	p := &catalogue.Part{SKU: r.sku(m.get("sku")), Name: r.text(m.get("name")), Quantity: int(r.whole(m.get("quantity"), 1, 1000)),
		Position: r.text(m.get("position")), Size: r.str(m.get("size")), Renew: r.yes(m.get("renew")),
		SupersededBy: r.sku(m.get("superseded_by")), Variants: r.strs(m.get("variants"))}
	for _, e := range r.list(m.get("supersedes")) {
		p.Supersedes = append(p.Supersedes, r.sku(e))
	}
	for _, e := range r.list(m.get("companions")) {
		p.Companions = append(p.Companions, r.sku(e))
	}
	for _, e := range r.list(m.get("specs")) {
		p.Specs = append(p.Specs, key(f, c, r.slug(e)))
	}
	for _, v := range p.Variants {
		if !f.HasVariant(v) {
			r.fault(m.get("variants"), "dangling_reference", "the family has no variant "+v, "name a variant of the family")
		}
	}
	return p
}

func (r *reader) sku(n *yaml.Node) string {
	s := r.str(n)
	for _, c := range s {
		if (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '.' && c != '_' && c != '-' {
			r.fault(n, "bad_sku", strconv.Quote(s)+" is no SKU", "use letters, digits, dots, underscores and hyphens, at most 64")
			return ""
		}
	}
	if len(s) > 64 {
		r.fault(n, "bad_sku", "the SKU is too long", "use at most 64 characters")
		return ""
	}
	return s
}
