package judging

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
)

// Form is how a table is written: what stands between its cells and what marks its decimals. The zero value is none;
// FormOf makes one.
type Form struct{ in form }

// FormOf is the form that the query declares; nothing is guessed from the cells.
func FormOf(r *rim.Request) (Form, error) {
	f, err := formOf(r)
	return Form{f}, err
}

// Delimiter stands between cells.
func (f Form) Delimiter() rune { return f.in.delimiter }

// Show is an exact number as a cell; an absent one is an empty cell.
func (f Form) Show(d wire.Decimal) string { return f.in.show(d) }

// Number reads a cell as a number; one with the mark that was not declared is added to bad.
func (f Form) Number(cell string, row int, column string, bad *fault.List) wire.Number {
	c := record{form: f.in, line: row, bad: bad}
	return c.numberIn(cell, column)
}

// Reading reads a cell: a number, several numbers as repeats, blades written size:feel, or a word.
func (f Form) Reading(cell string, row int, column string, bad *fault.List) wire.ReadingRequest {
	c := record{form: f.in, line: row, bad: bad}
	return c.reading(cell, column)
}
