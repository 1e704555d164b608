package yamlfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"go.yaml.in/yaml/v3"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// longestText is the most characters of one text, in bytes.
const longestText = 500

// str is a text; nil is empty.
func (r *reader) str(n *yaml.Node) string {
	if n == nil {
		return ""
	}
	if n.Kind != yaml.ScalarNode || n.Tag == "!!null" || strings.TrimSpace(n.Value) == "" {
		r.fault(n, "wrong_type", "this is no text", "write a text, or leave the key out where the source says nothing")
		return ""
	}
	if len(n.Value) > longestText || strings.ContainsFunc(n.Value, unprintable) {
		r.fault(n, "bad_text", "this text is too long or holds control characters", fmt.Sprintf("write at most %d bytes of plain text", longestText))
		return ""
	}
	return strings.TrimSpace(n.Value)
}

// unprintable are control characters and those that turn the direction of text or do not show at all.
func unprintable(c rune) bool {
	return c != '\n' && unicode.IsControl(c) || unicode.Is(unicode.Bidi_Control, c) || c == '\u200b' || c == '\ufeff' || c == unicode.ReplacementChar
}

// names is a text in one language (English) or a mapping from language to text.
func (r *reader) names(n *yaml.Node) spec.Text {
	if n == nil || n.Kind == yaml.ScalarNode {
		return spec.English(r.str(n))
	}
	m, ok := r.entries(n, r.shapes.text)
	if !ok {
		return spec.Text{}
	}
	var by [len(spec.Languages)]string
	for i := range by {
		by[i] = r.str(m.values[i])
	}
	return spec.NewText(by)
}

// slug is a lower-case name that may stand in an address.
func (r *reader) slug(n *yaml.Node) string {
	s := r.str(n)
	if s != "" && !isSlug(s) {
		r.fault(n, "bad_slug", strconv.Quote(clip(s))+" cannot stand in an address", "use lower-case letters, digits and single hyphens, at most 64")
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

// code is a snake_case word.
func (r *reader) code(n *yaml.Node) string {
	s := r.str(n)
	bad := func(c rune) bool { return (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '_' }
	if s != "" && (len(s) > 64 || strings.ContainsFunc(s, bad)) {
		r.fault(n, "bad_code", strconv.Quote(clip(s))+" is no code", "use lower-case letters, digits and underscores, at most 64")
		return ""
	}
	return s
}

func (r *reader) codesOf(n *yaml.Node) []string {
	var out []string
	for _, e := range r.list(n) {
		if s := r.code(e); s != "" && !slices.Contains(out, s) {
			out = append(out, s)
			r.codes = append(r.codes, named{e, s})
		}
	}
	return out
}

// word is one of the words that the shape allows for a key; missing is empty.
func (r *reader) word(m mapping, key string) string {
	f, _ := m.shape.Field(key)
	return r.wordOf(m.get(key), f)
}

// words is a list of the words that the shape allows for a key, each once.
func (r *reader) words(m mapping, key string) []string {
	f, _ := m.shape.Field(key)
	return r.each(m.get(key), func(n *yaml.Node) string { return r.wordOf(n, f) })
}

func (r *reader) wordOf(n *yaml.Node, f *Field) string {
	s := r.str(n)
	if s != "" && !slices.Contains(f.Words, s) {
		r.fault(n, "unknown_word", strconv.Quote(clip(s))+" is none of the words allowed here", "use one of: "+strings.Join(f.Words, ", "))
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
	if n.Kind != yaml.ScalarNode || n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0 || err != nil {
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

// whole is a whole number within the bounds that the shape sets for a key; missing is 0.
func (r *reader) whole(m mapping, key string) int64 {
	n := m.get(key)
	d, ok := r.number(n, 0)
	f, _ := m.shape.Field(key)
	if ok && (d.Coef() < f.Least || d.Coef() > f.Most) {
		r.fault(n, "out_of_range", fmt.Sprintf("%s is not from %d to %d", d, f.Least, f.Most), "write a whole number in that range")
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
	if _, err := time.Parse(time.DateOnly, s); s != "" && err != nil {
		r.fault(n, "bad_date", strconv.Quote(clip(s))+" is no date", "write it as 2026-11-01 (ISO 8601)")
		return ""
	}
	return s
}

func (r *reader) unit(n *yaml.Node) quantity.Unit {
	u, ok := quantity.ParseUnit(r.str(n))
	if !ok {
		r.fault(n, "unknown_unit", strconv.Quote(clip(n.Value))+" is no unit that is read here",
			"write mm, um, in, thou, N.m, lbf.ft, lbf.in, kgf.m, kgf.cm, deg, N, kN, kPa, bar, cm3, turns, ratio or %")
	}
	return u
}

func (r *reader) sku(n *yaml.Node) string {
	s := r.str(n)
	bad := func(c rune) bool {
		return (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '.' && c != '_' && c != '-'
	}
	if s != "" && (len(s) > 64 || strings.ContainsFunc(s, bad)) {
		r.fault(n, "bad_sku", strconv.Quote(clip(s))+" is no part number", "use letters, digits, dots, underscores and hyphens, at most 64")
		return ""
	}
	return s
}

// skuRef is a part number that something in the catalogue must have.
func (r *reader) skuRef(n *yaml.Node) string {
	s := r.sku(n)
	if s != "" {
		r.skus = append(r.skus, named{n, s})
	}
	return s
}
