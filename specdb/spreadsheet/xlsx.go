package spreadsheet

import (
	"bytes"
	"io"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"endfloat/specdb/yamlfile"
)

// Bounds of a workbook once it is unpacked.
const (
	maxUnpacked = 256 << 20
	maxSheet    = 128 << 20
)

// WriteXLSX writes a workbook with one sheet. Every cell is text, so that 0.10 keeps its zero.
func WriteXLSX(w io.Writer, sheet string, t Table) error {
	f := excelize.NewFile()
	defer func() { _ = f.Close() }() // nothing of it is kept on disk
	name := clip(sheet)
	if err := f.SetSheetName(f.GetSheetName(0), name); err != nil {
		return err
	}
	out, err := f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	text, err := f.NewStyle(&excelize.Style{NumFmt: 49})
	if err != nil {
		return err
	}
	for i, cells := range append([][]string{t.Header}, t.Rows...) {
		row := make([]any, len(cells))
		for k, c := range cells {
			if c != "" {
				row[k] = excelize.Cell{StyleID: text, Value: c}
			}
		}
		if err := out.SetRow("A"+strconv.Itoa(i+1), row); err != nil {
			return err
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	return f.Write(w)
}

// ReadXLSX reads the first sheet of a workbook. Merged cells and formulas are faults: what they show is not what they
// hold. Numbers are read with the at most 15 digits that such programs keep.
func ReadXLSX(name string, r io.Reader) (t Table, err error) {
	fault := func(rule, detail, remedy string) error { return oneFault(name, 1, 1, rule, detail, remedy) }
	defer func() {
		if p := recover(); p != nil { // the library trusts what it unpacks
			t, err = Table{}, fault("not_xlsx", "the workbook is broken", "save it again as XLSX")
		}
	}()
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return Table{}, err
	}
	if len(data) > maxBytes {
		return Table{}, fault("too_large", tooManyBytes(), "split it: one family a table")
	}
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{RawCellValue: true, UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxSheet})
	if err != nil {
		return Table{}, fault("not_xlsx", "the workbook cannot be read: "+clip(err.Error()), "save it again as XLSX")
	}
	defer func() { _ = f.Close() }() // only read
	sheet := f.GetSheetName(0)
	if faults := unplain(name, data, f, sheet); len(faults) > 0 {
		return Table{}, faults
	}
	rows, err := f.GetRows(sheet)
	if err != nil {
		return Table{}, fault("not_xlsx", "the sheet cannot be read: "+clip(err.Error()), "save it again as XLSX")
	}
	if len(rows) > maxRows {
		return Table{}, fault("too_large", tooManyRows(), "split it: one family a table")
	}
	if len(rows) == 0 {
		return Table{}, fault("empty_file", "the sheet is empty", "write a header and rows")
	}
	for _, cells := range rows {
		for i, c := range cells {
			cells[i] = short(c)
		}
	}
	return Table{Header: rows[0], Rows: rows[1:]}, nil
}

// unplain faults merged cells and formulas, by their place.
func unplain(name string, data []byte, f *excelize.File, sheet string) (faults yamlfile.Faults) {
	add := func(cell, rule, detail, remedy string) {
		column, row, err := excelize.CellNameToCoordinates(cell)
		if err != nil {
			row, column = 1, 1
		}
		if len(faults) < maxFaults {
			faults = append(faults, yamlfile.Fault{File: name, Line: row, Column: column, Rule: rule, Detail: detail, Remedy: remedy})
		}
	}
	merged, err := f.GetMergeCells(sheet)
	if err != nil {
		add("A1", "not_xlsx", "the merged cells cannot be read", "save it again as XLSX")
	}
	for _, m := range merged {
		add(m.GetStartAxis(), "merged_cells", "the cells "+clip(m.GetStartAxis()+" to "+m.GetEndAxis())+" are merged", "split them and fill each")
	}
	held, err := formulas(data)
	if err != nil {
		add("A1", "not_xlsx", "the sheet cannot be read: "+clip(err.Error()), "save it again as XLSX")
	}
	for _, at := range held {
		add(at, "formula", "this cell is a formula", "paste its value")
	}
	return faults
}

// short drops the noise that binary numbers carry past their fifteenth digit; text stays as it is.
func short(c string) string {
	if !number(c) || len(strings.Trim(c, "-0.")) < 16 {
		return c
	}
	v, err := strconv.ParseFloat(c, 64)
	if err != nil {
		return c
	}
	kept, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64)
	if err != nil {
		return c
	}
	return strconv.FormatFloat(kept, 'f', -1, 64)
}
