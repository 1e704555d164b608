package rim

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"endfloat/service/fault"
)

// Parameters reads a query string. Only the named parameters may stand in it, each once unless its name here ends
// in *. Faults: bad_query, unknown_parameter, repeated_parameter, empty_parameter.
func Parameters(raw string, names []string) (url.Values, error) {
	if raw == "" {
		return nil, nil
	}
	values, err := url.ParseQuery(raw)
	if err != nil {
		return nil, BadParameter(firstKey(raw), "bad_query", "the query string cannot be read", "percent-encode it (RFC 3986)")
	}
	keys := make([]string, 0, len(values))
	for k := range values {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	for _, k := range keys {
		if err := parameter(k, values[k], names); err != nil {
			return nil, err
		}
	}
	return values, nil
}

func parameter(name string, values []string, names []string) error {
	known := false
	for _, n := range names {
		if n == name+"*" {
			known = true
			break
		}
		if n == name {
			if len(values) > 1 {
				return BadParameter(name, "repeated_parameter", "this parameter stands "+strconv.Itoa(len(values))+" times", "send it once")
			}
			known = true
			break
		}
	}
	if !known {
		return BadParameter(fault.Short(name), "unknown_parameter", "this parameter is not known here", knownParameters(names))
	}
	for _, v := range values {
		if v == "" {
			return BadParameter(name, "empty_parameter", "this parameter is empty", "give it a value or leave it out")
		}
		if len(v) > 2000 || !utf8.ValidString(v) || strings.ContainsFunc(v, func(r rune) bool { return r < ' ' }) {
			return BadParameter(name, "bad_parameter", "this parameter cannot be read", "send at most 2,000 bytes of plain text")
		}
	}
	return nil
}

func knownParameters(names []string) string {
	if len(names) == 0 {
		return "this address takes none"
	}
	list := make([]string, len(names))
	for i, n := range names {
		list[i] = strings.TrimSuffix(n, "*")
	}
	return "leave it out; this address takes " + strings.Join(list, ", ")
}

func firstKey(raw string) string {
	key, _, _ := strings.Cut(raw, "=")
	return fault.Short(key)
}

// NotHeld is the error for a parameter that names a revision that is not held here.
func NotHeld(parameter, name string, held []string) error {
	return &fault.Error{Kind: fault.NotFound, Code: "revision_not_held", Violations: []fault.Violation{{Code: "revision_not_held",
		Detail: "the revision " + Quote(name) + " is not held here", Fix: "send one of those held: " + strings.Join(held, ", "),
		At: fault.Place{Parameter: parameter}}}}
}
