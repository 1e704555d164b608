package finish

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// examples are what a reader may send as it stands: values of parameters by name, or by operation and name, and bodies
// by operation.
type examples struct {
	parameters map[string]any
	bodies     map[string]any
}

// readExamples reads parameters.json and one file a body, named after its operation.
func readExamples(place string) (examples, error) {
	ex := examples{bodies: map[string]any{}}
	if place == "" {
		return ex, nil
	}
	dir := os.DirFS(place)
	text, err := fs.ReadFile(dir, "parameters.json")
	if errors.Is(err, fs.ErrNotExist) {
		return ex, nil
	}
	if err != nil {
		return ex, err
	}
	if ex.parameters, err = object(text); err != nil {
		return ex, fmt.Errorf("parameters.json: %w", err)
	}
	names, err := fs.Glob(dir, "*.json")
	if err != nil {
		return ex, err
	}
	for _, name := range names {
		operation := strings.TrimSuffix(name, ".json")
		if operation == "parameters" {
			continue
		}
		text, err := fs.ReadFile(dir, name)
		if err != nil {
			return ex, err
		}
		if ex.bodies[operation], err = object(text); err != nil {
			return ex, fmt.Errorf("%s: %w", name, err)
		}
	}
	return ex, nil
}

// object reads a JSON object and keeps the digits of its numbers.
func object(text []byte) (map[string]any, error) {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	var v map[string]any
	if err := dec.Decode(&v); err != nil {
		return nil, err
	}
	return v, nil
}

// addExamples puts the examples where they belong. A body for an operation that does not exist is an error: its
// example is no longer sent by any test.
func addExamples(doc *openapi3.T, ex examples) error {
	used := map[string]bool{}
	for _, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			for _, p := range op.Parameters {
				if p.Value.Example == nil && p.Ref == "" {
					p.Value.Example = ex.parameter(op.OperationID, p.Value)
				}
			}
			body, ok := ex.bodies[op.OperationID]
			if !ok || op.RequestBody == nil {
				continue
			}
			if media := op.RequestBody.Value.Content["application/json"]; media != nil {
				media.Example = body
				used[op.OperationID] = true
			}
		}
	}
	for _, operation := range slices.Sorted(maps.Keys(ex.bodies)) {
		if !used[operation] {
			return fmt.Errorf("examples: no operation %s reads JSON", operation)
		}
	}
	return nil
}

// parameter is the example of a parameter. One that may be left out has an example only for its own operation.
func (ex examples) parameter(operation string, p *openapi3.Parameter) any {
	if v, ok := ex.parameters[operation+"."+p.Name]; ok {
		return v
	}
	if !p.Required {
		return nil
	}
	return ex.parameters[p.Name]
}
