package sheets

import (
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// lineRequest reads a row as the line that a JSON sheet would have, and where it stood.
func (c *record) lineRequest() (LineRequest, tableRow) {
	var bad fault.List
	row := tableRow{line: c.line}
	if wide, is := c.in.TooWide(c.cells, c.line); is {
		bad.Add(wide)
	}
	text := func(column string) string { return strings.Clone(c.text(column)) }
	number := func(column string) wire.Number { return c.form.Number(c.text(column), c.line, column, &bad) }
	tool := wire.InstrumentRequest{Kind: text("instrument"), StandardUncertainty: number("standard_uncertainty"), Accuracy: number("accuracy"), AccuracyPercent: number("accuracy_percent")}
	l := LineRequest{ID: text("id"), Spec: text("spec"), Unit: text("unit"), Part: text("part"),
		ShimsBefore: c.shims("shims_before", &bad), ShimsAfter: c.shims("shims_after", &bad), Renewed: strings.Fields(text("renewed")),
		Retorqued: c.yes("retorqued", &bad), By: text("by"), At: text("at"), Tool: ToolRequest{text("tool"), text("calibration_due")},
		Witness: text("witness"), Note: text("note")}
	if len(l.Renewed) == 0 {
		l.Renewed = nil
	}
	l.AsFound, row.found = c.stage(foundColumns, text("how_found"), tool, &bad)
	l.AsBuilt, row.built = c.stage(builtColumns, text("how_built"), tool, &bad)
	if condition := text("condition"); l.AsBuilt.has() {
		l.AsBuilt.Condition = condition
	}
	if who, why := text("waiver_who"), text("waiver_reason"); who+why != "" {
		l.Waiver = &WaiverRequest{who, why}
	}
	bad.Each(func(v fault.Violation) {
		row.faults = append(row.faults, v)
		row.keep(v.At.Column, text(v.At.Column))
	})
	if extra := c.cells[min(len(c.cells), len(c.columns)):]; len(extra) > 0 {
		row.unread = append(row.unread, unreadCell{Text: strings.Join(extra, string(c.form.Delimiter))})
	}
	return l, row
}

// keep holds the text of a cell that was not taken, so that what is signed has everything that was sent.
func (w *tableRow) keep(column, text string) {
	if cell := (unreadCell{column, text}); !slices.Contains(w.unread, cell) {
		w.unread = append(w.unread, cell)
	}
}

// stage is the readings of a stage with their columns; an empty cell is skipped, and without any the stage says nothing.
func (c *record) stage(columns []string, how string, tool wire.InstrumentRequest, bad *fault.List) (s *StageRequest, filled []string) {
	s = &StageRequest{How: how}
	for _, column := range columns {
		if cell := strings.Clone(c.text(column)); cell != "" {
			s.Readings, filled = append(s.Readings, c.form.Reading(cell, c.line, column, bad)), append(filled, column)
		}
	}
	if s.has() {
		s.Instrument = tool
		return s, filled
	}
	return nil, nil
}

// shims reads pieces written place:thickness, or the thickness alone, with spaces between them; none is the word none.
func (c *record) shims(column string, bad *fault.List) []ShimRequest {
	cell := strings.Clone(c.text(column))
	switch cell {
	case "":
		return nil
	case "none":
		return []ShimRequest{}
	}
	var list []ShimRequest
	for p := range strings.FieldsSeq(cell) {
		place, thickness, found := strings.Cut(p, ":")
		if !found {
			place, thickness = "", p
		}
		list = append(list, ShimRequest{Place: place, Thickness: c.form.Number(thickness, c.line, column, bad)})
	}
	return list
}

func (c *record) yes(column string, bad *fault.List) bool {
	switch cell := c.text(column); cell {
	case "", "false":
		return false
	case "true":
		return true
	default:
		bad.Add(wire.Cell(c.line, column).Fault("unknown_word", note.New("found_neither_true_nor_false", note.Str("word", rim.Quote(cell))), note.New("fix_send_type", note.Str("wanted", "bool"))))
		return false
	}
}
