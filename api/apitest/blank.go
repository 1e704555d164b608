package apitest

import (
	"bytes"
	"encoding/json"
	"maps"
)

// withoutBlanks is a JSON body without the members that are an empty text, which the service takes for absent, as the
// description of the file says. Any other body stays as it is.
func withoutBlanks(body []byte) []byte {
	if !bytes.Contains(body, []byte(`""`)) {
		return body
	}
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		return body
	}
	out, err := json.Marshal(dropBlanks(v))
	if err != nil {
		return body
	}
	return out
}

func dropBlanks(v any) any {
	switch x := v.(type) {
	case map[string]any:
		maps.DeleteFunc(x, func(_ string, m any) bool { return m == "" })
		for _, m := range x {
			dropBlanks(m)
		}
	case []any:
		for _, m := range x {
			dropBlanks(m)
		}
	}
	return v
}
