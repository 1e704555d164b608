package yamlfile

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// scope is the family and component that a value belongs to, and the source that it inherits.
type scope struct {
	family    *catalogue.Family
	component *catalogue.Component
	source    *spec.Source
}

func (s scope) key(id string) spec.Key {
	return spec.Key(s.family.Key + "/" + s.component.Key + "/" + id)
}

// within is the scope with the source of a mapping, where it names its own.
func (r *reader) within(s scope, m mapping) scope {
	if n := m.get("source"); n != nil {
		s.source = r.source(n)
	}
	return s
}

// family reads one family; nil where it cannot even be named.
func (r *reader) family(n *yaml.Node) *catalogue.Family {
	m, ok := r.entries(n, r.shapes.family)
	if !ok {
		return nil
	}
	f := &catalogue.Family{Key: r.slug(m.get("family")), Name: r.names(m.get("name")), Maker: r.str(m.get("maker")),
		Description: r.names(m.get("description")), Aliases: r.strs(m.get("aliases"))}
	s := r.within(scope{family: f}, m)
	r.place(f.Key, n)
	for _, e := range r.list(m.get("variants")) {
		v := r.variant(e)
		if v.ID != "" && f.HasVariant(v.ID) {
			r.fault(e, "duplicate_id", "the variant "+v.ID+" stands twice", "give each variant its own id")
		}
		r.place(f.Key+":"+v.ID, e)
		f.Variants = append(f.Variants, v)
	}
	seen := map[string]bool{}
	for _, e := range r.list(m.get("components")) {
		c := r.component(e, s)
		if c == nil {
			continue
		}
		if seen[c.Key] {
			r.fault(e, "duplicate_id", "the component "+c.Key+" stands twice", "give each component its own id")
		}
		seen[c.Key] = true
		f.Components = append(f.Components, c)
	}
	r.references(f)
	return f
}

func (r *reader) variant(n *yaml.Node) catalogue.Variant {
	m, _ := r.entries(n, r.shapes.variant)
	v := catalogue.Variant{ID: r.slug(m.get("id")), Name: r.names(m.get("name")), Feature: r.names(m.get("feature"))}
	for _, e := range r.list(m.get("ranges")) {
		rm, ok := r.entries(e, r.shapes.run)
		s := catalogue.SerialRange{Prefix: r.prefix(rm.get("prefix")), From: uint64(r.whole(rm, "from")), To: uint64(r.whole(rm, "to"))}
		if rm.get("to") != nil && s.From > s.To {
			r.fault(rm.get("to"), "lower_over_upper", "from "+strconv.FormatUint(s.From, 10)+" is over to", "exchange from and to; leave to out where the run is open")
		}
		if ok {
			v.Ranges = append(v.Ranges, s)
		}
	}
	return v
}

// prefix is what stands before a serial number: letters and digits once the separators are gone.
func (r *reader) prefix(n *yaml.Node) string {
	s := r.str(n)
	bad := s != "" && len(catalogue.Normalise(s)) == 0
	for _, c := range catalogue.Normalise(s) {
		bad = bad || (c < 'A' || c > 'Z') && (c < '0' || c > '9')
	}
	if bad || len(s) > 32 {
		r.fault(n, "bad_prefix", strconv.Quote(clip(s))+" is no prefix of engine numbers", "write at most 32 letters and digits")
		return ""
	}
	return s
}

