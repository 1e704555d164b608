package reference_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/api/reference"
	"endfloat/openapi"
)

const small = `{"info":{"description":"About"},"tags":[{"name":"t","description":"T"}],
"paths":{"/a/{x}":{"post":{"operationId":"doA","summary":"A","tags":["t"],"security":[{},{"key":[]}],
  "parameters":[{"name":"x","in":"path","required":true,"schema":{"type":"string","maxLength":9},"example":"ex"},{"$ref":"#/components/parameters/L"}],
  "requestBody":{"content":{"application/json":{"schema":{"$ref":"#/components/schemas/S"},"example":{"n":0.10}}}},
  "responses":{"200":{"description":"ok","content":{"application/json":{"schema":{"type":"array","items":{"$ref":"#/components/schemas/S"}}}},"headers":{"ETag":{}}},"400":{"$ref":"#/components/responses/Bad"}}}}},
"components":{"schemas":{"S":{"description":"An S","required":["n"],"properties":{"n":{"type":"number","example":0.10},"w":{"type":"array","maxItems":3,"items":{"type":"string","enum":["a","b"]}},"s":{"allOf":[{"$ref":"#/components/schemas/S"}]}}}},
 "parameters":{"L":{"name":"lang","in":"query","description":"language","schema":{"type":"string","enum":["en"]}}},
 "responses":{"Bad":{"description":"bad","content":{"application/problem+json":{"schema":{"$ref":"#/components/schemas/S"}}}}}}}`

func TestAFileBecomesAPage(t *testing.T) {
	t.Parallel()
	got, err := reference.Read([]byte(small))
	if err != nil {
		t.Fatal(err)
	}
	of := reference.Type{Shape: "S"}
	want := &reference.Page{About: "About", Subjects: []reference.Subject{{Name: "t", About: "T", Operations: []reference.Operation{{
		ID: "doA", Method: "POST", Path: "/a/{x}", Title: "A", Key: true,
		Parameters: []reference.Field{{Name: "x", In: "path", Required: true, Type: reference.Type{Before: "text"}, Bounds: "at most 9 characters", Example: "ex"},
			{Name: "lang", In: "query", About: "language", Type: reference.Type{Before: "text"}, Words: []string{"en"}}},
		Body: []reference.Content{{Media: "application/json", Type: of}}, Example: "{\n  \"n\": 0.10\n}",
		Answers: []reference.Answer{{Status: "200", About: "ok", Forms: []reference.Content{{Media: "application/json", Type: reference.Type{Before: "list of", Shape: "S"}}}, Headers: []string{"ETag"}},
			{Status: "400", About: "bad", Forms: []reference.Content{{Media: "application/problem+json", Type: of}}}}}}}},
		Shapes: []reference.Shape{{Name: "S", About: "An S", Fields: []reference.Field{{Name: "n", Type: reference.Type{Before: "number"}, Required: true, Example: "0.10"},
			{Name: "s", Type: of}, {Name: "w", Type: reference.Type{Before: "list of text"}, Words: []string{"a", "b"}, Bounds: "at most 3"}}}}}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

func TestWhatCannotBeDrawn(t *testing.T) {
	t.Parallel()
	for _, broken := range []string{"", "[]", strings.Replace(small, "parameters/L", "parameters/M", 1), strings.Replace(small, "responses/Bad", "responses/Good", 1)} {
		if _, err := reference.Read([]byte(broken)); err == nil {
			t.Errorf("%.40q is drawn", broken)
		}
	}
}

// The page has every operation and every shape of the file that is served, and every shape that it names is there.
func TestThePageIsWhole(t *testing.T) {
	t.Parallel()
	page, err := reference.Read(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Paths      map[string]map[string]any
		Components struct{ Schemas map[string]any }
	}
	if err := json.Unmarshal(openapi.JSON(), &file); err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, s := range page.Shapes {
		there[s.Name] = true
	}
	if len(there) != len(file.Components.Schemas) {
		t.Errorf("%d shapes, the file has %d", len(there), len(file.Components.Schemas))
	}
	seen := map[string]bool{}
	for _, s := range page.Subjects {
		for _, o := range s.Operations {
			seen[strings.ToLower(o.Method)+o.Path] = true
			if o.Title == "" || o.About == "" || len(o.Answers) == 0 {
				t.Errorf("%s says too little", o.ID)
			}
			for _, a := range o.Answers {
				for _, f := range a.Forms {
					if f.Type.Shape != "" && !there[f.Type.Shape] {
						t.Errorf("%s: no shape %s", o.ID, f.Type.Shape)
					}
				}
			}
		}
	}
	for path, methods := range file.Paths {
		for method := range methods {
			if (method == "get" || method == "post") && !seen[method+path] {
				t.Errorf("%s %s is not on the page", method, path)
			}
		}
	}
}
