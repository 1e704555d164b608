package finish

import (
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

const problemMedia = "application/problem+json"

// finishOperations gives every operation its media types, problems, header fields and openness.
func finishOperations(doc *openapi3.T) error {
	share(doc)
	ids := map[string]string{}
	for _, path := range slices.Sorted(maps.Keys(doc.Paths.Map())) {
		for method, op := range doc.Paths.Value(path).Operations() {
			where := method + " " + path
			if op.OperationID == "" || op.Summary == "" || op.Description == "" || len(op.Tags) != 1 {
				return fmt.Errorf("%s: an operation has an id, a summary, a description and one tag", where)
			}
			if doc.Tags.Get(op.Tags[0]) == nil {
				return fmt.Errorf("%s: the tag %s is described nowhere", where, op.Tags[0])
			}
			if other, twice := ids[op.OperationID]; twice {
				return fmt.Errorf("%s: the id %s stands at %s as well", where, op.OperationID, other)
			}
			ids[op.OperationID] = where
			if err := finishOperation(doc, where, method, op); err != nil {
				return err
			}
		}
	}
	prune(doc)
	return nil
}

func finishOperation(doc *openapi3.T, where, method string, op *openapi3.Operation) error {
	op.Security = openapi3.NewSecurityRequirements()
	if method == http.MethodPost { // with or without a key
		op.Security.With(openapi3.NewSecurityRequirement()).With(openapi3.NewSecurityRequirement().Authenticate(keyScheme))
	}
	takes := map[string]bool{}
	for _, p := range op.Parameters {
		takes[p.Value.Name] = true
		liftParameter(p.Value)
	}
	finishBody(op)
	for status, r := range op.Responses.Map() {
		if r.Value == nil {
			continue
		}
		switch status[0] {
		case '2':
			if *r.Value.Description == "OK" { // what the annotations say where they say nothing
				r.Value.Description = &op.Summary
			}
			if err := linkData(r.Value.Content, op.Responses.Default()); err != nil {
				return fmt.Errorf("%s: %w", where, err)
			}
			finishAnswer(r.Value, method, takes)
		case '4', '5':
			if err := asProblem(r.Value); err != nil {
				return fmt.Errorf("%s %s: %w", where, status, err)
			}
		}
	}
	for _, status := range problemsOf(method, takes, op) {
		if op.Responses.Value(status) == nil {
			op.Responses.Set(status, &openapi3.ResponseRef{Ref: responsePrefix + problems[status].name,
				Value: doc.Components.Responses[problems[status].name].Value})
		}
	}
	if method == http.MethodGet {
		op.Parameters = append(op.Parameters, &openapi3.ParameterRef{Ref: "#/components/parameters/IfNoneMatch",
			Value: doc.Components.Parameters["IfNoneMatch"].Value})
		op.Responses.Set("304", &openapi3.ResponseRef{Ref: responsePrefix + "NotModified",
			Value: doc.Components.Responses["NotModified"].Value})
	}
	op.Responses.Delete("default")
	return nil
}

// longestParameter is the most bytes of a parameter that are read.
const longestParameter = 2000

// liftParameter moves what the annotations carry as extensions to where it belongs.
func liftParameter(p *openapi3.Parameter) {
	lift(p.Extensions, "x-example", func(v any) { p.Example = v })
	if p.Schema != nil && p.Schema.Value != nil {
		lift(p.Extensions, "x-pattern", func(v any) { p.Schema.Value.Pattern = fmt.Sprint(v) })
		s := p.Schema.Value
		if s.Type.Is("array") && s.Items != nil && s.Items.Value != nil {
			s = s.Items.Value
		}
		if s.Type.Is("string") && s.Enum == nil && s.MaxLength == nil {
			s.WithMaxLength(longestParameter)
		}
	}
}

// mostBytes is the most that is read of a body, where the operation does not say x-body-bytes.
const mostBytes = 1 << 20

// finishBody describes bodies that are no JSON as text, since their rows have no schema of JSON, and states how long a
// body may be.
func finishBody(op *openapi3.Operation) {
	if op.RequestBody == nil || op.RequestBody.Value == nil {
		return
	}
	body := op.RequestBody.Value
	body.Required = true
	texts(body.Content)
	most := mostBytes
	lift(op.Extensions, "x-body-bytes", func(v any) {
		if n, ok := v.(float64); ok {
			most = int(n)
		}
	})
	body.Extensions = map[string]any{"x-body-bytes": most}
	body.Description = strings.TrimSuffix(body.Description, ".") + fmt.Sprintf("; at most %d bytes", most)
}

func texts(content openapi3.Content) {
	for media := range content {
		if strings.HasPrefix(media, "text/") || media == "image/svg+xml" || media == "application/yaml" {
			content[media] = openapi3.NewMediaType().WithSchema(openapi3.NewStringSchema())
		}
	}
}

// linkedMedia is JSON-LD. The annotations know one shape for all forms of JSON: what this form has they say as the
// answer of every other status, which no operation has.
const linkedMedia = "application/ld+json"

// linkData gives JSON-LD its own shape.
func linkData(content openapi3.Content, other *openapi3.ResponseRef) error {
	if content[linkedMedia] == nil {
		return nil
	}
	if other == nil || other.Value == nil || other.Value.Content[linkedMedia] == nil {
		return fmt.Errorf("what %s holds stands nowhere: annotate it as the default answer", linkedMedia)
	}
	content[linkedMedia] = openapi3.NewMediaType().WithSchemaRef(other.Value.Content[linkedMedia].Schema)
	return nil
}

// finishAnswer gives an answer its media types and header fields.
func finishAnswer(r *openapi3.Response, method string, takes map[string]bool) {
	texts(r.Content)
	fields := []string{"Access-Control-Allow-Origin", "Cache-Control"}
	if method == http.MethodGet {
		fields = append(fields, "ETag", "Vary")
	}
	if method == http.MethodPost {
		fields = append(fields, "RateLimit", "RateLimit-Policy")
	}
	if method == http.MethodPost || takes["revision"] {
		fields = append(fields, "Catalogue-Revision")
	}
	if takes["lang"] {
		fields = append(fields, "Content-Language")
	}
	if r.Headers == nil {
		r.Headers = openapi3.Headers{}
	}
	for _, name := range fields {
		if r.Headers[name] == nil {
			r.Headers[name] = &openapi3.HeaderRef{Ref: "#/components/headers/" + name}
		}
	}
}

// asProblem makes an annotated fault a problem document, whatever the operation answers otherwise.
func asProblem(r *openapi3.Response) error {
	var schema *openapi3.SchemaRef
	for media, m := range r.Content {
		schema = m.Schema
		delete(r.Content, media)
	}
	if schema == nil || schema.Ref != schemaPrefix+"Problem" {
		return fmt.Errorf("a fault is answered with {object} problem.Document")
	}
	r.Content = openapi3.Content{problemMedia: openapi3.NewMediaType().WithSchemaRef(schema)}
	return nil
}

// problemsOf lists the statuses of the problems that an operation may answer beyond those annotated.
func problemsOf(method string, takes map[string]bool, op *openapi3.Operation) []string {
	list := []string{"400", "401", "406", "429", "500"}
	named := takes["revision"]
	for _, p := range op.Parameters {
		named = named || p.Value.In == "path"
	}
	if named {
		list = append(list, "404")
	}
	if method == http.MethodPost {
		list = append(list, "413", "415", "422", "503")
	}
	return list
}
