package spreadsheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"endfloat/specdb/yamlfile"
)

// maxBytes bounds one file.
const maxBytes = 32 << 20

// byteOrderMark tells programs that show tables that the text is UTF-8; without it they take it for another.
const byteOrderMark = "\ufeff"

// WriteCSV writes a table with commas and lines that end in CR LF, as RFC 4180 has it, in UTF-8 with a byte order mark.
func WriteCSV(w io.Writer, t Table) error {
	if _, err := io.WriteString(w, byteOrderMark); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	if err := c.Write(guarded(t.Header)); err != nil {
		return err
	}
	for _, r := range t.Rows {
		if err := c.Write(guarded(r)); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// guarded keeps programs from taking text for a formula: an apostrophe goes before = + - @ where no number follows.
func guarded(cells []string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		if c != "" && strings.ContainsRune("=+-@'", rune(c[0])) && !number(c) {
			c = "'" + c
		}
		out[i] = c
	}
	return out
}

func number(s string) bool {
	s = strings.TrimPrefix(s, "-")
	return s != "" && !strings.ContainsFunc(s, func(c rune) bool { return (c < '0' || c > '9') && c != '.' })
}

// unguarded undoes guarded.
func unguarded(c string) string {
	if len(c) > 1 && c[0] == '\'' && strings.ContainsRune("=+-@'", rune(c[1])) {
		return c[1:]
	}
	return c
}

// ReadCSV reads a table; the delimiter is a semicolon where the first line has one and no comma, or a tab likewise.
// Errors: yamlfile.Faults, those of r.
func ReadCSV(name string, r io.Reader) (Table, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return Table{}, err
	}
	data = bytes.TrimPrefix(data, []byte(byteOrderMark))
	switch {
	case len(data) > maxBytes:
		return Table{}, oneFault(name, 1, 1, "too_large", tooManyBytes(), "split it: one family a table")
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		return Table{}, oneFault(name, 1, 1, "not_text", "the file is no text in UTF-8", "save it as CSV in UTF-8")
	}
	records := csv.NewReader(bytes.NewReader(data))
	records.FieldsPerRecord = -1
	records.Comma = delimiter(data)
	return readRecords(name, records)
}

// delimiter is what stands between the cells of a table, by its first line.
func delimiter(data []byte) rune {
	first, _, _ := bytes.Cut(data, []byte("\n"))
	for _, d := range []rune{'\t', ';'} {
		if bytes.ContainsRune(first, d) && !bytes.ContainsRune(first, ',') {
			return d
		}
	}
	return ','
}

// readRecords reads header and rows. The reader skips blank lines: one in their place becomes a row without cells, since
// a blank row is a fault.
func readRecords(name string, records *csv.Reader) (t Table, err error) {
	for last := 0; ; { // the line on which the record before ended
		cells, err := records.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if p, ok := errors.AsType[*csv.ParseError](err); ok {
			return Table{}, oneFault(name, p.Line, p.Column, "not_csv", p.Err.Error(), "mend the quotes")
		}
		if err != nil {
			return Table{}, err
		}
		line, _ := records.FieldPos(0)
		if last > 0 && line > last+1 {
			t.Rows = append(t.Rows, nil)
		}
		last = line + strings.Count(strings.Join(cells, ""), "\n")
		for i := range cells {
			cells[i] = unguarded(cells[i])
		}
		if t.Header == nil {
			t.Header = cells
		} else if t.Rows = append(t.Rows, cells); len(t.Rows) > maxRows {
			return Table{}, oneFault(name, line, 1, "too_large", tooManyRows(), "split it: one family a table")
		}
	}
	if t.Header == nil {
		return Table{}, oneFault(name, 1, 1, "empty_file", "the file is empty", "write a header and rows")
	}
	return t, nil
}

func tooManyBytes() string { return fmt.Sprintf("the file is over %d MiB", maxBytes>>20) }
func tooManyRows() string  { return fmt.Sprintf("there are more than %d rows", maxRows) }

// oneFault is the fault of a table that is read no further.
func oneFault(name string, row, column int, rule, detail, remedy string) error {
	return yamlfile.Faults{{File: name, Line: max(row, 1), Column: max(column, 1), Rule: rule, Detail: detail, Remedy: remedy}}
}
