package finish_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"

	"endfloat/openapi/finish"
)

func small(t *testing.T) (files map[string][]byte, doc *openapi3.T) {
	t.Helper()
	files, err := finish.Files(finish.Places{Source: filepath.Join("testdata", "small")})
	if err != nil {
		t.Fatal(err)
	}
	doc, err = openapi3.NewLoader().LoadFromData(files["openapi.json"])
	if err != nil {
		t.Fatal(err)
	}
	return files, doc
}

func TestSchemas(t *testing.T) {
	t.Parallel()
	files, doc := small(t)
	schema := func(name string) *openapi3.Schema { return doc.Components.Schemas[name].Value }
	thing, ask := schema("Thing"), schema("ThingRequest")
	for _, row := range []struct {
		name      string
		got, want any
	}{
		{"version", doc.OpenAPI, "3.0.3"},
		{"an answer has all that is not left out when empty", thing.Required, []string{"count", "key"}},
		{"an answer is open", thing.AdditionalProperties.Has == nil, true},
		{"a request has what it demands", ask.Required, []string{"key"}},
		{"a request is closed", *ask.AdditionalProperties.Has, false},
		{"what a request holds is closed", *schema("Shared").AdditionalProperties.Has, false},
		{"bounds of a list", []uint64{ask.Properties["list"].Value.MinItems, *ask.Properties["list"].Value.MaxItems}, []uint64{1, 5000}},
		{"numbers are double", thing.Properties["size"].Value.Format, "double"},
		{"numbers in lists are double", thing.Properties["sizes"].Value.Items.Value.Format, "double"},
		{"a pattern is lifted", schema("Part").Properties["sku"].Value.Pattern, "^[A-Z]+$"},
		{"a format is lifted", thing.Properties["count"].Value.Format, "int32"},
		{"a part is a plain reference", thing.Properties["part"].Ref, "#/components/schemas/Part"},
		{"a type's comment describes it", schema("Part").Description, "Part is a part of a thing."},
	} {
		if diff := cmp.Diff(row.want, row.got); diff != "" {
			t.Errorf("%s (-want +got)\n%s", row.name, diff)
		}
	}
	for name, want := range map[string][]string{
		"openapi.json":     {`"openapi": "3.0.3"`, `"example": 0.10,`, "0.10,\n", "0.250\n", `"example": 1.50`},
		"openapi.yaml":     {"openapi: 3.0.3", "example: 0.10\n", "- 0.10\n", "- 0.250\n", "example: 1.50\n"},
		"openapi-3.1.json": {`"openapi": "3.1.1"`, `1.50`},
		"openapi-3.1.yaml": {"openapi: 3.1.1"},
	} {
		for _, w := range want {
			if !strings.Contains(string(files[name]), w) {
				t.Errorf("%s has no %q", name, w)
			}
		}
	}
	if strings.Contains(string(files["openapi.json"]), "x-pattern") {
		t.Error("an extension that was lifted still stands there")
	}
}

func TestOperations(t *testing.T) {
	t.Parallel()
	_, doc := small(t)
	get, post := doc.Paths.Value("/things/{key}").Get, doc.Paths.Value("/things").Post
	answer := get.Responses.Value("200").Value
	body := post.RequestBody.Value
	for _, row := range []struct {
		name      string
		got, want any
	}{
		{"statuses of a look-up", statuses(get), "200 304 400 401 404 406 429 500 503"},
		{"statuses of a question", statuses(post), "200 400 401 406 413 415 422 429 500 503"},
		{"a fault is a problem alone", media(get.Responses.Value("503").Value.Content), "application/problem+json"},
		{"an answer has its forms", media(answer.Content), "application/json text/csv"},
		{"rows are text", answer.Content["text/csv"].Schema.Value.Type.Is("string"), true},
		{"rows that are sent are text", body.Content["text/csv"].Schema.Value.Type.Is("string"), true},
		{"how long a body may be", body.Description, "what is asked; at most 5000 bytes"},
		{"how long a parameter may be", *get.Parameters[1].Value.Schema.Value.MaxLength, uint64(2000)},
		{"a list of words bounds itself", get.Parameters[2].Value.Schema.Value.MaxLength == nil, true},
		{"open to all", len(*get.Security), 0},
		{"a look-up has a tag", answer.Headers["ETag"] != nil, true},
		{"a replayed look-up names its revision", answer.Headers["Catalogue-Revision"] != nil, true},
		{"an answer in words names their language", answer.Headers["Content-Language"] != nil, true},
		{"a question says what is left", post.Responses.Value("200").Value.Headers["RateLimit"] != nil && !doc.Components.Headers["RateLimit"].Value.Required, true},
		{"so does a refusal", doc.Components.Responses["TooManyRequests"].Value.Headers["RateLimit-Policy"] != nil, true},
		{"a look-up does not", answer.Headers["RateLimit"] == nil, true},
		{"a question has no tag", post.Responses.Value("200").Value.Headers["ETag"] == nil, true},
	} {
		if diff := cmp.Diff(row.want, row.got); diff != "" {
			t.Errorf("%s (-want +got)\n%s", row.name, diff)
		}
	}
}

func TestBrokenSourcesAreRefused(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ source, want string }{
		{"broken_map", "Answer.items: a map keyed by data"},
		{"broken_name", "GetOneResponse: a schema named like the Response of an operation"},
		{"broken_nameless", "broken.Answer: a schema without a @name"},
		{"broken_fault", "GET /one 400: a fault is answered with {object} problem.Document"},
		{"broken_nullable", "Answer.part: a nullable object"},
		{"broken_example", "value is not one of the allowed values"},
		{"broken_operation", "GET /one: an operation has an id"},
		{"broken_tag", "GET /one: the tag others is described nowhere"},
		{"nowhere", "no such file or directory"},
	} {
		t.Run(row.source, func(t *testing.T) {
			t.Parallel()
			_, err := finish.Files(finish.Places{Source: filepath.Join("testdata", row.source)})
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got %v, want %q", err, row.want)
			}
		})
	}
}

// Shapes that no annotation brings about are refused all the same.
func TestRefuse(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, schema, want string }{
		{"oneOf", `{"oneOf":[{"type":"string"},{"type":"number"}]}`, "Thing: oneOf"},
		{"anyOf deep down", `{"type":"object","properties":{"a":{"type":"array","items":{"anyOf":[{"type":"string"}]}}}}`, "Thing.a[]: anyOf"},
		{"nullable object", `{"type":"object","nullable":true,"properties":{"a":{"type":"string"}}}`, "Thing: a nullable object"},
		{"map", `{"type":"object","additionalProperties":{"type":"string"}}`, "Thing: a map keyed by data"},
		{"open object without names", `{"type":"object"}`, "Thing: a map keyed by data"},
		{"no type", `{"description":"anything"}`, "Thing: no type"},
		{"nullable scalar", `{"type":"string","nullable":true}`, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			doc, err := openapi3.NewLoader().LoadFromData([]byte(`{"openapi":"3.0.3","info":{"title":"t","version":"1"},"paths":{},
				"components":{"schemas":{"Thing":` + row.schema + `}}}`))
			if err != nil {
				t.Fatal(err)
			}
			got := ""
			if err := finish.Refuse(doc); err != nil {
				got = err.Error()
			}
			if got != row.want {
				t.Errorf("got %q, want %q", got, row.want)
			}
		})
	}
}
