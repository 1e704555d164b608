package rim

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"endfloat/service/fault"
	"endfloat/service/note"
)

// Parameters reads a query string. Only the named parameters may stand in it, each once unless its name here ends
// in *. Faults: bad_query, unknown_parameter, repeated_parameter, empty_parameter.
func Parameters(raw string, names []string) (url.Values, error) {
	if raw == "" {
		return nil, nil
	}
	values, err := url.ParseQuery(raw)
	if err != nil {
		return nil, BadParameter(firstKey(raw), "bad_query", note.New("found_query_string_cannot_read"), note.New("fix_percent_encode_rfc_3986"))
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
				return BadParameter(name, "repeated_parameter", note.New("found_parameter_repeated", note.Str("times", strconv.Itoa(len(values)))), note.New("fix_send_once"))
			}
			known = true
			break
		}
	}
	if !known {
		return BadParameter(fault.Short(name), "unknown_parameter", note.New("found_parameter_not_known"), knownParameters(names))
	}
	for _, v := range values {
		if v == "" {
			return BadParameter(name, "empty_parameter", note.New("found_parameter_empty"), note.New("fix_give_value_or_leave"))
		}
		if len(v) > 2000 || !utf8.ValidString(v) || strings.ContainsFunc(v, func(r rune) bool { return r < ' ' }) {
			return BadParameter(name, "bad_parameter", note.New("found_parameter_cannot_read"), note.New("fix_send_most_bytes_plain", note.Str("n", "2000")))
		}
	}
	return nil
}

func knownParameters(names []string) note.Note {
	if len(names) == 0 {
		return note.New("fix_address_takes_none")
	}
	list := make([]string, len(names))
	for i, n := range names {
		list[i] = strings.TrimSuffix(n, "*")
	}
	return note.New("fix_leave_out_address_takes", note.Str("list", strings.Join(list, ", ")))
}

func firstKey(raw string) string {
	key, _, _ := strings.Cut(raw, "=")
	return fault.Short(key)
}

// NotHeld is the error for a parameter that names a revision that is not held here.
func NotHeld(parameter, name string, held []string) error {
	return &fault.Error{Kind: fault.NotFound, Code: "revision_not_held", Violations: []fault.Violation{{Code: "revision_not_held",
		Detail: note.New("found_revision_not_held", note.Str("revision", Quote(name))), Fix: note.New("fix_send_one_held", note.Str("list", strings.Join(held, ", "))),
		At: fault.Place{Parameter: parameter}}}}
}
