package apitest

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
	"pgregory.net/rapid"
)

// Sample is a request made from the schemas of an operation. Some of what it sends is wrong on purpose.
type Sample struct {
	Method, Target string
	Header         http.Header
	Body           []byte
}

// Request is the sample as a server receives it.
func (s Sample) Request() *http.Request {
	r := httptest.NewRequest(s.Method, s.Target, strings.NewReader(string(s.Body)))
	if s.Body == nil {
		r = httptest.NewRequest(s.Method, s.Target, http.NoBody)
	}
	maps.Copy(r.Header, s.Header)
	return r
}

// Samples draws requests for one of the Operations: values that fit its schemas, and now and then a value of the wrong
// type, a missing, misspelt or additional key, a null, a number or text that is too long, or a body that is no JSON.
func (f *File) Samples(operation string) *rapid.Generator[Sample] {
	method, path, _ := strings.Cut(operation, " ")
	op := f.doc.Paths.Value(path).GetOperation(method)
	return rapid.Custom(func(t *rapid.T) Sample {
		d := drawer{t: t, doc: f.doc, wild: rapid.IntRange(0, 3).Draw(t, "wild") == 0}
		s := Sample{Method: method, Target: d.target(path, op), Header: http.Header{}}
		if op.RequestBody == nil {
			return s
		}
		media := rapid.SampledFrom(slices.Sorted(maps.Keys(op.RequestBody.Value.Content))).Draw(t, "media")
		s.Header.Set("Content-Type", media)
		s.Body = d.body(op.RequestBody.Value.Content[media])
		return s
	})
}

// drawer draws values. A tame one keeps to the schemas.
type drawer struct {
	t    *rapid.T
	doc  *openapi3.T
	wild bool
}

// chance is true once in n draws.
func (d drawer) chance(n int) bool { return rapid.IntRange(1, n).Draw(d.t, "chance") == 1 }

// odd is true now and then where the drawer is wild.
func (d drawer) odd() bool { return d.wild && d.chance(12) }

func (d drawer) target(path string, op *openapi3.Operation) string {
	query := url.Values{}
	for _, ref := range op.Parameters {
		p := ref.Value
		switch p.In {
		case "path":
			value := fmt.Sprint(p.Example)
			if d.odd() {
				value = d.text()
			}
			path = strings.Replace(path, "{"+p.Name+"}", url.PathEscape(value), 1)
		case "query":
			if p.Required || d.chance(4) {
				d.parameter(query, p)
			}
		}
	}
	if d.odd() {
		query.Set(d.text(), d.text())
	}
	if len(query) > 0 {
		path += "?" + query.Encode()
	}
	return path
}

func (d drawer) parameter(query url.Values, p *openapi3.Parameter) {
	if p.Example != nil && !d.chance(3) {
		query.Set(p.Name, fmt.Sprint(p.Example))
		return
	}
	v := d.value(p.Schema, 0)
	if list, ok := v.([]any); ok {
		for _, item := range list {
			query.Add(p.Name, plain(item))
		}
		return
	}
	query.Set(p.Name, plain(v))
}

func plain(v any) string {
	if s, ok := v.(string); ok {
		return s
	}
	b, err := json.Marshal(v)
	if err != nil {
		panic(err) // only what JSON holds is drawn
	}
	return string(b)
}

func (d drawer) body(media *openapi3.MediaType) []byte {
	if d.odd() {
		return []byte(rapid.SampledFrom([]string{"", "{", "null", "[]", `{"a":1}x`, strings.Repeat("[", 2000), "\xff\xfe{\x00}"}).Draw(d.t, "no JSON"))
	}
	var v any
	if media.Example != nil && d.chance(3) {
		v = d.disturbed(media.Example)
	} else {
		v = d.value(media.Schema, 0)
	}
	return []byte(plain(v))
}

// disturbed is an example, with a value of it replaced where the drawer is wild.
func (d drawer) disturbed(v any) any {
	if d.odd() {
		return d.wrong()
	}
	switch x := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for _, key := range slices.Sorted(maps.Keys(x)) {
			if !d.odd() {
				out[key] = d.disturbed(x[key])
			}
		}
		return out
	case []any:
		out := make([]any, len(x))
		for i := range x {
			out[i] = d.disturbed(x[i])
		}
		return out
	}
	return v
}
