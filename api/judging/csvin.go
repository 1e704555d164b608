package judging

import (
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
)

func itoa(n int) string { return strconv.Itoa(n) }

// checkTable is a table of checks while it is read.
type checkTable struct {
	batch *batch
	form  table.Form
	in    *table.Reader
	specs bool // some columns make a spec
	rows  int  // read so far

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
func (b *batch) tableOf(body []byte, f table.Form) (*checkTable, error) {
	in, err := table.Open(body, f, inColumns, note.New("fix_the_columns_are", note.Str("list", strings.Join(inColumns, ", "))))
	if err != nil {
		return nil, err
	}
	specs := slices.ContainsFunc(in.At()[columnKind:], func(at int) bool { return at >= 0 })
	return &checkTable{batch: b, form: f, in: in, specs: specs}, nil
}

// next reads a row into r, over whatever it was; more is false after the last.
func (t *checkTable) next(r *row) (more bool, err error) {
	cells, err := t.in.Next()
	if errors.Is(err, io.EOF) {
		return false, nil
	}
	if err != nil {
		return false, err
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

// record is a row of cells while it is read.
type record struct {
	at       []int // where the columns stand
	cells    []string
	form     table.Form
	line     int
	bad      *fault.List
	readings []string // columns of the readings that were there
}

func (c *record) text(of column) string {
	if i := c.at[of]; i >= 0 && i < len(c.cells) {
		return strings.TrimSpace(c.cells[i])
	}
	return ""
}

func (c *record) number(of column) wire.Number {
	return c.form.Number(c.text(of), c.line, inColumns[of], c.bad)
}

// row reads one row; its number counts from 1 below the head.
func (t *checkTable) row(r *row, cells []string) {
	var early fault.List
	c := record{at: t.in.At(), cells: cells, form: t.form, line: t.rows, bad: &early, readings: r.readings[:0]}
	if wide, is := t.in.TooWide(cells, c.line); is {
		early.Add(wide)
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
func (t *checkTable) ownSpec(c *record) *wire.CallerSpecRequest {
	if !t.specs {
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
			list = append(list, c.form.Reading(cell, c.line, inColumns[of], c.bad))
			c.readings = append(c.readings, inColumns[of])
		}
	}
	return list
}
