package judging

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
)

func itoa(n int) string { return strconv.Itoa(n) }

// table is a table of checks while it is read.
type table struct {
	batch *batch
	form  form
	in    *csv.Reader
	at    places
	rows  int // read so far

	readings []wire.ReadingRequest // room for those of a row; the row keeps none of them
	own      ownSpec
}

// ownSpec is the caller's own spec of the row before: most rows of a table have the same.
type ownSpec struct {
	cells [columns - columnKind + 1]string // and the unit of the readings
	spec  *wire.CallerSpecRequest          // nil: it had none, or a wrong one
}

// tableOf reads the head of a table of checks. A table that cannot be read, or has a column that is not known, is a
// fault of the whole request; what is wrong with the cells of a row is the row's alone.
func (b *batch) tableOf(body []byte, f form) (*table, error) {
	if !utf8.Valid(body) {
		return nil, badTable("bad_text", note.New("found_table_not_utf_8"), note.New("fix_send_utf_8"), "")
	}
	in := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(body, []byte("\ufeff"))))
	in.Comma, in.FieldsPerRecord, in.ReuseRecord = f.delimiter, -1, true
	head, err := in.Read()
	if err != nil {
		return nil, unread(err, note.New("found_table_no_head"), note.New("fix_start_line_names_columns"))
	}
	at, err := headOf(head)
	return &table{batch: b, form: f, in: in, at: at}, err
}

// next reads a row into r, over whatever it was; more is false after the last.
func (t *table) next(r *row) (more bool, err error) {
	cells, err := t.in.Read()
	if errors.Is(err, io.EOF) {
		return false, nil
	}
	if err != nil {
		return false, unread(err, note.New("found_table_cannot_read"), note.New("fix_put_cells_delimiter"))
	}
	if t.rows == MaxRows {
		var bad fault.List
		bad.Add(wire.At("").Fault("too_many", note.New("found_table_more_rows_allowed", note.Str("most", "10000")), note.New("fix_split_it")))
		return false, bad.Err()
	}
	t.rows++
	t.row(r, cells)
	return true, nil
}

func badTable(code string, detail, fix note.Note, column string) error {
	return &fault.Error{Kind: fault.Malformed, Code: code, Violations: []fault.Violation{{Code: code, Detail: detail, Fix: fix,
		At: fault.Place{Column: column, Root: column == ""}}}}
}

func unread(err error, detail, fix note.Note) error {
	if at, ok := errors.AsType[*csv.ParseError](err); ok {
		detail = note.New(detail.Code+"_line", note.Count("line", at.Line))
	}
	return badTable("bad_csv", detail, fix, "")
}

// headOf is where the columns of a table stand. Unknown and repeated ones are faults.
func headOf(head []string) (places, error) {
	at := places{width: len(head)}
	for i := range at.cell {
		at.cell[i] = -1
	}
	for i, name := range head {
		name = strings.TrimSpace(name)
		c := column(slices.Index(inColumns, name))
		switch {
		case c < 0:
			return at, badTable("unknown_column", note.New("found_column_not_known", note.Str("column", rim.Quote(name))), FixHead(head, note.New("fix_the_columns_are", note.Str("list", strings.Join(inColumns, ", ")))), clipped(name))
		case at.cell[c] >= 0:
			return at, badTable("duplicate_column", note.New("found_column_stands_twice", note.Str("column", name)), note.New("fix_name_each_column_once"), name)
		}
		at.cell[c], at.last = i, name
		at.ownSpec = at.ownSpec || c >= columnKind
	}
	return at, nil
}

