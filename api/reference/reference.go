// Package reference draws the OpenAPI file as one page without scripts, for narrow screens, for paper and for readers
// that run none.
//
// It decides order and layout. It refuses to know any operation: everything on the page stands in the file, and what a
// newer file has more of appears by itself.
//
//	page, err := reference.Read(openapi.JSON()) // operations by subject, then every shape by its name
package reference

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Page is what is drawn.
type Page struct {
	About    string
	Subjects []Subject
	Shapes   []Shape
}

// Subject is a group of operations.
type Subject struct {
	Name, About string
	Operations  []Operation
}

// Operation is one method of one address.
type Operation struct {
	ID, Method, Path, Title, About string
	Key                            bool // takes a key
	Parameters                     []Field
	Body                           []Content
	Example                        string // of the body
	Answers                        []Answer
}

// Answer is one status with its forms.
type Answer struct {
	Status, About string
	Forms         []Content
	Headers       []string
}

// Content is a media type with what stands in it.
type Content struct {
	Media string
	Type  Type
}

// Type is how a value is written: words, and the shape that they name where they name one.
type Type struct{ Before, Shape string }

// Shape is an object that answers or bodies have.
type Shape struct {
	Name, About string
	Fields      []Field
}

// Field is a member of a shape or a parameter.
type Field struct {
	Name, In, About string
	Type            Type
	Required        bool
	Words           []string // that are allowed; empty: any
	Bounds          string
	Example         string
}

// Read takes a page from an OpenAPI file of version 3. Errors: a file that is no JSON, and a reference to nowhere.
func Read(file []byte) (*Page, error) {
	var doc document
	if err := json.Unmarshal(file, &doc); err != nil {
		return nil, err
	}
	p := &Page{About: doc.Info.Description}
	for _, tag := range doc.Tags {
		s := Subject{Name: tag.Name, About: tag.Description}
		for _, path := range slices.Sorted(maps.Keys(doc.Paths)) {
			for _, method := range []string{"get", "post"} {
				op, ok := doc.Paths[path][method]
				if !ok || !slices.Contains(op.Tags, tag.Name) {
					continue
				}
				drawn, err := doc.operation(strings.ToUpper(method), path, op)
				if err != nil {
					return nil, fmt.Errorf("%s %s: %w", method, path, err)
				}
				s.Operations = append(s.Operations, drawn)
			}
		}
		p.Subjects = append(p.Subjects, s)
	}
	for _, name := range slices.Sorted(maps.Keys(doc.Components.Schemas)) {
		s := doc.Components.Schemas[name]
		p.Shapes = append(p.Shapes, Shape{Name: name, About: s.Description, Fields: fields(s)})
	}
	return p, nil
}

func (d *document) operation(method, path string, op operation) (Operation, error) {
	o := Operation{ID: op.OperationID, Method: method, Path: path, Title: op.Summary, About: op.Description,
		Key: slices.ContainsFunc(op.Security, func(m map[string]jsontext.Value) bool { return len(m) > 0 })}
	for _, p := range op.Parameters {
		if p.Ref != "" {
			named, ok := d.Components.Parameters[last(p.Ref)]
			if !ok {
				return o, fmt.Errorf("no parameter %s", p.Ref)
			}
			p = named
		}
		f := field(p.Name, p.Schema)
		f.In, f.Required, f.About = p.In, p.Required, cmp.Or(p.Description, f.About)
		if p.Example != nil {
			f.Example = shown(p.Example)
		}
		o.Parameters = append(o.Parameters, f)
	}
	o.Body = contents(op.RequestBody.Content)
	if body, ok := op.RequestBody.Content["application/json"]; ok && body.Example != nil {
		v := body.Example.Clone()
		if err := v.Indent(jsontext.WithIndent("  ")); err != nil {
			return o, err
		}
		o.Example = string(v)
	}
	for _, status := range slices.Sorted(maps.Keys(op.Responses)) {
		r := op.Responses[status]
		if r.Ref != "" {
			named, ok := d.Components.Responses[last(r.Ref)]
			if !ok {
				return o, fmt.Errorf("no response %s", r.Ref)
			}
			r = named
		}
		o.Answers = append(o.Answers, Answer{Status: status, About: r.Description, Forms: contents(r.Content), Headers: slices.Sorted(maps.Keys(r.Headers))})
	}
	return o, nil
}

func contents(by map[string]content) (list []Content) {
	for _, media := range slices.Sorted(maps.Keys(by)) {
		list = append(list, Content{Media: media, Type: typeOf(by[media].Schema)})
	}
	return list
}

func fields(s *schema) (list []Field) {
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		f := field(name, s.Properties[name])
		f.Required = slices.Contains(s.Required, name)
		list = append(list, f)
	}
	return list
}

func field(name string, s *schema) Field {
	f := Field{Name: name}
	if s == nil {
		return f
	}
	f.Type, f.About, f.Bounds, f.Example = typeOf(s), strings.TrimSuffix(s.Description, "."), s.bounds(), shown(s.Example)
	for _, w := range s.words() {
		f.Words = append(f.Words, shown(w))
	}
	return f
}

// last is the name at the end of a reference.
func last(ref string) string { return ref[strings.LastIndexByte(ref, '/')+1:] }

// shown is a JSON value for an eye: a text without its quotes.
func shown(v jsontext.Value) string {
	var s string
	if v.Kind() == '"' && json.Unmarshal(v, &s) == nil {
		return s
	}
	return string(v)
}
