package judging

import (
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/note"
)

// voice says things in one language. It serves one request and is not safe for concurrent use.
type voice struct {
	book *text.Book
	lang string
	cell bool   // answers are cells of a table, where notes are codes and nothing is said twice
	buf  []byte // room for the texts of a result

	colon, semicolon string // with the spaces of the language
}

func (v *voice) say(code string, params ...note.Param) string {
	return v.book.Note(v.lang, note.New(code, params...))
}

func (v *voice) append(b []byte, code string, params ...note.Param) []byte {
	return v.book.Append(b, v.lang, note.New(code, params...))
}

func (v *voice) word(code string) string { return v.book.Word(v.lang, code) }

// notes puts notes into words; an empty list stays one.
func (v *voice) notes(list []note.Note) []wire.Note {
	out := make([]wire.Note, len(list))
	for i, n := range list {
		if v.cell {
			out[i].Code = n.Code
			continue
		}
		out[i] = wire.FromNote(n, v.lang, v.book)
	}
	return out
}
