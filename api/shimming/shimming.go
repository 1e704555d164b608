// Package shimming answers what to fit: plans of shims over HTTP.
//
// It decides how a request for a plan is read, which of its values are faults, and how a plan is shown: first what to
// fit, then why. It refuses to know how options rank: it converts, calls service/shim and converts back. What was read
// is read and judged by package judging.
//
//	plans := shimming.New(book, judging.New(book))
//	reply, err := plans.Plan(request) // POST /v1/shim-plans
package shimming

import (
	"endfloat/api/judging"
	"endfloat/api/text"
)

// Handlers plan shims. They are safe for concurrent use.
type Handlers struct {
	book  *text.Book
	bench judging.Handlers
}

// New makes the handlers; bench reads and judges what was measured.
func New(book *text.Book, bench judging.Handlers) Handlers { return Handlers{book, bench} }

// Most of what one request may hold.
const (
	MaxPlaces  = 32
	MaxLines   = 500 // of a ladder and of what is on hand
	MaxCount   = 1000
	MaxOptions = 50
	MaxSets    = 32
	MaxPieces  = 32 // at one place
	MaxSpecs   = 64
	MaxEffects = 16 // specs that one place changes
)
