// Package judging answers what readings mean: verdicts, what to measure with, whether a change adds up.
//
// It decides how checks are read, how results are shown and in which order cautions stand. It refuses to know what a
// verdict rests on: it converts, calls service/judge and converts back.
//
//	bench := judging.New(book)
//	reply, err := bench.Evaluate(request) // POST /v1/evaluations
package judging

import "endfloat/api/text"

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
	MaxKey    = 200
	MaxNote   = 2000
	MaxPlaces = 32
)
