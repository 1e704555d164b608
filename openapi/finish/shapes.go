package finish

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// each visits every schema that stands in the document, with a name for messages. References are not followed: what
// they name is visited once, where it stands.
func each(doc *openapi3.T, visit func(where string, s *openapi3.Schema)) {
	for _, name := range slices.Sorted(maps.Keys(doc.Components.Schemas)) {
		walk(name, doc.Components.Schemas[name], visit)
	}
	for _, path := range slices.Sorted(maps.Keys(doc.Paths.Map())) {
		for method, op := range doc.Paths.Value(path).Operations() {
			eachOf(method+" "+path, op, visit)
		}
	}
}

func eachOf(where string, op *openapi3.Operation, visit func(string, *openapi3.Schema)) {
	for _, p := range op.Parameters {
		if p.Ref == "" && p.Value.Schema != nil {
			walk(where+" "+p.Value.Name, p.Value.Schema, visit)
		}
	}
	if op.RequestBody != nil && op.RequestBody.Value != nil {
		for _, m := range op.RequestBody.Value.Content {
			walk(where+" body", m.Schema, visit)
		}
	}
	for status, r := range op.Responses.Map() {
		if r.Ref != "" || r.Value == nil {
			continue
		}
		for _, m := range r.Value.Content {
			walk(where+" "+status, m.Schema, visit)
		}
	}
}

func walk(where string, ref *openapi3.SchemaRef, visit func(string, *openapi3.Schema)) {
	if ref == nil || ref.Ref != "" || ref.Value == nil {
		return
	}
	visit(where, ref.Value)
	for _, name := range slices.Sorted(maps.Keys(ref.Value.Properties)) {
		walk(where+"."+name, ref.Value.Properties[name], visit)
	}
	for _, s := range slices.Concat(ref.Value.AllOf, ref.Value.OneOf, ref.Value.AnyOf) {
		walk(where, s, visit)
	}
	walk(where+"[]", ref.Value.Items, visit)
}

// Refuse finds the shapes that the file promises not to have: oneOf, anyOf, a nullable object, a map keyed by data, a
// schema without a type, one named like the Response of an operation, and one without a name of its own. The error
// lists them all; nil means there is none.
func Refuse(doc *openapi3.T) error {
	var faults []error
	fault := func(where, what string) { faults = append(faults, fmt.Errorf("%s: %s", where, what)) }
	each(doc, func(where string, s *openapi3.Schema) {
		switch {
		case len(s.OneOf) > 0:
			fault(where, "oneOf")
		case len(s.AnyOf) > 0:
			fault(where, "anyOf")
		case s.Nullable && (s.Type == nil || s.Type.Is("object")):
			fault(where, "a nullable object")
		case s.AdditionalProperties.Schema != nil || isMap(s):
			fault(where, "a map keyed by data")
		case s.Type == nil && len(s.AllOf) == 0:
			fault(where, "no type")
		}
	})
	for name := range doc.Components.Schemas {
		if strings.HasSuffix(name, "Response") {
			fault(name, "a schema named like the Response of an operation")
		}
		if strings.Contains(name, ".") {
			fault(name, "a schema without a @name")
		}
	}
	slices.SortFunc(faults, func(a, b error) int { return strings.Compare(a.Error(), b.Error()) })
	return errors.Join(faults...)
}

func isMap(s *openapi3.Schema) bool {
	open := s.AdditionalProperties.Has
	return s.Type.Is("object") && len(s.Properties) == 0 && (open == nil || *open)
}