func (r *reader) component(n *yaml.Node, s scope) *catalogue.Component {
	m, ok := r.entries(n, r.shapes.component)
	if !ok {
		return nil
	}
	c := &catalogue.Component{Key: r.slug(m.get("id")), Name: r.names(m.get("name")), Marks: r.strs(m.get("marks")),
		MarkPlace: r.names(m.get("mark_place")), Cautions: r.codesOf(m.get("cautions")),
		Gate: catalogue.Gate(r.word(m, "gate")), Scopes: r.words(m, "scopes")}
	s.component = c
	r.place(s.family.Key+"/"+c.Key, n)
	s = r.within(s, m)
	seen := map[spec.Key]bool{}
	once := func(at *yaml.Node, key spec.Key) {
		if seen[key] {
			r.fault(at, "duplicate_id", "the key "+string(key)+" stands twice", "give each its own id")
		}
		seen[key] = true
	}
	for _, e := range r.list(m.get("specs")) {
		if entry := r.spec(e, s); entry != nil {
			once(e, entry.Base.Key)
			c.Specs = append(c.Specs, entry)
		}
	}
	for _, e := range r.list(m.get("shims")) {
		if entry := r.shims(e, s); entry != nil {
			once(e, entry.Base.Key)
			c.Shims = append(c.Shims, entry)
		}
	}
	for _, e := range r.list(m.get("parts")) {
		p := r.part(e, s)
		if slices.ContainsFunc(c.Parts, func(o *catalogue.Part) bool { return o.SKU == p.SKU && p.SKU != "" }) {
			r.fault(e, "duplicate_id", "the part "+p.SKU+" stands twice in the component", "give its quantity instead")
		}
		c.Parts = append(c.Parts, p)
	}
	return c
}

func (r *reader) part(n *yaml.Node, s scope) *catalogue.Part {
	m, _ := r.entries(n, r.shapes.part)
	p := &catalogue.Part{SKU: r.sku(m.get("sku")), Name: r.names(m.get("name")), Quantity: int(r.whole(m, "quantity")),
		Position: r.names(m.get("position")), Size: r.str(m.get("size")), Renew: r.yes(m.get("renew")),
		SupersededBy: r.skuRef(m.get("superseded_by")), Variants: r.strs(m.get("variants"))}
	r.place(p.SKU+" @ "+s.family.Key+"/"+s.component.Key, n)
	for _, e := range r.list(m.get("supersedes")) {
		p.Supersedes = append(p.Supersedes, r.sku(e)) // an old number need not be listed any more
	}
	for _, e := range r.list(m.get("companions")) {
		p.Companions = append(p.Companions, r.skuRef(e))
	}
	for _, e := range r.list(m.get("specs")) {
		p.Specs = append(p.Specs, r.refer(e, s, "spec"))
	}
	for i, v := range p.Variants {
		if !s.family.HasVariant(v) {
			r.fault(m.get("variants").Content[i], "dangling_reference", "the family has no variant "+clip(v), "name a variant of the family")
		}
	}
	return p
}

// refer is the key of something in the same component, which must be there once the family is read.
func (r *reader) refer(n *yaml.Node, s scope, want string) spec.Key {
	id := r.slug(n)
	if id == "" {
		return ""
	}
	k := s.key(id)
	r.refs = append(r.refs, ref{n, k, want})
	return k
}

// earlier is the keys of specs that must be proven first, each written component/spec; they must be there once the
// family is read.
func (r *reader) earlier(n *yaml.Node, in scope) []spec.Key {
	var out []spec.Key
	for _, e := range r.list(n) {
		s := r.str(e)
		component, id, _ := strings.Cut(s, "/")
		if !isSlug(component) || !isSlug(id) {
			if s != "" {
				r.fault(e, "bad_reference", strconv.Quote(clip(s))+" names no spec of the family", "write component/spec")
			}
			continue
		}
		k := spec.Key(in.family.Key + "/" + component + "/" + id)
		r.refs = append(r.refs, ref{e, k, "spec"})
		out = append(out, k)
	}
	return out
}

// references checks, once a family is read, that what its values name is there.
func (r *reader) references(f *catalogue.Family) {
	kinds := map[spec.Key]string{}
	for _, c := range f.Components {
		for _, e := range c.Specs {
			kinds[e.Base.Key] = "spec"
		}
		for _, e := range c.Shims {
			kinds[e.Base.Key] = "shims"
		}
	}
	what := map[string]string{"spec": "spec", "shims": "shim set"}
	for _, x := range r.refs {
		switch has := kinds[x.key]; {
		case has == "":
			r.fault(x.at, "dangling_reference", "nothing has the key "+string(x.key), "name a "+what[x.want]+" of the same component")
		case has != x.want:
			r.fault(x.at, "wrong_reference", string(x.key)+" is a "+what[has], "name a "+what[x.want]+" of the same component")
		}
	}
	r.refs = nil
}
