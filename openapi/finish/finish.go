// Package finish makes the OpenAPI file from the annotated handlers.
//
// It decides what the file says beyond the annotations: the media type of every answer, the problems every operation
// may answer, shared header fields, closed request shapes, the digits of examples, and OpenAPI 3.1 beside 3.0. It
// refuses shapes that clients of many languages cannot read: oneOf, anyOf, nullable objects and maps keyed by data. It
// refuses to know the project it describes: it reads source text alone and links none of it.
//
//	files, err := finish.Files(finish.Places{Source: "api", Examples: "openapi/examples"})
//	os.WriteFile("openapi.json", files["openapi.json"], 0o644)
package finish

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"maps"
	"slices"

	"github.com/getkin/kin-openapi/openapi2"
	"github.com/getkin/kin-openapi/openapi2conv"
	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3conv"
	"github.com/swaggo/swag"
)

// The versions of OpenAPI that are written.
const (
	version30 = "3.0.3"
	version31 = "3.1.1"
)

// Places are the directories that are read.
type Places struct {
	Source   string // of the annotated handlers; its file doc.go has the annotations of the whole
	Examples string // of the examples; may be empty or missing
}

// Files makes the four forms of the OpenAPI file, by file name. The same source gives the same bytes. Errors name the
// operation or schema that is at fault.
func Files(at Places) (map[string][]byte, error) {
	src, err := readSource(at.Source)
	if err != nil {
		return nil, err
	}
	doc, err := annotated(at.Source)
	if err != nil {
		return nil, err
	}
	shown, err := readExamples(at.Examples)
	if err != nil {
		return nil, err
	}
	doc.OpenAPI = version30
	if err := finishSchemas(doc, src); err != nil {
		return nil, err
	}
	if err := finishOperations(doc); err != nil {
		return nil, err
	}
	if err := addExamples(doc, shown); err != nil {
		return nil, err
	}
	if err := Refuse(doc); err != nil {
		return nil, err
	}
	files := map[string][]byte{}
	if err := write(files, "openapi", doc); err != nil {
		return nil, err
	}
	later, err := load(files["openapi.json"])
	if err != nil {
		return nil, err
	}
	restoreDigits(later, src)
	openapi3conv.Upgrade(later)
	later.OpenAPI = version31
	if err := write(files, "openapi-3.1", later); err != nil {
		return nil, err
	}
	return files, nil
}

// annotated reads the annotations as Swagger 2.0 and converts them as they are.
func annotated(dir string) (*openapi3.T, error) {
	parser := swag.New(swag.SetDebugger(log.New(io.Discard, "", 0)))
	if err := parser.ParseAPIMultiSearchDir([]string{dir}, "doc.go", 0); err != nil {
		return nil, fmt.Errorf("annotations: %w", err)
	}
	old, err := json.Marshal(parser.GetSwagger())
	if err != nil {
		return nil, err
	}
	var doc2 openapi2.T
	if err := json.Unmarshal(old, &doc2); err != nil {
		return nil, err
	}
	return openapi2conv.ToV3(&doc2)
}

// write adds a document as JSON and YAML, once what was written has been read back and found valid with its examples.
func write(files map[string][]byte, name string, doc *openapi3.T) error {
	compact, err := inOrder(doc)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := json.Indent(&b, compact, "", "  "); err != nil {
		return err
	}
	b.WriteByte('\n')
	back, err := load(b.Bytes())
	if err != nil {
		return err
	}
	if err := back.Validate(context.Background(), openapi3.EnableExamplesValidation()); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	y, err := toYAML(b.Bytes())
	if err != nil {
		return err
	}
	files[name+".json"] = b.Bytes()
	files[name+".yaml"] = y
	return nil
}

// inOrder is a document with its parts in the order in which they are read.
func inOrder(doc *openapi3.T) ([]byte, error) {
	whole, err := json.Marshal(doc)
	if err != nil {
		return nil, err
	}
	var parts map[string]json.RawMessage
	if err := json.Unmarshal(whole, &parts); err != nil {
		return nil, err
	}
	var b bytes.Buffer
	for _, key := range []string{"openapi", "info", "servers", "tags", "security", "paths", "components"} {
		part, ok := parts[key]
		if !ok {
			continue
		}
		delete(parts, key)
		fmt.Fprintf(&b, ",%q:%s", key, part)
	}
	if len(parts) > 0 {
		return nil, fmt.Errorf("parts without a place: %v", slices.Sorted(maps.Keys(parts)))
	}
	return append([]byte{'{'}, append(b.Bytes()[1:], '}')...), nil
}

func load(b []byte) (*openapi3.T, error) {
	return openapi3.NewLoader().LoadFromData(b)
}
