package sheets

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"endfloat/api/judging"
	"endfloat/api/rim"
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
func fromTable(body []byte, form judging.Form) (*SheetRequest, []tableRow, error) {
	if !utf8.Valid(body) {
		return nil, nil, badTable("bad_text", note.New("found_table_not_utf_8"), note.New("fix_send_utf_8"), "")
	}
	in := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(body, []byte("\ufeff"))))
	in.Comma, in.FieldsPerRecord, in.ReuseRecord = form.Delimiter(), -1, true
	head, err := in.Read()
	if err != nil {
		return nil, nil, badTable("bad_csv", note.New("found_table_no_head"), note.New("fix_start_line_names_columns"), "")
	}
	columns, err := headOf(head)
	if err != nil {
		return nil, nil, err
	}
	req, rows := &SheetRequest{Lines: []LineRequest{}}, []tableRow{}
	c := record{columns: columns, form: form}
	for {
		c.cells, err = in.Read()
		if errors.Is(err, io.EOF) {
			return req, rows, c.whole(req)
		}
		if err != nil {
			detail := note.New("found_table_cannot_read")
			if at := (*csv.ParseError)(nil); errors.As(err, &at) {
				detail = note.New("found_table_cannot_read_line", note.Count("line", at.Line))
			}
			return nil, nil, badTable("bad_csv", detail, note.New("fix_put_cells_delimiter"), "")
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

func badTable(code string, detail, fix note.Note, column string) error {
	return &fault.Error{Kind: fault.Malformed, Code: code, Violations: []fault.Violation{{Code: code, Detail: detail, Fix: fix,
		At: fault.Place{Column: column, Root: column == ""}}}}
}

func headOf(head []string) ([]string, error) {
	columns := make([]string, len(head))
	for i, name := range head {
		name = strings.TrimSpace(name)
		switch {
		case !slices.Contains(blankColumns, name):
			return nil, badTable("unknown_column", note.New("found_column_not_known", note.Str("column", rim.Quote(name))), judging.FixHead(head, note.New("fix_columns_those_get", note.Str("address", "/v1/families/{family}/sheet?format=csv"))), strings.ToValidUTF8(name[:min(len(name), 40)], ""))
		case slices.Contains(columns[:i], name):
			return nil, badTable("duplicate_column", note.New("found_column_stands_twice", note.Str("column", name)), note.New("fix_name_each_column_once"), name)
		}
		columns[i] = name
	}
	return columns, nil
}

// record is the table while it is read.
type record struct {
	columns, cells []string
	form           judging.Form
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
