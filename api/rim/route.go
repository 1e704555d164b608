// Package rim is the edge between HTTP and handlers: what a route is, what a handler is given and gives back, and how
// bodies, queries, languages and forms are read and answered.
//
// It decides what HTTP means here. It refuses to know engines, limits and sentences. A handler decodes, converts,
// calls the service, converts and returns a Reply or an error; only the adapter writes.
//
//	func (h Handlers) spec(r *rim.Request) (rim.Reply, error) {
//		key := r.Param("spec")
//		…
//		return rim.JSON(answer), nil
//	}
package rim

import (
	"context"
	"net/http"
	"net/url"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// Class sorts routes by what they cost and how they are kept apart under load.
type Class uint8

// The classes. Static answers depend on the build alone, look-ups on the catalogue; the others compute.
const (
	Static Class = iota
	Lookup
	Judge
	Plan
	Sheet
)

// Media types of answers and requests.
const (
	MediaJSON   = "application/json"
	MediaCSV    = "text/csv"
	MediaText   = "text/plain"
	MediaHTML   = "text/html"
	MediaSVG    = "image/svg+xml"
	MediaJSONLD = "application/ld+json"
	MediaYAML   = "application/yaml"
	MediaLinks  = "application/linkset+json"
	MediaKeys   = "application/jwk-set+json"
	MediaCSS    = "text/css"
	MediaJS     = "text/javascript"
)

// Handler answers one request. It is safe for concurrent use.
type Handler func(*Request) (Reply, error)

// Route is a row of the one route table: everything that the adapter, HEAD, CORS, the limits, the documents and the
// tests need to know about an address.
type Route struct {
	Method   string
	Path     string // in gin's notation
	Class    Class
	Cost     int      // of one request, in units of the quota
	Media    []string // forms of the answer, the default first
	Reads    []string // media types of the body, the default first; empty: no body
	Body     int64    // most bytes of a body
	Query    []string // names of query parameters; one that ends in * may repeat
	Lang     bool     // the answer has sentences
	Brief    bool     // a few lines whatever is asked: never compressed
	Volatile bool     // depends on more than build and catalogue: never stored
	Handle   Handler
	Number   int // place in the table
}

// Request is what a handler is given. It must not be kept after the handler returns.
type Request struct {
	HTTP      *http.Request
	Route     *Route
	Param     func(name string) string
	Query     url.Values
	Lang      string // one of spec.Languages
	Media     string // one of Route.Media
	Revision  *catalogue.Revision
	Policy    spec.JudgePolicy
	Pinned    bool   // the policy is pinned by the caller's key
	Body      []byte // whole
	BodyMedia string // one of Route.Reads
}

// Context ends when the caller has gone or the time for the answer is up.
func (r *Request) Context() context.Context { return r.HTTP.Context() }

// One is the value of a query parameter that stands at most once; empty where it is missing.
func (r *Request) One(name string) string { return r.Query.Get(name) }

// Decode reads the JSON body into v, strictly.
func (r *Request) Decode(v any) error { return Decode(r.Body, v) }

// Reply is an answer. Value is encoded as JSON unless Bytes hold a ready representation in Request.Media.
type Reply struct {
	Value  any
	Bytes  []byte
	Header []Header
	Effort *Effort // nil: nothing worth counting
}

// Effort is how much work a plan was: the steps of its search, the options it found, and whether the search came to
// its end.
type Effort struct {
	Nodes, Options int
	Proven         bool
}

// Header is one more header field of an answer.
type Header struct{ Name, Value string }

// JSON is an answer that is encoded as JSON.
func JSON(v any) Reply { return Reply{Value: v} }

// Ready is an answer that is encoded already, in the form the request negotiated.
func Ready(b []byte) Reply { return Reply{Bytes: b} }
