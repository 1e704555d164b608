// Package problem turns faults into problem documents (RFC 9457). It holds the one table from kinds of fault to
// status, slug and title, which the problem pages and the OpenAPI file read too.
//
// It refuses to know routes, and it never shows an error that nobody named: those become the fixed internal problem.
//
//	doc := problem.Of(err, "urn:uuid:…")
package problem

import (
	"errors"

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
	Title  string
	Detail string // where the fault brings none
	About  string // for the page that explains the problem
}

// Table lists every problem there is.
func Table() []Class {
	return []Class{
		{fault.Malformed, 400, "cannot-be-read", "The request cannot be read",
			"The request is not shaped as the OpenAPI file says.",
			"The body is no JSON, or has an unknown, repeated or misspelt key, a value of the wrong JSON type, a null or trailing text; or the address has a query parameter that is unknown or cannot be read. The first fault is named with its place. Mend it and send the request again."},
		{fault.Unnamed, 401, "key-not-known", "The key is not known",
			"The Authorization header names a key that is not known here.",
			"No key is needed. If one is sent it must be one that was issued here and not revoked."},
		{fault.NotFound, 404, "no-such-thing", "There is no such thing here",
			"Nothing stands at this address.",
			"The address, the key in it or the revision asked for does not exist. GET /v1/specs lists every key."},
		{fault.Method, 405, "method-not-allowed", "The method is not allowed here",
			"This address does not answer that method; the Allow header lists those it answers.",
			"Look-ups answer GET and HEAD, questions with a body answer POST."},
		{fault.Unserved, 406, "not-acceptable", "No acceptable form",
			"This address has no form that the Accept header or the format parameter allows.",
			"Ask for application/json, or for one of the other forms that the OpenAPI file lists for the address."},
		{fault.TooLarge, 413, "too-large", "The body is too large",
			"The body is larger than this address accepts.",
			"Each address has a limit, which the OpenAPI file states. Split the batch."},
		{fault.MediaType, 415, "wrong-media-type", "The body is of the wrong media type",
			"This address does not read bodies of that media type.",
			"Send Content-Type: application/json in UTF-8, or text/csv where the OpenAPI file says so."},
		{fault.Invalid, 422, "values-not-accepted", "The values cannot be accepted",
			"The request can be read, but its values cannot be accepted; each fault is listed with its remedy.",
			"Every fault is listed with its place, what was found and what to send instead."},
		{fault.TooMany, 429, "too-many-requests", "Too many requests",
			"The quota is used up for now; the Retry-After header says when to come back.",
			"Wait as long as Retry-After says. A key raises the quota."},
		{fault.Internal, 500, "fault-of-ours", "A fault of ours",
			"Something failed on this side. The request may be sent again.",
			"The fault was logged under the instance that the problem names. The request may be sent again."},
		{fault.Unavailable, 503, "not-now", "Not now",
			"The service cannot answer this now; the Retry-After header says when to come back.",
			"Too much work of this kind is under way, or the work did not end in its time. Nothing was stored; the request may be sent again."},
	}
}

// Of is the document of an error. Errors that are no *fault.Error become the internal problem with its fixed text.
func Of(err error, instance string) (Document, *fault.Error) {
	var f *fault.Error
	switch named := errors.As(err, &f); {
	case !named || f.Kind == fault.Internal && f.Cause == nil:
		f = &fault.Error{Kind: fault.Internal, Code: "internal", Cause: err}
	case f.Kind == fault.Internal:
		f = &fault.Error{Kind: fault.Internal, Code: "internal", Cause: f.Cause}
	}
	class := classOf(f.Kind)
	doc := Document{
		Type: "/problems/" + class.Slug, Title: class.Title, Status: class.Status,
		Code: f.Code, Detail: f.Detail, Instance: instance, ErrorsOmitted: f.Omitted,
	}
	if doc.Detail == "" || f.Kind == fault.Internal {
		doc.Detail = class.Detail
	}
	for _, v := range f.Violations {
		doc.Errors = append(doc.Errors, FromViolation(v))
	}
	if len(doc.Errors) == 1 && f.Detail == "" {
		doc.Detail = sentence(doc.Errors[0], ": ")
	}
	return doc, f
}

// sentence puts what was found and what to do about it into one line, with the colon of the language between them.
func sentence(f Fault, colon string) string {
	if f.Fix == "" {
		return f.Detail
	}
	return f.Detail + colon + f.Fix
}

// FromViolation is one fault as callers receive it.
func FromViolation(v fault.Violation) Fault {
	f := Fault{Code: v.Code, Detail: v.Detail, Fix: v.Fix, Parameter: v.At.Parameter, Header: v.At.Header, Column: v.At.Column}
	if v.At.Column != "" {
		f.Row = &v.At.Row
	}
	if v.At.Pointer != "" || v.At.Root {
		f.Pointer = &v.At.Pointer
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
