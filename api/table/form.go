// Package table reads tables of cells (RFC 4180) as callers send them: in which form they are written, where their columns
// stand, and what a cell says.
//
// It decides which heads are read and what is wrong with one, and how a reading is written in a cell. It refuses to know
// what columns mean: who asks names those there are.
//
//	form, err := table.FormOf(request)
//	in, err := table.Open(body, form, []string{"id", "spec"}, note.New("fix_the_columns_are", …))
//	cells, err := in.Next() // io.EOF after the last row
package table

import (
	"strings"
	"unicode"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// Form is how a table is written: what stands between its cells and what marks its decimals. The zero value is none;
// FormOf makes one.
type Form struct {
	Delimiter    rune
	DecimalComma bool
}

// FormOf is the form that the query declares; nothing is guessed from the cells.
func FormOf(r *rim.Request) (Form, error) {
	f := Form{Delimiter: ','}
	switch word := r.One("delimiter"); word {
	case "", "comma":
	case "semicolon":
		f.Delimiter = ';'
	case "tab":
		f.Delimiter = '\t'
	default:
		return f, badForm("delimiter", word, "comma", "semicolon", "tab")
	}
	switch word := r.One("decimal"); word {
	case "", "point":
	case "comma":
		f.DecimalComma = true
	default:
		return f, badForm("decimal", word, "point", "comma")
	}
	return f, nil
}

func badForm(name, word string, words ...string) error {
	return rim.BadParameter(name, "bad_parameter", note.New("found_none_words_takes", note.Str("word", rim.Quote(word)), note.Str("name", name)), note.New("fix_send_one_of", note.Str("list", strings.Join(words, ", "))))
}

// Show is an exact number as a cell; an absent one is an empty cell.
func (f Form) Show(d wire.Decimal) string {
	if d.IsZero() {
		return ""
	}
	s := d.Quantity().String()
	if f.DecimalComma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// Number reads a cell as a number, of which an empty one has none; one with the mark that was not declared is added to
// bad, with its row and column.
func (f Form) Number(cell string, row int, column string, bad *fault.List) wire.Number {
	if cell == "" {
		return wire.Number{}
	}
	if f.DecimalComma {
		if strings.Contains(cell, ".") {
			bad.Add(wire.Cell(row, column).Fault("decimal_point", note.New("found_decimal_point_decimal_comma", note.Str("value", rim.Quote(cell))), note.New("fix_write_comma_or_declare")))
			return wire.Number{}
		}
		cell = strings.Replace(cell, ",", ".", 1)
	}
	return wire.NumberFromText(cell)
}

// Reading reads a cell that is not empty: a number, several numbers as repeats, blades written size:feel, or a word.
func (f Form) Reading(cell string, row int, column string, bad *fault.List) wire.ReadingRequest {
	r := wire.ReadingRequest{}
	if strings.Contains(cell, ":") {
		for p := range strings.FieldsSeq(cell) {
			size, feel, _ := strings.Cut(p, ":")
			r.Blades = append(r.Blades, wire.BladeRequest{Size: f.Number(size, row, column, bad), Feel: feel})
		}
		return r
	}
	if first := cell[0]; first != '-' && first != '+' && first != '.' && first != ',' && (first < '0' || first > '9') {
		return wire.ReadingRequest{Category: cell}
	}
	if !strings.ContainsFunc(cell, unicode.IsSpace) {
		return wire.ReadingRequest{Value: f.Number(cell, row, column, bad)}
	}
	for p := range strings.FieldsSeq(cell) {
		r.Repeats = append(r.Repeats, f.Number(p, row, column, bad))
	}
	return r
}
