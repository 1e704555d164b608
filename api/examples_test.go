package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"endfloat/openapi"
)

// Every operation is answered when its examples are sent as they stand in the file, in each of its forms.
func TestExamplesAreAnswered(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			for media := range op.Responses.Value("200").Value.Content {
				t.Run(method+" "+path+" "+media, func(t *testing.T) {
					t.Parallel()
					r := exampleRequest(t, method, path, op)
					r.Header.Set("Accept", media)
					w := httptest.NewRecorder()
					h.ServeHTTP(w, r)
					if w.Code != http.StatusOK {
						t.Fatalf("%s: %d %s", r.URL, w.Code, w.Body)
					}
					if strings.Contains(w.Body.String(), `"problem":{`) {
						t.Errorf("a row has a problem: %s", w.Body)
					}
				})
			}
		}
	}
}

// exampleRequest is an operation with the examples of its parameters and its body.
func exampleRequest(t *testing.T, method, path string, op *openapi3.Operation) *http.Request {
	t.Helper()
	query := url.Values{}
	for _, ref := range op.Parameters {
		p := ref.Value
		switch {
		case p.Example == nil && p.Required:
			t.Fatalf("%s has no example; openapi/examples/parameters.json holds them", p.Name)
		case p.Example == nil:
		case p.In == "path":
			path = strings.Replace(path, "{"+p.Name+"}", fmt.Sprint(p.Example), 1)
		case p.In == "query":
			if list, ok := p.Example.([]any); ok {
				for _, v := range list {
					query.Add(p.Name, fmt.Sprint(v))
				}
			} else {
				query.Set(p.Name, fmt.Sprint(p.Example))
			}
		}
	}
	if len(query) > 0 {
		path += "?" + query.Encode()
	}
	if op.RequestBody == nil {
		return httptest.NewRequest(method, path, http.NoBody)
	}
	example := op.RequestBody.Value.Content["application/json"].Example
	if example == nil {
		t.Fatalf("%s has no example; openapi/examples/%s.json holds it", op.OperationID, op.OperationID)
	}
	body, err := json.Marshal(example)
	if err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest(method, path, strings.NewReader(string(body)))
	r.Header.Set("Content-Type", "application/json")
	return r
}
