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

// reader turns nodes into values and collects every fault. A value that is at fault reads as its zero.
type reader struct {
	file   string
	faults *Faults
}

func (r *reader) fault(n *yaml.Node, rule, detail, remedy string) {
	if len(*r.faults) < most {
		*r.faults = append(*r.faults, Fault{r.file, n.Line, n.Column, rule, detail, remedy})
	}
}

// mapping is a mapping whose keys are all known; get finds a value, nil where it is missing.
type mapping struct {
	at     *yaml.Node
	values map[string]*yaml.Node
}

func (m mapping) get(key string) *yaml.Node { return m.values[key] }

// entries reads a mapping and faults keys that are unknown or stand twice.
func (r *reader) entries(n *yaml.Node, known ...string) mapping {
	m := mapping{n, map[string]*yaml.Node{}}
	if n.Kind != yaml.MappingNode {
		r.fault(n, "wrong_type", "this is "+kindOf(n), "write a mapping with the keys "+strings.Join(known, ", "))
		return m
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		switch {
		case !slices.Contains(known, k.Value):
			r.fault(k, "unknown_key", strconv.Quote(k.Value)+" is not known here", suggest(k.Value, known))
		case m.values[k.Value] != nil:
			r.fault(k, "duplicate_key", strconv.Quote(k.Value)+" stands twice", "keep one of them")
		default:
			m.values[k.Value] = v
		}
	}
	return m
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

// need faults a key that is missing.
func (r *reader) need(m mapping, keys ...string) bool {
	ok := true
	for _, k := range keys {
		if m.get(k) == nil {
			r.fault(m.at, "missing_key", k+" is missing", "add "+k)
			ok = false
		}
	}
	return ok
}

// list is the elements of a sequence; nil is none.
func (r *reader) list(n *yaml.Node) []*yaml.Node {
	if n == nil {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		r.fault(n, "wrong_type", "this is "+kindOf(n), "write a list")
		return nil
	}
	return n.Content
}

// str is a text of at most 500 characters; nil is empty.
func (r *reader) str(n *yaml.Node) string {
	if n == nil {
		return ""
	}
	if n.Kind != yaml.ScalarNode || n.Tag == "!!null" || n.Value == "" {
		r.fault(n, "wrong_type", "this is no text", "write a text, or leave the key out where the source says nothing")
		return ""
	}
	if len(n.Value) > 500 || strings.ContainsFunc(n.Value, func(c rune) bool { return c < ' ' && c != '\n' }) {
		r.fault(n, "bad_text", "this text is too long or holds control characters", "write at most 500 characters of plain text")
		return ""
	}
	return n.Value
}

func (r *reader) strs(n *yaml.Node) []string {
	var out []string
	for _, e := range r.list(n) {
		out = append(out, r.str(e))
	}
	return out
}

// text is a text in one language (English) or a mapping from language to text.
func (r *reader) text(n *yaml.Node) spec.Text {
	if n == nil || n.Kind == yaml.ScalarNode {
		return spec.English(r.str(n))
	}
	m := r.entries(n, spec.Languages[:]...)
	if !r.need(m, spec.Languages[0]) {
		return spec.Text{}
	}
	var by [len(spec.Languages)]string
	for i, l := range spec.Languages {
		by[i] = r.str(m.get(l))
	}
	return spec.NewText(by)
}

// slug is a lower-case name that may stand in an address.
func (r *reader) slug(n *yaml.Node) string {
	s := r.str(n)
	if s != "" && !isSlug(s) {
		r.fault(n, "bad_slug", strconv.Quote(s)+" cannot stand in an address", "use lower-case letters, digits and single hyphens, at most 64")
		return ""
	}
	return s
}

func isSlug(s string) bool {
	if len(s) > 64 || strings.HasPrefix(s, "-") || strings.HasSuffix(s, "-") || strings.Contains(s, "--") {
		return false
	}
	return !strings.ContainsFunc(s, func(c rune) bool { return (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '-' })
}

// word is one of the allowed words; nil is empty.
func (r *reader) word(n *yaml.Node, allowed ...string) string {
	s := r.str(n)
	if s != "" && !slices.Contains(allowed, s) {
		r.fault(n, "unknown_word", strconv.Quote(s)+" is none of the words allowed here", "use one of: "+strings.Join(allowed, ", "))
		return ""
	}
	return s
}

// number is an exact decimal that is written as a plain number, with at most places fractional digits.
func (r *reader) number(n *yaml.Node, places int) (quantity.Decimal, bool) {
	if n == nil {
		return quantity.Decimal{}, false
	}
	d, err := quantity.Parse(n.Value)
	if n.Kind != yaml.ScalarNode || n.Style != 0 || err != nil {
		remedy := "write a number with a decimal point and without quotes"
		if quantity.DecimalComma(n.Value) {
			remedy = "write a decimal point, not a comma"
		}
		r.fault(n, "not_a_number", "this is no number", remedy)
		return quantity.Decimal{}, false
	}
	if d.Places() > places {
		r.fault(n, "too_many_decimals", fmt.Sprintf("%s has more than %d fractional digits", d, places), "round it")
		return quantity.Decimal{}, false
	}
	return d, true
}

// whole is a whole number in [least, most]; nil is 0.
func (r *reader) whole(n *yaml.Node, least, most int64) int64 {
	d, ok := r.number(n, 0)
	if ok && (d.Coef() < least || d.Coef() > most) {
		r.fault(n, "out_of_range", fmt.Sprintf("%s is not from %d to %d", d, least, most), "write a whole number in that range")
		return 0
	}
	return d.Coef()
}

func (r *reader) yes(n *yaml.Node) bool {
	if n == nil {
		return false
	}
	if n.Kind != yaml.ScalarNode || n.Style != 0 || (n.Value != "true" && n.Value != "false") {
		r.fault(n, "wrong_type", "this is neither true nor false", "write true or false")
	}
	return n.Value == "true"
}

// date is a calendar date as text.
func (r *reader) date(n *yaml.Node) string {
	s := r.str(n)
	if s != "" && !isDate(s) {
		r.fault(n, "bad_date", strconv.Quote(s)+" is no date", "write it as 2026-11-01 (ISO 8601)")
		return ""
	}
	return s
}

// limits is an interval with both ends inside: a mapping with lower and upper.
func (r *reader) limits(n *yaml.Node, places int) (out quantity.Range) {
	if n == nil {
		return out
	}
	m := r.entries(n, "lower", "upper")
	out.Lower, out.HasLower = r.number(m.get("lower"), places)
	out.Upper, out.HasUpper = r.number(m.get("upper"), places)
	if len(m.values) == 0 && n.Kind == yaml.MappingNode {
		r.fault(n, "empty_limits", "there is no limit in it", "write lower, upper or both, or leave it out")
	}
	if out.TwoSided() && out.Lower.Cmp(out.Upper) > 0 {
		r.fault(n, "lower_over_upper", out.Lower.String()+" is over "+out.Upper.String(), "exchange lower and upper")
	}
	return out
}
