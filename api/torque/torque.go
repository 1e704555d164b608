// Package torque answers what to set on a wrench, and gives a generic figure to whoever asks for one.
//
// It decides how the questions are read and how the answers are shown. It refuses to know how a setting or an estimate
// is computed, and never puts a generic figure beside a published one: it converts, calls service/torque and converts
// back.
//
//	bench := torque.New(book)
//	reply, err := bench.Set(request)      // POST /v1/torque-settings
//	reply, err = bench.Estimate(request)  // POST /v1/torque-estimates
package torque

import (
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Handlers answer about torque. They are safe for concurrent use.
type Handlers struct{ book *text.Book }

// New makes the handlers.
func New(book *text.Book) Handlers { return Handlers{book} }

// MaxWrenches is how many wrenches one request may offer.
const MaxWrenches = 20

// Amount is a number with its unit.
type Amount struct {
	Value wire.Decimal `json:"value" swaggertype:"number" example:"25.5"`
	Unit  string       `json:"unit" example:"N·m"`
} //@name Amount

// amountRequest is a number with its unit in a request.
type amountRequest struct {
	Value wire.Number `json:"value" swaggertype:"number" example:"2.1" validate:"required"`
	Unit  string      `json:"unit" example:"N·m" validate:"required"`
}

// exactPlaces is how many decimals a figure that is not rounded to anything is shown with.
const exactPlaces = 6

// exact is a number as it is, to six decimals, surplus zeros dropped.
func exact(x quantity.Exact, u quantity.Unit) Amount {
	return Amount{wire.Dec(x.Print(0, exactPlaces)), string(u)}
}

// engine is what a request says about the engine.
type engine struct {
	variant, number string
	marks           []wire.MarkRequest
}

// specOf is the spec that a key names, for the engine. ok is false where a fault was added.
func specOf(rev *catalogue.Revision, key string, e engine, at wire.At, bad *fault.List) (res catalogue.Resolved, open []note.Note, ok bool) {
	entry, known := rev.Entry(spec.Key(key))
	if !known {
		bad.Add(wire.UnknownSpec(rev, spec.Key(key), at.Key("spec")))
		return res, nil, false
	}
	before := bad.Len()
	wire.CheckSelection(e.variant, e.number, e.marks, at, bad)
	wire.CheckEngine(rev, spec.Key(key), e.variant, e.marks, at, bad)
	sel := wire.ToSelection(e.variant, e.number, e.marks, catalogue.Selection{})
	if f, has := rev.FamilyOf(spec.Key(key)); has {
		sel, open, _ = wire.Narrow(rev, f, sel, at, note.New("fix_name_spec_family"), bad)
	}
	if bad.Len() > before {
		return res, nil, false
	}
	if len(entry.Overrides) == 0 {
		open = nil
	}
	return entry.Resolve(sel), open, true
}

// say is a sentence.
func (h Handlers) say(lang, code string, params ...note.Param) string {
	return h.book.Note(lang, note.New(code, params...))
}
