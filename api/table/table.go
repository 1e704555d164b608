package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// Reader reads a table row by row. It is not safe for concurrent use.
type Reader struct {
	in    *csv.Reader
	names []string
	at    []int
}

// Open reads the head of a table. known are the columns that there may be, in any order; usual is the remedy for another
// one. A table that cannot be read, or has a column that is not known or stands twice, is a fault of the whole request.
func Open(body []byte, f Form, known []string, usual note.Note) (*Reader, error) {
	if !utf8.Valid(body) {
		return nil, bad("bad_text", note.New("found_table_not_utf_8"), note.New("fix_send_utf_8"), "")
	}
	in := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(body, []byte("\ufeff"))))
	in.Comma, in.FieldsPerRecord, in.ReuseRecord = f.Delimiter, -1, true
	head, err := in.Read()
	if err != nil {
		return nil, unread(err, note.New("found_table_no_head"), note.New("fix_start_line_names_columns"))
	}
	r := &Reader{in: in, names: make([]string, len(head)), at: slices.Repeat([]int{-1}, len(known))}
	for i, name := range head {
		name = strings.TrimSpace(name)
		c := slices.Index(known, name)
		switch {
		case c < 0:
			return nil, bad("unknown_column", note.New("found_column_not_known", note.Str("column", rim.Quote(name))), remedy(head, usual), clipped(name))
		case r.at[c] >= 0:
			return nil, bad("duplicate_column", note.New("found_column_stands_twice", note.Str("column", name)), note.New("fix_name_each_column_once"), name)
		}
		r.at[c], r.names[i] = i, name
	}
	return r, nil
}

// Names are the columns that the table has, in its order.
func (r *Reader) Names() []string { return r.names }

// At is where each of the known columns stands in a row; -1: nowhere.
func (r *Reader) At() []int { return r.at }

// Offset is how many bytes of the table have been read.
func (r *Reader) Offset() int { return int(r.in.InputOffset()) }

// Next is the cells of the next row, which the one after it overwrites. io.EOF: there is none. Any other error is a fault
// of the whole request.
func (r *Reader) Next() (cells []string, err error) {
	cells, err = r.in.Read()
	if err != nil && !errors.Is(err, io.EOF) {
		err = unread(err, note.New("found_table_cannot_read"), note.New("fix_put_cells_delimiter"))
	}
	return cells, err
}

// TooWide is the fault of a row with more cells than the head has; its place is the last column. false: it has not.
func (r *Reader) TooWide(cells []string, row int) (fault.Violation, bool) {
	if len(cells) <= len(r.names) {
		return fault.Violation{}, false
	}
	return wire.Cell(row, r.names[len(r.names)-1]).Fault("too_many_cells",
		note.New("found_row_cells_head_names", note.Str("n", strconv.Itoa(len(cells))), note.Str("columns", strconv.Itoa(len(r.names)))), note.New("fix_put_cells_delimiter_quotes")), true
}

func bad(code string, detail, fix note.Note, column string) error {
	return &fault.Error{Kind: fault.Malformed, Code: code, Violations: []fault.Violation{{Code: code, Detail: detail, Fix: fix,
		At: fault.Place{Column: column, Root: column == ""}}}}
}

// unread is the fault of what is no table, said with its line where that is known.
func unread(err error, detail, fix note.Note) error {
	if at, ok := errors.AsType[*csv.ParseError](err); ok {
		detail = note.New(detail.Code+"_line", note.Count("line", at.Line))
	}
	return bad("bad_csv", detail, fix, "")
}

// remedy is what to do about a head with a column that is not known: to declare the delimiter, where the whole head is
// one cell in which another one stands, else the usual one.
func remedy(head []string, usual note.Note) note.Note {
	if len(head) == 1 {
		for _, d := range [...]struct{ mark, word string }{{";", "semicolon"}, {"\t", "tab"}, {",", "comma"}} {
			if strings.Contains(head[0], d.mark) {
				return note.New("fix_declare_delimiter_decimal_comma", note.Str("word", d.word))
			}
		}
	}
	return usual
}

func clipped(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "")
	}
	return s
}
