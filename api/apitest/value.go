package apitest

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"pgregory.net/rapid"
)

// deepest is how far values nest before optional parts are left out.
const deepest = 6

// value draws a value of a schema.
func (d drawer) value(ref *openapi3.SchemaRef, depth int) any {
	s := ref.Value
	if d.odd() {
		return d.wrong()
	}
	if s.Example != nil && !d.chance(3) {
		return s.Example
	}
	switch {
	case len(s.Enum) > 0:
		return rapid.SampledFrom(s.Enum).Draw(d.t, "word")
	case s.Type.Is("object"):
		return d.object(s, depth)
	case s.Type.Is("array"):
		return d.list(s, depth)
	case s.Type.Is("number"):
		return d.number()
	case s.Type.Is("integer"):
		return rapid.IntRange(-1, 20).Draw(d.t, "integer")
	case s.Type.Is("boolean"):
		return rapid.Bool().Draw(d.t, "flag")
	}
	return d.string(s)
}

func (d drawer) object(s *openapi3.Schema, depth int) any {
	out := map[string]any{}
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		must := slices.Contains(s.Required, name)
		if must && d.odd() || !must && (depth > deepest || !d.chance(3)) {
			continue
		}
		key := name
		if d.odd() {
			key = strings.ToUpper(name)
		}
		out[key] = d.value(s.Properties[name], depth+1)
	}
	if d.odd() {
		out[d.text()] = d.wrong()
	}
	return out
}

func (d drawer) list(s *openapi3.Schema, depth int) any {
	most := 3
	if depth > deepest {
		most = 0
	}
	out := make([]any, rapid.IntRange(0, most).Draw(d.t, "length"))
	for i := range out {
		out[i] = d.value(s.Items, depth+1)
	}
	return out
}

// number draws a decimal as callers write them, small more often than large.
func (d drawer) number() any {
	whole := rapid.IntRange(-2, 60).Draw(d.t, "whole")
	digits := rapid.StringMatching(`[0-9]{0,4}`).Draw(d.t, "digits")
	n := json.Number(strings.TrimSuffix(jsonInt(whole)+"."+digits, "."))
	if d.odd() {
		return json.Number(rapid.SampledFrom([]string{"1e400", "1e-400", "0.0000000000001", "99999999999999999999999", "-0", "1e3"}).Draw(d.t, "odd number"))
	}
	return n
}

func jsonInt(n int) string { return plain(n) }

func (d drawer) string(s *openapi3.Schema) any {
	if s.Pattern != "" && !d.wild {
		return rapid.StringMatching(s.Pattern).Draw(d.t, "matching")
	}
	if s.MaxLength != nil && d.odd() {
		return strings.Repeat("x", int(min(*s.MaxLength, 5000))+1)
	}
	return rapid.StringMatching(`[a-z][a-z0-9./-]{0,12}`).Draw(d.t, "text")
}

// text draws any text, the strange included.
func (d drawer) text() string { return rapid.StringN(1, 20, 60).Draw(d.t, "any text") }

// wrong draws a value that fits hardly anything.
func (d drawer) wrong() any {
	return rapid.SampledFrom([]any{nil, true, "", "0,15", "NaN", "\u0000", json.Number("0"), json.Number("-1"), []any{}, map[string]any{}, []any{nil},
		strings.Repeat("x", 5000)}).Draw(d.t, "wrong")
}
