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
	"github.com/google/go-cmp/cmp"

	"endfloat/openapi"
)

// Every operation is answered when its examples are sent as they stand in the file, in each of its forms.
func TestExamplesAreAnswered(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			for media, form := range op.Responses.Value("200").Value.Content {
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
					shown(t, w, rev.Name, media, form.Example)
					for _, name := range []string{"Link", "Evaluation-Summary", "ETag", "Content-Language", "Catalogue-Revision", "Cache-Control"} {
						if w.Header().Get(name) != "" && op.Responses.Value("200").Value.Headers[name] == nil {
							t.Errorf("the file does not say that the answer has %s", name)
						}
					}
				})
			}
		}
	}
}

// shown compares an answer with its example in the file, which has another name of the revision and may be the beginning
// alone. An answer that no schema describes has one, but for the second form of a file that has one form only.
func shown(t *testing.T, w *httptest.ResponseRecorder, revision, media string, example any) {
	t.Helper()
	answered, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
	got := strings.ReplaceAll(w.Body.String(), revision, "r-5f1c2a9e0b7d")
	switch example := example.(type) {
	case nil:
		if !strings.HasSuffix(media, "json") && media == answered {
			t.Errorf("the file has no example of %s", media)
		}
	case string:
		beginning, part := strings.CutSuffix(example, "…")
		if part && !strings.HasPrefix(got, beginning) || !part && got != example {
			t.Errorf("the example is\n%s\nthe answer\n%s", example, got)
		}
	default:
		var answer any
		if err := json.Unmarshal([]byte(got), &answer); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(example, answer); diff != "" {
			t.Errorf("(-example +answer)\n%s", diff)
		}
	}
}

// Bodies that are tables are answered as they stand in the file.
func TestExamplesOfTablesAreAnswered(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	tables := 0
	for path, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			if op.RequestBody == nil || op.RequestBody.Value.Content["text/csv"] == nil {
				continue
			}
			tables++
			body, is := op.RequestBody.Value.Content["text/csv"].Example.(string)
			r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(body))
			r.Header.Set("Content-Type", "text/csv")
			r.Header.Set("Accept", "application/json")
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			if !is || w.Code != http.StatusOK || strings.Contains(w.Body.String(), `"problem":{`) || !strings.Contains(w.Body.String(), `"verdict":"pass"`) {
				t.Errorf("%s %q: %d %s", path, body, w.Code, w.Body)
			}
		}
	}
	if tables < 2 {
		t.Errorf("%d addresses read tables", tables)
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
