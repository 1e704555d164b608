package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"endfloat/api"
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/openapi"
)

// Every answer in JSON asks to be checked against the maker's manual, and resolves every code that stands in it; what
// depends on the build alone, as the OpenAPI file does, answers nothing about an engine.
func TestEveryAnswerResolvesItsCautions(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for _, route := range api.Routes(text.New(), api.Deps{}, api.Config{}) {
		if route.Class == rim.Static || !slices.Contains(route.Media, rim.MediaJSON) {
			continue
		}
		asked++
		path := templated(route.Path)
		t.Run(route.Method+" "+path, func(t *testing.T) {
			t.Parallel()
			r := exampleRequest(t, route.Method, path, doc.Paths.Value(path).GetOperation(route.Method))
			r.Header.Set("Accept", rim.MediaJSON)
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			var answer any
			if err := json.Unmarshal(w.Body.Bytes(), &answer); err != nil || w.Code != http.StatusOK {
				t.Fatalf("%v: %d %s", err, w.Code, w.Body)
			}
			top, _ := answer.(map[string]any)
			known := map[string]bool{}
			list, _ := top["cautions"].([]any)
			for _, c := range list {
				code, _ := c.(map[string]any)["code"].(string)
				known[code] = true
			}
			if !known["verify_with_maker"] {
				t.Errorf("%s resolves %v", r.URL, known)
			}
			delete(top, "cautions")
			for _, code := range cautioned(answer, nil) {
				if !known[code] {
					t.Errorf("%s has %s and does not resolve it", r.URL, code)
				}
			}
		})
	}
	if asked < 20 {
		t.Errorf("%d routes answer JSON", asked)
	}
}

// templated is a path of the route table as the OpenAPI file has it.
func templated(path string) string {
	parts := strings.Split(path, "/")
	for i, p := range parts {
		if name, is := strings.CutPrefix(p, ":"); is {
			parts[i] = "{" + name + "}"
		}
	}
	return strings.Join(parts, "/")
}

// cautioned gathers every code that a list named cautions has, however deep.
func cautioned(v any, codes []string) []string {
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			codes = cautioned(x, codes)
		}
	case map[string]any:
		for name, x := range v {
			if list, is := x.([]any); is && name == "cautions" {
				for _, c := range list {
					if code, is := c.(string); is {
						codes = append(codes, code)
					}
				}
			}
			codes = cautioned(x, codes)
		}
	}
	return codes
}