// FixHead is the remedy for a head with a column that is not known: to declare the delimiter, where the whole head is one
// cell in which another one stands, else the usual one.
func FixHead(head []string, usual note.Note) note.Note {
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

// record is a row of cells while it is read.
type record struct {
	at       *places
	cells    []string
	form     form
	line     int
	bad      *fault.List
	readings []string // columns of the readings that were there
}

func (c *record) text(of column) string {
	if i := c.at.cell[of]; i >= 0 && i < len(c.cells) {
		return strings.TrimSpace(c.cells[i])
	}
	return ""
}

func (c *record) number(of column) wire.Number { return c.numberIn(c.text(of), inColumns[of]) }

func (c *record) numberIn(cell, name string) wire.Number {
	if cell == "" {
		return wire.Number{}
	}
	text, ok := c.form.number(cell)
	if !ok {
		c.bad.Add(wire.Cell(c.line, name).Fault("decimal_point", note.New("found_decimal_point_decimal_comma", note.Str("value", rim.Quote(cell))), note.New("fix_write_comma_or_declare")))
		return wire.Number{}
	}
	return wire.NumberFromText(text)
}

// row reads one row; its number counts from 1 below the head.
func (t *table) row(r *row, cells []string) {
	var early fault.List
	c := record{at: &t.at, cells: cells, form: t.form, line: t.rows, bad: &early, readings: r.readings[:0]}
	if len(cells) > t.at.width {
		early.Add(wire.Cell(c.line, t.at.last).Fault("too_many_cells", note.New("found_row_cells_head_names", note.Str("n", itoa(len(cells))), note.Str("columns", itoa(t.at.width))),
			note.New("fix_put_cells_delimiter_quotes")))
	}
	req := CheckRequest{ID: c.text(columnID), Spec: c.text(columnSpec), Variant: c.text(columnVariant), EngineNumber: c.text(columnEngineNumber),
		Stage: c.text(columnStage), Part: c.text(columnPart), How: c.text(columnHow), Unit: c.text(columnUnit), Readings: c.allReadings(t.readings[:0]),
		Instrument: wire.InstrumentRequest{Kind: c.text(columnInstrument), StandardUncertainty: c.number(columnStandardUncertainty),
			Accuracy: c.number(columnAccuracy), AccuracyPercent: c.number(columnAccuracyPercent)},
		CallerSpec: t.ownSpec(&c)}
	t.readings = req.Readings
	switch t.batch.readRow(r, &req, wire.Unplaced); {
	case early.Len() > 0: // what follows from it is not told; what the spec cautions of is
		*r = row{id: req.ID, key: req.Spec, resolved: r.resolved, bad: early, readings: c.readings}
		return
	case r.bad.Len() > 0:
		t.batch.readRow(r, &req, wire.At("/checks").Index(t.rows-1))
	}
	r.line, r.readings, r.oneUnit = c.line, c.readings, c.text(columnSpecUnit) == ""
}

// ownSpec is the caller's own spec of a row; nil where none of its columns is filled.
func (t *table) ownSpec(c *record) *wire.CallerSpecRequest {
	if !t.at.ownSpec {
		return nil
	}
	var cells [len(t.own.cells)]string
	filled := false
	for of := columnKind; of < columns; of++ {
		cells[of-columnKind] = c.text(of)
		filled = filled || cells[of-columnKind] != ""
	}
	if !filled {
		return nil
	}
	cells[len(cells)-1] = c.text(columnUnit)
	if t.own.spec == nil || t.own.cells != cells {
		before := c.bad.Len()
		t.own = ownSpec{cells, c.spec()}
		if c.bad.Len() > before {
			wrong := t.own.spec
			t.own.spec = nil
			return wrong
		}
	}
	return t.own.spec
}

func (c *record) spec() *wire.CallerSpecRequest {
	s := &wire.CallerSpecRequest{Kind: c.text(columnKind), Unit: c.text(columnSpecUnit), Target: c.number(columnTarget), TargetPolicy: c.text(columnTargetPolicy),
		Band:      wire.RangeRequest{Lower: c.number(columnLower), Upper: c.number(columnUpper)},
		WearLimit: wire.RangeRequest{Lower: c.number(columnWearLower), Upper: c.number(columnWearUpper)},
		Plausible: wire.RangeRequest{Lower: c.number(columnPlausibleLower), Upper: c.number(columnPlausibleUpper)}}
	if s.Unit == "" {
		s.Unit = c.text(columnUnit)
	}
	return s
}

// allReadings are the cells of the reading columns, added to list; an empty one is skipped.
func (c *record) allReadings(list []wire.ReadingRequest) []wire.ReadingRequest {
	for of := columnReading1; of <= columnReading8; of++ {
		if cell := c.text(of); cell != "" {
			list = append(list, c.reading(cell, inColumns[of]))
			c.readings = append(c.readings, inColumns[of])
		}
	}
	return list
}

// reading is a number, several numbers as repeats, blades written size:feel, or a word.
func (c *record) reading(cell, name string) wire.ReadingRequest {
	r := wire.ReadingRequest{}
	if strings.Contains(cell, ":") {
		for p := range strings.FieldsSeq(cell) {
			size, feel, _ := strings.Cut(p, ":")
			r.Blades = append(r.Blades, wire.BladeRequest{Size: c.numberIn(size, name), Feel: feel})
		}
		return r
	}
	if first := cell[0]; first != '-' && first != '+' && first != '.' && first != ',' && (first < '0' || first > '9') {
		return wire.ReadingRequest{Category: cell}
	}
	if !strings.ContainsFunc(cell, unicode.IsSpace) {
		return wire.ReadingRequest{Value: c.numberIn(cell, name)}
	}
	for p := range strings.FieldsSeq(cell) {
		r.Repeats = append(r.Repeats, c.numberIn(p, name))
	}
	return r
}
