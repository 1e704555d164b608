// Package problem turns faults into problem documents (RFC 9457). It holds the one table from kinds of fault to
// status and slug, which the problem pages read too.
//
// Its sentences are those of the book. It refuses to know routes, and it never shows an error that nobody named: those
// become the fixed internal problem.
//
//	doc, named := problem.Of(err, "urn:uuid:…", problem.Voice{Book: book, Lang: "de"})
package problem

import (
	"errors"
	"strings"

	"endfloat/api/text"
	"endfloat/service/fault"
)

// ContentType is the media type of every problem.
const ContentType = "application/problem+json"

// Document is what a caller receives instead of an answer.
type Document struct {
	Type          string  `json:"type" example:"/problems/values-not-accepted"`
	Title         string  `json:"title" example:"The values cannot be accepted"`
	Status        int     `json:"status" example:"422"`
	Code          string  `json:"code" example:"invalid_values"`
	Detail        string  `json:"detail" example:"2 values cannot be accepted; each is listed with its remedy."`
	Instance      string  `json:"instance" example:"urn:uuid:0b9f5f0e-6f0d-4a53-9f0e-2f3b6b1d6a55"`
	Errors        []Fault `json:"errors,omitzero"`
	ErrorsOmitted int     `json:"errors_omitted,omitzero" example:"0"`
} //@name Problem

// Fault is one thing that is wrong with a request. Exactly one of pointer, parameter, header, and row with column
// says where; an empty pointer is the whole body, and row 0 the heading of a table.
type Fault struct {
	Code      string  `json:"code" example:"decimal_comma"`
	Detail    string  `json:"detail" example:"\"0,15\" is written with a decimal comma"`
	Fix       string  `json:"fix,omitzero" example:"send a JSON number with a decimal point and without quotes"`
	Pointer   *string `json:"pointer,omitzero" example:"/checks/0/readings/0/value"`
	Parameter string  `json:"parameter,omitzero" example:"unit"`
	Header    string  `json:"header,omitzero" example:"Authorization"`
	Row       *int    `json:"row,omitzero" example:"1"`
	Column    string  `json:"column,omitzero" example:"reading_1"`
} //@name Fault

// Class is a row of the table.
type Class struct {
	Kind   fault.Kind
	Status int
	Slug   string
}

// Table lists every problem there is.
func Table() []Class {
	return []Class{
		{fault.Malformed, 400, "cannot-be-read"},
		{fault.Unnamed, 401, "key-not-known"},
		{fault.NotFound, 404, "no-such-thing"},
		{fault.Method, 405, "method-not-allowed"},
		{fault.Unserved, 406, "not-acceptable"},
		{fault.TooLarge, 413, "too-large"},
		{fault.MediaType, 415, "wrong-media-type"},
		{fault.Invalid, 422, "values-not-accepted"},
		{fault.TooMany, 429, "too-many-requests"},
		{fault.Internal, 500, "fault-of-ours"},
		{fault.Unavailable, 503, "not-now"},
	}
}

// Voice says things in a language.
type Voice struct {
	Book *text.Book
	Lang string
}

func (v Voice) word(c Class, about string) string {
	return v.Book.Word(v.Lang, "word_problem_"+strings.ReplaceAll(c.Slug, "-", "_")+about)
}

// Title is the title of the class.
func (c Class) Title(v Voice) string { return v.word(c, "") }

// Detail is what the class says where a fault brings nothing of its own.
func (c Class) Detail(v Voice) string { return v.word(c, "_detail") }

// About is what the page of the class explains.
func (c Class) About(v Voice) string { return v.word(c, "_about") }

// Of is the document of an error, and the error itself. Errors that are no *fault.Error become the internal problem with
// its fixed text.
func Of(err error, instance string, v Voice) (Document, *fault.Error) {
	var f *fault.Error
	switch named := errors.As(err, &f); {
	case !named || f.Kind == fault.Internal && f.Cause == nil:
		f = &fault.Error{Kind: fault.Internal, Code: "internal", Cause: err}
	case f.Kind == fault.Internal:
		f = &fault.Error{Kind: fault.Internal, Code: "internal", Cause: f.Cause}
	}
	class := classOf(f.Kind)
	doc := Document{Type: "/problems/" + class.Slug, Title: class.Title(v), Status: class.Status, Code: f.Code, Instance: instance,
		ErrorsOmitted: f.Omitted}
	for i := range f.Violations {
		doc.Errors = append(doc.Errors, v.fault(&f.Violations[i]))
	}
	switch {
	case f.Detail.Code != "":
		doc.Detail = v.Book.Note(v.Lang, f.Detail)
	case len(doc.Errors) == 1:
		doc.Detail = v.sentence(doc.Errors[0])
	default:
		doc.Detail = class.Detail(v)
	}
	return doc, f
}

// sentence puts what was found and what to do about it into one line.
func (v Voice) sentence(f Fault) string {
	if f.Fix == "" {
		return f.Detail
	}
	return f.Detail + v.Book.Word(v.Lang, "word_colon") + f.Fix
}

// fault is one fault as callers receive it.
func (v Voice) fault(x *fault.Violation) Fault {
	f := Fault{Code: x.Code, Detail: v.Book.Note(v.Lang, x.Detail), Parameter: x.At.Parameter, Header: x.At.Header, Column: x.At.Column}
	if x.Fix.Code != "" {
		f.Fix = v.Book.Note(v.Lang, x.Fix)
	}
	if x.At.Column != "" {
		f.Row = &x.At.Row
	}
	if x.At.Pointer != "" || x.At.Root {
		f.Pointer = &x.At.Pointer
	}
	return f
}

func classOf(kind fault.Kind) Class {
	var internal Class
	for _, c := range Table() {
		if c.Kind == kind {
			return c
		}
		if c.Kind == fault.Internal {
			internal = c
		}
	}
	return internal
}
