package wire

import (
	"endfloat/api/text"
	"endfloat/service/note"
)

// Note is a warning, a next step or a step of a trace: a stable code, the sentence in the language asked for, and
// the values in it.
type Note struct {
	Code   string  `json:"code" example:"uneven_places"`
	Text   string  `json:"text" example:"The places differ by 0.12 mm."`
	Params []Param `json:"params"`
} //@name Note

// Param is one named value of a note. The value is finished text with the digits it is meant to have.
type Param struct {
	Name  string `json:"name" example:"spread"`
	Value string `json:"value" example:"0.12"`
	Unit  string `json:"unit,omitzero" example:"mm"`
} //@name Param

// Caution is a warning about harm. Severity 1 is the most severe.
type Caution struct {
	Code     string `json:"code" example:"left_hand_thread"`
	Severity int    `json:"severity" example:"1"`
	Text     string `json:"text" example:"Left-hand thread: tightens anticlockwise, loosens clockwise."`
} //@name Caution

// Band is an interval with both ends inside it; a missing end is not limited.
type Band struct {
	Lower Decimal `json:"lower,omitzero" swaggertype:"number" example:"0.08"`
	Upper Decimal `json:"upper,omitzero" swaggertype:"number" example:"0.35"`
} //@name Band

// FromNote is a note with its sentence. A parameter without a value, which a sentence may ask for, is left out.
func FromNote(n note.Note, lang string, book *text.Book) Note {
	w := Note{Code: n.Code, Text: book.Note(lang, n), Params: make([]Param, 0, len(n.Params))}
	for _, p := range n.Params {
		if p.Value != "" {
			w.Params = append(w.Params, Param{Name: p.Name, Value: p.Value, Unit: string(p.Unit)})
		}
	}
	return w
}

// FromNotes are notes with their sentences; nil for none.
func FromNotes(list []note.Note, lang string, book *text.Book) []Note {
	var out []Note
	for _, n := range list {
		out = append(out, FromNote(n, lang, book))
	}
	return out
}
