package yamlfile

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/service/spec"
)

// words is a list of the words that a field allows, each once.
func (r *reader) words(m mapping, key string) []string {
	f, _ := m.shape.Field(key)
	var out []string
	for _, e := range r.list(m.get(key)) {
		s := r.str(e)
		switch {
		case s == "":
		case !slices.Contains(f.Words, s):
			r.fault(e, "unknown_word", strconv.Quote(clip(s))+" is none of the words allowed here", "use one of: "+strings.Join(f.Words, ", "))
		case slices.Contains(out, s):
			r.fault(e, "duplicate_value", strconv.Quote(s)+" stands twice in this list", "keep one of them")
		default:
			out = append(out, s)
		}
	}
	return out
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
