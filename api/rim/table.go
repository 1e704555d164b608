package rim

import (
	"bytes"
	"encoding/csv"
	"strings"

	"endfloat/service/quantity"
)

// Table writes rows of text as CSV (RFC 4180, lines ended by a line feed). A cell that a spreadsheet would take for a
// formula is made inert. It is not safe for concurrent use.
type Table struct {
	buf bytes.Buffer
	out *csv.Writer
}

// NewTable starts a table with its head.
func NewTable(columns ...string) *Table {
	t := &Table{}
	t.out = csv.NewWriter(&t.buf)
	_ = t.out.Write(columns) // a buffer takes everything
	return t
}

// Row appends a row. The cells may be changed.
func (t *Table) Row(cells ...string) {
	for i, c := range cells {
		cells[i] = Inert(c)
	}
	_ = t.out.Write(cells)
}

// Bytes is the whole table.
func (t *Table) Bytes() []byte {
	t.out.Flush()
	return t.buf.Bytes()
}

// Inert is a cell that no spreadsheet computes: one that begins with = + - @, a tab or a line end and is no number gets
// an apostrophe before it.
func Inert(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r\n", rune(cell[0])) {
		return cell
	}
	if _, err := quantity.Parse(cell); err == nil {
		return cell
	}
	return "'" + cell
}
