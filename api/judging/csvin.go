package judging

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
)

func itoa(n int) string { return strconv.Itoa(n) }

// tableOf reads a table of checks. A table that cannot be read, or has a column that is not known, is a fault of the
// whole request; what is wrong with the cells of a row is the row's alone.
func (b *batch) tableOf(body []byte, f form) ([]*row, error) {
	if !utf8.Valid(body) {
		return nil, badTable("bad_text", "the table is not in UTF-8", "send it in UTF-8", "")
	}
	in := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(body, []byte("\ufeff"))))
	in.Comma, in.FieldsPerRecord, in.ReuseRecord = f.delimiter, -1, true
	head, err := in.Read()
	if err != nil {
		return nil, unread(err, "the table has no head", "start with a line that names the columns")
	}
	columns, err := headOf(head)
	if err != nil {
		return nil, err
	}
	var rows []*row
	for {
		cells, err := in.Read()
		if errors.Is(err, io.EOF) {
			return rows, nil
		}
		if err != nil {
			return nil, unread(err, "the table cannot be read", "put cells with a delimiter or a quote in quotes (RFC 4180)")
		}
		if len(rows) == MaxRows {
			var bad fault.List
			bad.Add(wire.At("").Fault("too_many", "the table has more than the 10,000 rows that are allowed here", "split it"))
			return nil, bad.Err()
		}
		rows = append(rows, b.tableRow(columns, cells, len(rows), f))
	}
}

func badTable(code, detail, fix, column string) error {
	return &fault.Error{Kind: fault.Malformed, Code: code, Violations: []fault.Violation{{Code: code, Detail: detail, Fix: fix,
		At: fault.Place{Column: column, Root: column == ""}}}}
}

func unread(err error, detail, fix string) error {
	var at *csv.ParseError
	if errors.As(err, &at) {
		detail += ", at line " + itoa(at.Line)
	}
	return badTable("bad_csv", detail, fix, "")
}

// headOf is the columns of a table. Unknown and repeated ones are faults.
func headOf(head []string) ([]string, error) {
	columns := make([]string, len(head))
	for i, name := range head {
		name = strings.TrimSpace(name)
		switch {
		case !slices.Contains(inColumns, name):
			return nil, badTable("unknown_column", "the column "+rim.Quote(name)+" is not known here", "the columns are "+strings.Join(inColumns, ", "), clipped(name))
		case slices.Contains(columns[:i], name):
			return nil, badTable("duplicate_column", "the column "+name+" stands twice", "name each column once", name)
		}
		columns[i] = name
	}
	return columns, nil
}

func clipped(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "")
	}
	return s
}

// record is a row of cells by column while it is read.
type record struct {
	columns  []string
	cells    []string
	form     form
	line     int
	bad      *fault.List
	readings []string // columns of the readings that were there
}

func (c *record) text(column string) string {
	if i := slices.Index(c.columns, column); i >= 0 && i < len(c.cells) {
		return strings.TrimSpace(c.cells[i])
	}
	return ""
}

func (c *record) number(column string) wire.Number { return c.numberIn(c.text(column), column) }

func (c *record) numberIn(cell, column string) wire.Number {
	text, ok := c.form.number(cell)
	if !ok {
		c.bad.Add(wire.Cell(c.line, column).Fault("decimal_point", rim.Quote(cell)+" has a decimal point, and decimal=comma was declared", "write it with a comma, or declare decimal=point"))
		return wire.Number{}
	}
	return wire.NumberFromText(text)
}

// tableRow reads one row; its number counts from 1 below the head.
func (b *batch) tableRow(columns, cells []string, index int, f form) *row {
	var early fault.List
	c := record{columns: columns, cells: cells, form: f, line: index + 1, bad: &early}
	if len(cells) > len(columns) {
		early.Add(wire.Cell(c.line, columns[len(columns)-1]).Fault("too_many_cells", "the row has "+itoa(len(cells))+" cells and the head names "+itoa(len(columns)),
			"put cells with a delimiter in quotes"))
	}
	req := CheckRequest{ID: c.text("id"), Spec: c.text("spec"), Variant: c.text("variant"), EngineNumber: c.text("engine_number"),
		Stage: c.text("stage"), Part: c.text("part"), How: c.text("how"), Unit: c.text("unit"), Readings: c.allReadings(),
		Instrument: wire.InstrumentRequest{Kind: c.text("instrument"), StandardUncertainty: c.number("standard_uncertainty"),
			Accuracy: c.number("accuracy"), AccuracyPercent: c.number("accuracy_percent")},
		CallerSpec: c.spec()}
	if early.Len() > 0 {
		r := &row{id: req.ID, key: req.Spec, bad: early}
		return r
	}
	r := b.toRow(&req, wire.At("/checks/"+itoa(index)))
	r.line, r.readings, r.oneUnit = c.line, c.readings, c.text("spec_unit") == ""
	return r
}

// spec is the caller's own spec of a row; nil where none of its columns is filled.
func (c *record) spec() *wire.CallerSpecRequest {
	if !slices.ContainsFunc(specColumns, func(column string) bool { return c.text(column) != "" }) {
		return nil
	}
	s := &wire.CallerSpecRequest{Kind: c.text("kind"), Unit: c.text("spec_unit"), Target: c.number("target"), TargetPolicy: c.text("target_policy"),
		Band:      wire.RangeRequest{Lower: c.number("lower"), Upper: c.number("upper")},
		WearLimit: wire.RangeRequest{Lower: c.number("wear_lower"), Upper: c.number("wear_upper")},
		Plausible: wire.RangeRequest{Lower: c.number("plausible_lower"), Upper: c.number("plausible_upper")}}
	if s.Unit == "" {
		s.Unit = c.text("unit")
	}
	return s
}

// allReadings are the cells of the reading columns; an empty one is skipped.
func (c *record) allReadings() []wire.ReadingRequest {
	var list []wire.ReadingRequest
	for _, column := range readingColumns {
		if cell := c.text(column); cell != "" {
			list = append(list, c.reading(cell, column))
			c.readings = append(c.readings, column)
		}
	}
	return list
}

// reading is a number, several numbers as repeats, blades written size:feel, or a word.
func (c *record) reading(cell, column string) wire.ReadingRequest {
	parts := strings.Fields(cell)
	if strings.Contains(cell, ":") {
		r := wire.ReadingRequest{}
		for _, p := range parts {
			size, feel, _ := strings.Cut(p, ":")
			r.Blades = append(r.Blades, wire.BladeRequest{Size: c.numberIn(size, column), Feel: feel})
		}
		return r
	}
	if first := cell[0]; first != '-' && first != '+' && first != '.' && first != ',' && (first < '0' || first > '9') {
		return wire.ReadingRequest{Category: cell}
	}
	if len(parts) == 1 {
		return wire.ReadingRequest{Value: c.numberIn(cell, column)}
	}
	r := wire.ReadingRequest{}
	for _, p := range parts {
		r.Repeats = append(r.Repeats, c.numberIn(p, column))
	}
	return r
}
