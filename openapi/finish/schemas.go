package finish

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// finishSchemas gives every schema what the annotations lose.
func finishSchemas(doc *openapi3.T, src source) error {
	sent, answered := reached(doc)
	for _, name := range slices.Sorted(maps.Keys(doc.Components.Schemas)) {
		schema := doc.Components.Schemas[name].Value
		if schema == nil {
			continue
		}
		from, known := src[name]
		if !known && len(schema.Properties) > 0 {
			return fmt.Errorf("schema %s: no struct type of that name was found", name)
		}
		if schema.Description == "" {
			schema.Description = from.about
		}
		if sent[name] && schema.Type.Is("object") {
			schema.WithoutAdditionalProperties()
		}
		schema.Required = required(schema, from, answered[name] && !sent[name])
	}
	each(doc, func(_ string, s *openapi3.Schema) { finishSchema(s) })
	restoreDigits(doc, src)
	return nil
}

// required lists the properties that are always there. An answer has every field that is not left out when empty.
func required(schema *openapi3.Schema, from shape, answer bool) []string {
	var list []string
	for _, name := range slices.Sorted(maps.Keys(schema.Properties)) {
		f := from.fields[name]
		if f.demand || answer && f.always {
			list = append(list, name)
		}
	}
	return list
}

func finishSchema(s *openapi3.Schema) {
	switch {
	case s.Type.Is("number"):
		s.Format = "double"
	case s.Type.Is("integer") && s.Format == "":
		s.Format = "int64"
	}
	lift(s.Extensions, "x-pattern", func(v any) { s.Pattern = fmt.Sprint(v) })
	lift(s.Extensions, "x-format", func(v any) { s.Format = fmt.Sprint(v) })
	lift(s.Extensions, "x-example", func(v any) { s.Example = v })
	for name, p := range s.Properties {
		s.Properties[name] = plainRef(p)
	}
	if s.Items != nil {
		s.Items = plainRef(s.Items)
	}
}

// plainRef is a reference itself in place of an allOf with nothing but that reference: what stands beside it describes
// the property and no shape.
func plainRef(ref *openapi3.SchemaRef) *openapi3.SchemaRef {
	if ref.Ref == "" && ref.Value != nil && len(ref.Value.AllOf) == 1 && len(ref.Value.Properties) == 0 && !ref.Value.Nullable {
		return ref.Value.AllOf[0]
	}
	return ref
}

func lift(extensions map[string]any, name string, set func(any)) {
	if v, ok := extensions[name]; ok {
		set(v)
		delete(extensions, name)
	}
}

// restoreDigits puts the examples of numbers back as they were written: 0.10 stays 0.10.
func restoreDigits(doc *openapi3.T, src source) {
	for name, ref := range doc.Components.Schemas {
		for property, p := range ref.Value.Properties {
			text := src[name].fields[property].example
			if p.Ref != "" || p.Value == nil || text == "" {
				continue
			}
			if ex, ok := digits(p.Value, text); ok {
				p.Value.Example = ex
			}
		}
	}
}

func digits(s *openapi3.Schema, text string) (any, bool) {
	switch {
	case s.Type.Is("number"):
		return json.Number(text), json.Valid([]byte(text))
	case s.Type.Is("array") && s.Items.Value != nil && s.Items.Value.Type.Is("number"):
		var list []any
		for part := range strings.SplitSeq(text, ",") {
			part = strings.TrimSpace(part)
			if !json.Valid([]byte(part)) {
				return nil, false
			}
			list = append(list, json.Number(part))
		}
		return list, true
	}
	return nil, false
}

const schemaPrefix = "#/components/schemas/"

// reached tells which schemas are reached from bodies that are sent and from answers.
func reached(doc *openapi3.T) (sent, answered map[string]bool) {
	sent, answered = map[string]bool{}, map[string]bool{}
	for _, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			if op.RequestBody != nil && op.RequestBody.Value != nil {
				follow(doc, op.RequestBody.Value.Content, sent)
			}
			for _, r := range op.Responses.Map() {
				if r.Value != nil {
					follow(doc, r.Value.Content, answered)
				}
			}
		}
	}
	return sent, answered
}

func follow(doc *openapi3.T, content openapi3.Content, seen map[string]bool) {
	for _, media := range content {
		if media.Schema != nil {
			followRef(doc, media.Schema, seen)
		}
	}
}

func followRef(doc *openapi3.T, ref *openapi3.SchemaRef, seen map[string]bool) {
	s := ref.Value
	if name, ok := strings.CutPrefix(ref.Ref, schemaPrefix); ok {
		if seen[name] {
			return
		}
		seen[name] = true
		if target := doc.Components.Schemas[name]; target != nil {
			s = target.Value
		}
	}
	if s == nil {
		return
	}
	for _, p := range s.Properties {
		followRef(doc, p, seen)
	}
	for _, p := range s.AllOf {
		followRef(doc, p, seen)
	}
	if s.Items != nil {
		followRef(doc, s.Items, seen)
	}
}
