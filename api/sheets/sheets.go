// Package sheets answers check sheets: a blank one, a filled one judged, gated and signed, and whether a signed one is
// still what was signed.
//
// It decides how a sheet is read and shown as JSON, CSV and HTML, and what is signed of it. It refuses to know what a
// sheet proves, which service/sheet does, and how a reading is judged, which it asks api/judging. Nothing is stored.
//
//	desk := sheets.New(book, judging.New(book), keys, time.Now)
//	reply, err := desk.Judge(request) // POST /v1/sheets
package sheets

import (
	"strings"
	"time"

	"endfloat/api/judging"
	"endfloat/api/page"
	"endfloat/api/rim"
	"endfloat/api/signature"
	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/sheet"
)

// Handlers answer sheets. They are safe for concurrent use.
type Handlers struct {
	book  *text.Book
	bench judging.Handlers
	keys  signature.Keys
	now   func() time.Time
	pages *page.Pages

	memory *memory
}

// New makes the handlers. Without a key that signs, sheets are unsigned and say so. now tells the day.
func New(book *text.Book, bench judging.Handlers, keys signature.Keys, now func() time.Time) Handlers {
	return Handlers{book, bench, keys, now, page.New(), &memory{}}
}

// Most of what one sheet may hold.
const (
	MaxLines   = 1000
	MaxPieces  = 32
	MaxRenewed = 100
	maxName    = 64
	maxReason  = 500
)

func (h Handlers) today() string { return h.now().UTC().Format(time.DateOnly) }

func (h Handlers) say(lang, code string, params ...note.Param) string {
	return h.book.Note(lang, note.New(code, params...))
}

// family is the family in the address. Faults: unknown_family.
func family(r *rim.Request) (*catalogue.Family, error) {
	key := r.Param("family")
	if f, ok := r.Revision.Family(key); ok {
		return f, nil
	}
	known := make([]string, len(r.Revision.Families))
	for i, f := range r.Revision.Families {
		known[i] = f.Key
	}
	return nil, fault.New(fault.NotFound, "unknown_family", note.New("found_no_family_key_those", note.Str("key", rim.Quote(key)), note.Str("list", strings.Join(known, ", "))))
}

// scopeName is the word for a scope, or the name of the component that it is.
func (h Handlers) scopeName(lang string, p *sheet.Plan) string {
	if h.book.Has("scope_" + p.Scope) {
		return h.book.Word(lang, "scope_"+p.Scope)
	}
	for _, c := range p.Family.Components {
		if c.Key == p.Scope {
			return c.Name.In(lang)
		}
	}
	return p.Scope
}

func variantName(f *catalogue.Family, id, lang string) string {
	for _, v := range f.Variants {
		if v.ID == id {
			return v.Name.In(lang)
		}
	}
	return ""
}
