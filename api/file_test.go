package api_test

import (
	"log/slog"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"

	"endfloat/api"
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/openapi"
)

// promise is what the OpenAPI file and the route table both say about an operation.
type promise struct {
	Media, Reads, Query []string
	Replayed, Worded    bool
	Body                int64 // most bytes
}

var named = regexp.MustCompile(`:([a-z_]+)`)

// fromTable is what the route table says, by method and path in the notation of the file.
func fromTable(routes []rim.Route) map[string]promise {
	all := map[string]promise{}
	for _, r := range routes {
		p := promise{Media: slices.Sorted(slices.Values(r.Media)), Reads: slices.Sorted(slices.Values(r.Reads))}
		for _, q := range r.Query {
			p.Query = append(p.Query, strings.TrimSuffix(q, "*"))
		}
		slices.Sort(p.Query)
		p.Replayed = r.Class != rim.Static
		p.Worded = r.Lang
		p.Body = r.Body
		all[r.Method+" "+named.ReplaceAllString(r.Path, "{$1}")] = p
	}
	return all
}

// fromFile is what the OpenAPI file says.
func fromFile(t *testing.T) map[string]promise {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]promise{}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			var p promise
			for media := range op.Responses.Value("200").Value.Content {
				p.Media = append(p.Media, media)
			}
			if op.RequestBody != nil {
				for media := range op.RequestBody.Value.Content {
					p.Reads = append(p.Reads, media)
				}
				if most, ok := op.RequestBody.Value.Extensions["x-body-bytes"].(float64); ok {
					p.Body = int64(most)
				}
			}
			for _, q := range op.Parameters {
				if q.Value.In == "query" {
					p.Query = append(p.Query, q.Value.Name)
				}
			}
			slices.Sort(p.Media)
			slices.Sort(p.Reads)
			slices.Sort(p.Query)
			fields := op.Responses.Value("200").Value.Headers
			p.Replayed = fields["Catalogue-Revision"] != nil
			p.Worded = fields["Content-Language"] != nil
			all[method+" "+path] = p
		}
	}
	return all
}

// The route table and the OpenAPI file name the same operations, with the same forms, bodies and query parameters.
func TestRoutesAndFileAgree(t *testing.T) {
	t.Parallel()
	routes := api.Routes(text.New(), api.Deps{Catalogue: one{}, Log: slog.New(slog.DiscardHandler)}, api.Config{})
	if diff := cmp.Diff(fromFile(t), fromTable(routes)); diff != "" {
		t.Errorf("-file +table; the annotation or the table is wrong, or go run ./openapi/generate was not run\n%s", diff)
	}
}
