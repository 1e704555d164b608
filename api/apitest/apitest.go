// Package apitest holds every exchange of a test against the OpenAPI file.
//
// It decides whether what went over HTTP is what the file promises: a known operation, a request that fits wherever it
// was accepted, a documented status, the header fields, the media type, and a body with nothing missing and nothing
// undocumented. It refuses to know the handlers: the file is all it reads. It is for tests and never part of the
// service.
//
//	h = apitest.Handler(t, h)                    // in one process: every answer of h is checked
//	client := &http.Client{Transport: file.Transport(t, nil)} // over a connection
package apitest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/gorillamux"
)

// File is an OpenAPI file that exchanges are held against. It is safe for concurrent use.
type File struct {
	doc    *openapi3.T
	router routers.Router
}

// Exchange is a request with its answer, both bodies whole.
type Exchange struct {
	Request *http.Request
	Sent    []byte
	Status  int
	Header  http.Header
	Body    []byte
}

// Errors of Check that a test may look for.
var (
	ErrUndocumented = errors.New("the file has no such operation")
	ErrRequest      = errors.New("the service accepted a request that does not fit the file")
	ErrAnswer       = errors.New("the answer does not fit the file")
)

// open is the one schema that leaves the rest of its object to a published specification.
const open = "OpenAPIFile"

// Read reads an OpenAPI file as JSON or YAML. Every object of it is taken as closed: what the file does not name is
// undocumented.
func Read(doc []byte) (*File, error) {
	decoders()
	d, err := openapi3.NewLoader().LoadFromData(doc)
	if err != nil {
		return nil, err
	}
	for name, ref := range d.Components.Schemas {
		if ref.Value.Type.Is("object") && name != open {
			ref.Value.WithoutAdditionalProperties()
		}
	}
	router, err := gorillamux.NewRouter(d)
	if err != nil {
		return nil, err
	}
	return &File{d, router}, nil
}

// decoders teaches the validator the forms it does not know; its register is shared by the whole process.
var decoders = sync.OnceFunc(func() {
	openapi3filter.RegisterBodyDecoder("application/linkset+json", openapi3filter.JSONBodyDecoder)
	openapi3filter.RegisterBodyDecoder("application/ld+json", openapi3filter.JSONBodyDecoder)
	openapi3filter.RegisterBodyDecoder("application/jwk-set+json", openapi3filter.JSONBodyDecoder)
	for _, media := range []string{"text/html", "text/csv", "text/css", "text/javascript", "image/svg+xml", "application/yaml"} {
		openapi3filter.RegisterBodyDecoder(media, openapi3filter.PlainBodyDecoder)
	}
})

// Operations lists "METHOD path" of every operation in the file, paths with names in braces.
func (f *File) Operations() []string {
	var list []string
	for path, item := range f.doc.Paths.Map() {
		for method := range item.Operations() {
			list = append(list, method+" "+path)
		}
	}
	return list
}

// Check holds one exchange against the file. HEAD is held against GET, and a preflight is not looked at. A request
// that was refused, as a whole or in a row of its answer, need not fit; the refusal must.
func (f *File) Check(x Exchange) error {
	if x.Request.Method == http.MethodOptions {
		return nil
	}
	req := x.Request.Clone(x.Request.Context())
	req.Body = io.NopCloser(bytes.NewReader(withoutBlanks(x.Sent)))
	req.URL.Scheme, req.URL.Host, req.Host = "", "", ""
	if len(x.Sent) > 0 && req.Header.Get("Content-Type") == "" {
		req.Header.Set("Content-Type", "application/json") // what the service takes a body for that says nothing
	}
	head := req.Method == http.MethodHead
	if head {
		req.Method = http.MethodGet
	}
	route, params, err := f.router.FindRoute(req)
	if err != nil {
		return f.outside(x)
	}
	options := &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true, SkipSettingDefaults: true,
		AuthenticationFunc: openapi3filter.NoopAuthenticationFunc}
	options.WithCustomSchemaErrorFunc(func(err *openapi3.SchemaError) string {
		return "/" + strings.Join(err.JSONPointer(), "/") + ": " + err.Reason
	})
	in := &openapi3filter.RequestValidationInput{Request: req, PathParams: params, Route: route, Options: options}
	if x.Status < 400 && !bytes.Contains(x.Body, []byte(`"problem":{`)) {
		if err := openapi3filter.ValidateRequest(req.Context(), in); err != nil {
			return fmt.Errorf("%w: %s %s: %w", ErrRequest, req.Method, req.URL, err)
		}
	}
	if x.Status == http.StatusNotModified || head {
		return bodiless(route.Operation, x)
	}
	out := &openapi3filter.ResponseValidationInput{RequestValidationInput: in, Status: x.Status, Header: x.Header, Options: options}
	out.SetBodyBytes(x.Body)
	if err := openapi3filter.ValidateResponse(req.Context(), out); err != nil {
		return fmt.Errorf("%w: %s %s: %w", ErrAnswer, req.Method, req.URL, err)
	}
	return nil
}

// bodiless checks an answer that has no body: its status is documented and it really has none.
func bodiless(op *openapi3.Operation, x Exchange) error {
	if op.Responses.Status(x.Status) == nil {
		return fmt.Errorf("%w: %s %s: status %d is not documented", ErrAnswer, x.Request.Method, x.Request.URL, x.Status)
	}
	if len(x.Body) > 0 {
		return fmt.Errorf("%w: %s %s: status %d came with a body", ErrAnswer, x.Request.Method, x.Request.URL, x.Status)
	}
	return nil
}

// outside checks the answer to what is no operation: a problem that says so.
func (f *File) outside(x Exchange) error {
	where := x.Request.Method + " " + x.Request.URL.String()
	if x.Status != http.StatusNotFound && x.Status != http.StatusMethodNotAllowed && x.Status != http.StatusBadRequest {
		return fmt.Errorf("%w: %s was answered with %d", ErrUndocumented, where, x.Status)
	}
	if media := x.Header.Get("Content-Type"); media != "application/problem+json" {
		return fmt.Errorf("%w: %s: %d is of type %q", ErrAnswer, where, x.Status, media)
	}
	if x.Request.Method == http.MethodHead {
		return nil
	}
	var v any
	if err := json.NewDecoder(strings.NewReader(string(x.Body))).Decode(&v); err != nil {
		return fmt.Errorf("%w: %s: %w", ErrAnswer, where, err)
	}
	if err := f.doc.Components.Schemas["Problem"].Value.VisitJSON(v); err != nil {
		return fmt.Errorf("%w: %s: %w", ErrAnswer, where, err)
	}
	return nil
}
