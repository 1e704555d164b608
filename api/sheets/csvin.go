package sheets

import (
	"errors"
	"io"
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// tableRow is where a line stood in a table, the columns of its readings, what is wrong with its cells, and those cells.
type tableRow struct {
	line         int
	found, built []string
	faults       []fault.Violation
	unread       []unreadCell
}

// fromTable reads a sheet that came as a table. A table that cannot be read, has a column that is not known, or says
// different things about the whole sheet is a fault of the request; what is wrong with a row is the row's alone. A row
// without a reading and without anything else that is filled is left out: a blank line is no line.
func fromTable(body []byte, form table.Form) (*SheetRequest, []tableRow, error) {
	in, err := table.Open(body, form, blankColumns, note.New("fix_columns_those_get", note.Str("address", "/v1/families/{family}/sheet?format=csv")))
	if err != nil {
		return nil, nil, err
	}
	req, rows := &SheetRequest{Lines: []LineRequest{}}, []tableRow{}
	c := record{in: in, columns: in.Names(), form: form}
	for {
		c.cells, err = in.Next()
		if errors.Is(err, io.EOF) {
			return req, rows, c.whole(req)
		}
		if err != nil {
			return nil, nil, err
		}
		c.line++
		if err := c.heads(); err != nil {
			return nil, nil, err
		}
		if !c.said() {
			continue
		}
		if len(req.Lines) == MaxLines {
			var bad fault.List
			bad.Add(wire.At("").Fault("too_many", note.New("found_table_more_lines_allowed", note.Str("most", "1000")), note.New("fix_split_it")))
			return nil, nil, bad.Err()
		}
		l, row := c.lineRequest()
		req.Lines, rows = append(req.Lines, l), append(rows, row)
	}
}

// record is the table while it is read.
type record struct {
	in             *table.Reader
	columns, cells []string
	form           table.Form
	line           int
	head           [7]string // what holds for the whole sheet
}

func (c *record) text(column string) string {
	if i := slices.Index(c.columns, column); i >= 0 && i < len(c.cells) {
		return plain(strings.TrimSpace(c.cells[i]))
	}
	return ""
}

// plain takes away the apostrophe that makes a cell inert in a spreadsheet.
func plain(cell string) string {
	if rest, found := strings.CutPrefix(cell, "'"); found && rim.Inert(rest) == cell {
		return rest
	}
	return cell
}

// heads collects what holds for the whole sheet; every row that says it says the same.
func (c *record) heads() error {
	for i, column := range headColumns {
		switch cell := c.text(column); {
		case cell == "" || cell == c.head[i]:
		case c.head[i] == "":
			c.head[i] = strings.Clone(cell)
		default:
			return &fault.Error{Kind: fault.Invalid, Code: "differs_between_rows", Violations: []fault.Violation{{Code: "differs_between_rows",
				Detail: note.New("found_differs_from_before", note.Str("column", column), note.Str("here", rim.Quote(cell)), note.Str("before", rim.Quote(c.head[i]))), Fix: note.New("fix_sheet_one_engine_say"),
				At: fault.Place{Row: c.line, Column: column}}}}
		}
	}
	return nil
}

func (c *record) whole(q *SheetRequest) error {
	var bad fault.List
	q.Family, q.Variant, q.EngineNumber, q.Scope, q.Claim, q.Customer = c.head[0], c.head[1], c.head[2], c.head[3], c.head[5], c.head[6]
	if c.head[4] != "" {
		q.Hours = c.form.Number(c.head[4], 1, "hours", &bad)
	}
	return bad.Err()
}

// said reports whether a row has anything filled in.
func (c *record) said() bool {
	if len(c.cells) > len(c.columns) {
		return true
	}
	for i, cell := range c.cells {
		name := c.columns[i]
		if strings.TrimSpace(cell) != "" && name != "spec" && name != "unit" && name != "id" && !slices.Contains(allowedColumns, name) && !slices.Contains(headColumns, name) {
			return true
		}
	}
	return !slices.Contains(c.columns, "row") && c.text("spec")+c.text("id") != ""
}
