// Package judging answers what readings mean: verdicts, what to measure with, whether a change adds up.
//
// It decides how checks are read, how results are shown and in which order cautions stand. It refuses to know what a
// verdict rests on: it converts, calls service/judge and converts back.
//
//	bench := judging.New(book)
//	reply, err := bench.Evaluate(request) // POST /v1/evaluations
package judging

import (
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/spec"
)

// Handlers judge. They are safe for concurrent use.
type Handlers struct {
	book *text.Book
	kept *sayings
}

// New makes the handlers.
func New(book *text.Book) Handlers { return Handlers{book, &sayings{}} }

// Most of what one request may hold.
const (
	MaxChecks = 5000
	MaxRows   = 10000
	MaxSizes  = 8
	MaxID     = 64
	MaxNote   = 2000
	MaxPlaces = 32
)

// unknownSpec is the violation of a key that no spec has.
func unknownSpec(rev *catalogue.Revision, key spec.Key, at wire.At) fault.Violation {
	detail := "no spec has the key " + rim.Quote(string(key))
	if near, ok := rev.NearestSpec(key); ok {
		detail += "; the nearest is " + near
	}
	return at.Fault("unknown_spec", detail, "GET /v1/specs lists every key")
}
