package finish

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

// examples are what a reader may send as it stands: values of parameters by name, or by operation and name, and bodies
// by operation and media type; and what is answered to that, as far as no schema shows it. A text that ends in … is the
// beginning of an answer. Of the problems that operations share each has one, by its status.
type examples struct {
	parameters                map[string]any
	bodies, answers, problems map[string]map[string]any
}

// forms are the media types by the ends of file names.
var forms = map[string]string{".json": "application/json", ".jsonld": linkedMedia, ".csv": "text/csv", ".txt": "text/plain", ".html": "text/html",
	".svg": "image/svg+xml", ".yaml": "application/yaml", ".css": "text/css", ".js": "text/javascript"}

// readExamples reads parameters.json, one file a body, and one an answer in the directory answers; they are named after
// their operation. Those in the directory problems are named after their status.
func readExamples(place string) (examples, error) {
	ex := examples{bodies: map[string]map[string]any{}, answers: map[string]map[string]any{}, problems: map[string]map[string]any{}}
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
	if err := readForms(dir, "*.*", ex.bodies); err != nil {
		return ex, err
	}
	delete(ex.bodies, "parameters")
	if err := readForms(dir, "answers/*.*", ex.answers); err != nil {
		return ex, err
	}
	return ex, readForms(dir, "problems/*.json", ex.problems)
}

// readForms reads the files of a pattern into a table by operation and media type.
func readForms(dir fs.FS, pattern string, into map[string]map[string]any) error {
	names, err := fs.Glob(dir, pattern)
	if err != nil {
		return err
	}
	for _, name := range names {
		text, err := fs.ReadFile(dir, name)
		if err != nil {
			return err
		}
		media, known := forms[path.Ext(name)]
		if !known {
			return fmt.Errorf("%s: no form of an example", name)
		}
		var value any = string(text)
		if strings.HasSuffix(media, "json") {
			if value, err = object(text); err != nil {
				return fmt.Errorf("%s: %w", name, err)
			}
		}
		operation := strings.TrimSuffix(path.Base(name), path.Ext(name))
		if into[operation] == nil {
			into[operation] = map[string]any{}
		}
		into[operation][media] = value
	}
	return nil
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

// addExamples puts the examples where they belong. One for an operation or a form that does not exist is an error: no
// test sends it any more.
func addExamples(doc *openapi3.T, ex examples) error {
	for _, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			for _, p := range op.Parameters {
				if p.Value.Example == nil && p.Ref == "" {
					p.Value.Example = ex.parameter(op.OperationID, p.Value)
				}
			}
			if op.RequestBody != nil {
				show(op.RequestBody.Value.Content, ex.bodies[op.OperationID])
			}
			if ok := op.Responses.Value("200"); ok != nil && ok.Value != nil {
				show(ok.Value.Content, ex.answers[op.OperationID])
			}
		}
	}
	for status, p := range problems {
		if r := doc.Components.Responses[p.name]; r != nil {
			for media, example := range ex.problems[status] {
				r.Value.Content[problemMedia].Example = example
				delete(ex.problems[status], media)
			}
		}
	}
	for _, table := range []map[string]map[string]any{ex.bodies, ex.answers, ex.problems} {
		for _, operation := range slices.Sorted(maps.Keys(table)) {
			for media := range table[operation] {
				return fmt.Errorf("examples: no operation %s has %s", operation, media)
			}
		}
	}
	return nil
}

// show puts examples into the forms that they are of, and takes them off the list.
func show(content openapi3.Content, list map[string]any) {
	for media, example := range list {
		if m := content[media]; m != nil {
			m.Example = example
			delete(list, media)
		}
	}
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
