// Package fault is the closed list of ways in which a request cannot be answered.
//
// A verdict, a plan that finds nothing and a value that was never published are results and never faults.
// A fault carries a Code (a stable word), what was found and how to mend it as notes, and where; all of it is safe to
// show. What may not be shown travels as Cause and is only logged. The package refuses to know HTTP and languages.
//
//	return fault.New(fault.NotFound, "unknown_spec", note.New("found_no_spec_key", note.Str("key", fault.Quote(key))))
package fault

import (
	"strconv"
	"strings"

	"endfloat/service/note"
)

// Kind sorts faults by what a caller can do about them.
type Kind uint8

// The kinds. Internal is the zero value: an error that nobody named.
const (
	Internal    Kind = iota
	Malformed        // cannot be read: syntax and shape
	Unnamed          // key not known (authentication)
	NotFound         // no such thing
	Method           // wrong method
	Unserved         // no representation the caller accepts
	MediaType        // body of the wrong media type
	TooLarge         // body over its limit
	Invalid          // read, but the values cannot be accepted
	TooMany          // quota used up
	Unavailable      // not now
)

// Place says where in a request a value stands. At most one of Pointer, Parameter, Header and Row is set.
type Place struct {
	Pointer   string // RFC 6901, "" with Root set is the whole document
	Root      bool
	Parameter string
	Header    string
	Row       int // 1-based data row of a CSV body, with Column
	Column    string
}

// Violation is one thing that is wrong with a request.
type Violation struct {
	Code   string
	Detail note.Note // what was found
	Fix    note.Note // what to send instead
	At     Place
}

// Error is a fault. It implements error; Cause is never part of the text.
type Error struct {
	Kind       Kind
	Code       string
	Detail     note.Note // without a code: the violations say it
	Violations []Violation
	Omitted    int // violations that were not listed
	Cause      error
	RetryAfter int // seconds, for TooMany and Unavailable
}

// New is an Error that one note says.
func New(kind Kind, code string, detail note.Note) *Error {
	return &Error{Kind: kind, Code: code, Detail: detail}
}

// Error is the code and what was found, in codes and values.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Code)
	if e.Detail.Code != "" {
		b.WriteString(": " + e.Detail.String())
	}
	for _, v := range e.Violations {
		b.WriteString("; " + v.Code + " at " + v.At.String())
	}
	return b.String()
}

// Unwrap is the cause, for logs.
func (e *Error) Unwrap() error { return e.Cause }

// String is the place as a person would name it.
func (p Place) String() string {
	switch {
	case p.Parameter != "":
		return "parameter " + p.Parameter
	case p.Header != "":
		return "header " + p.Header
	case p.Column != "":
		return "column " + p.Column
	case p.Pointer != "":
		return p.Pointer
	}
	return "the document"
}

// MaxListed is how many violations an Error lists.
const MaxListed = 100

// List collects violations. The zero value is ready; it is not safe for concurrent use.
type List struct {
	items   []Violation
	omitted int
}

// Add appends a violation, or counts it once MaxListed are held.
func (l *List) Add(v Violation) {
	if len(l.items) >= MaxListed {
		l.omitted++
		return
	}
	l.items = append(l.items, v)
}

// Len is how many violations were added, the omitted ones included.
func (l *List) Len() int { return len(l.items) + l.omitted }

// First is the first violation; ok is false where there is none.
func (l *List) First() (v Violation, ok bool) {
	if len(l.items) == 0 {
		return Violation{}, false
	}
	return l.items[0], true
}

// Each calls f with every violation that is listed, in their order.
func (l *List) Each(f func(Violation)) {
	for _, v := range l.items {
		f(v)
	}
}

// Err is nil, or an Invalid error with all that was added.
func (l *List) Err() error {
	if l.Len() == 0 {
		return nil
	}
	return &Error{Kind: Invalid, Code: "invalid_values", Violations: l.items, Omitted: l.omitted}
}

// longestShown is how much of a text of the caller is shown, in characters.
const longestShown = 40

// Short is a text of the caller, cut where it is long.
func Short(text string) string {
	if r := []rune(text); len(r) > longestShown {
		return string(r[:longestShown]) + "…"
	}
	return text
}

// Quote is a text of the caller as details show it: in quotes, short, and without control characters.
func Quote(text string) string { return strconv.Quote(Short(text)) }

// Pointer joins reference tokens to an RFC 6901 pointer, escaping them.
func Pointer(tokens ...string) string {
	var b strings.Builder
	for _, t := range tokens {
		b.WriteByte('/')
		b.WriteString(pointerEscapes.Replace(t))
	}
	return b.String()
}

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")
