// Package wire holds the JSON shapes that several resources share, and the converters between them and the domain.
//
// It decides how a number, a spec, a selection or a note is written and read. It refuses to know routes and headers.
// Request types end in Request or are parts of one; a converter collects every violation with its JSON Pointer.
//
//	var at wire.At = "/checks/0"
//	d, ok := n.Decimal(at.Key("value"), unit, &violations)
package wire
