package yamlfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// reader turns the nodes of one file into values and collects every fault. A value that is at fault reads as its zero.
type reader struct {
	*shapes
	file   string
	faults Faults
	refs   []ref            // to specs and shim sets of the family
	skus   []named          // that something in the catalogue must have
	codes  []named          // of cautions, each of which must have a severity
	placed map[string]Place // nil: nobody asked
}

// Place is where something begins in a file.
type Place struct {
	File         string
	Line, Column int
}

// place remembers where a key, or the part number of a component, stands.
func (r *reader) place(key string, n *yaml.Node) {
	if r.placed != nil {
		r.placed[key] = Place{r.file, n.Line, n.Column}
	}
}

// ref is a key that something in the family must have.
type ref struct {
	at   *yaml.Node
	key  spec.Key
	want string // spec or shims
}

// named is a name that must exist somewhere in the catalogue.
type named struct {
	at   *yaml.Node
	name string
}

func (r *reader) fault(n *yaml.Node, rule, detail, remedy string) {
	if len(r.faults) < most {
		r.faults = append(r.faults, Fault{r.file, n.Line, n.Column, rule, detail, remedy})
	}
}

// mapping is a mapping whose keys all belong to its shape; get finds a value, nil where it is missing.
type mapping struct {
	at     *yaml.Node
	shape  *Shape
	values []*yaml.Node // beside the fields of the shape
}

func (m mapping) get(key string) *yaml.Node { return m.values[m.shape.index(key)] }

// near is the value of the first key that is there, else the mapping: the place to show for a fault.
func (m mapping) near(keys ...string) *yaml.Node {
	for _, k := range keys {
		if i := m.shape.index(k); i >= 0 && m.values[i] != nil {
			return m.values[i]
		}
	}
	return m.at
}

// entries reads a mapping and faults keys that are unknown, stand twice or are missing. ok is false where a needed one is.
func (r *reader) entries(n *yaml.Node, s *Shape) (m mapping, ok bool) {
	m = mapping{n, s, make([]*yaml.Node, len(s.Fields))}
	if n.Kind != yaml.MappingNode {
		r.fault(n, "wrong_type", "this is "+kindOf(n), "write a mapping with the keys "+strings.Join(s.keys(), ", "))
		return m, false
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		switch at := s.index(k.Value); {
		case at < 0:
			r.fault(k, "unknown_key", strconv.Quote(clip(k.Value))+" is not known here", suggest(k.Value, s.keys()))
		case m.values[at] != nil:
			r.fault(k, "duplicate_key", strconv.Quote(k.Value)+" stands twice", "keep one of them")
		default:
			m.values[at] = v
		}
	}
	ok = true
	for i, f := range s.Fields {
		if f.Need && m.values[i] == nil {
			r.fault(n, "missing_key", f.Key+" is missing", "add "+f.Key+": "+f.About)
			ok = false
		}
	}
	return m, ok
}

func clip(s string) string {
	if len(s) > 80 {
		return strings.ToValidUTF8(s[:80], "") + "…"
	}
	return s
}

func suggest(key string, known []string) string {
	for _, k := range known {
		if strings.EqualFold(strings.NewReplacer("-", "", "_", "").Replace(key), strings.ReplaceAll(k, "_", "")) {
			return "write " + k
		}
	}
	return "use one of: " + strings.Join(known, ", ")
}

func kindOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a mapping"
	case yaml.SequenceNode:
		return "a list"
	}
	return "a single value"
}

// list is the elements of a sequence, at most longest of them; nil is none.
func (r *reader) list(n *yaml.Node) []*yaml.Node {
	switch {
	case n == nil:
		return nil
	case n.Kind != yaml.SequenceNode:
		r.fault(n, "wrong_type", "this is "+kindOf(n), "write a list")
		return nil
	case len(n.Content) > longest:
		r.fault(n, "too_long", fmt.Sprintf("this list has more than %d elements", longest), "split it")
		return nil
	}
	return n.Content
}

// strs is a list of texts, each once.
func (r *reader) strs(n *yaml.Node) []string { return r.each(n, r.str) }

// each reads the elements of a list, none of which stands twice; one that is at fault is left out.
func (r *reader) each(n *yaml.Node, read func(*yaml.Node) string) []string {
	var out []string
	for _, e := range r.list(n) {
		s := read(e)
		switch {
		case s == "":
		case slices.Contains(out, s):
			r.fault(e, "duplicate_value", strconv.Quote(s)+" stands twice in this list", "keep one of them")
		default:
			out = append(out, s)
		}
	}
	return out
}

// limits is an interval with both ends inside: a mapping with lower and upper.
func (r *reader) limits(n *yaml.Node, places int) (out quantity.Range) {
	if n == nil {
		return out
	}
	m, _ := r.entries(n, r.shapes.limits)
	out.Lower, out.HasLower = r.number(m.get("lower"), places)
	out.Upper, out.HasUpper = r.number(m.get("upper"), places)
	if n.Kind == yaml.MappingNode && len(n.Content) == 0 {
		r.fault(n, "empty_limits", "there is no limit in it", "write lower, upper or both, or leave it out")
	}
	if out.TwoSided() && out.Lower.Cmp(out.Upper) > 0 {
		r.fault(n, "lower_over_upper", out.Lower.String()+" is over "+out.Upper.String(), "exchange lower and upper")
		return quantity.Range{}
	}
	return out
}
