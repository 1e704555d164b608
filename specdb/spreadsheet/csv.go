package spreadsheet

import (
	"bytes"
	"encoding/csv"
	"errors"
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
func ReadCSV(name string, r io.Reader) (Table, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return Table{}, err
	}
	fault := func(line, column int, rule, detail, remedy string) error {
		return yamlfile.Faults{{File: name, Line: max(line, 1), Column: max(column, 1), Rule: rule, Detail: detail, Remedy: remedy}}
	}
	data = bytes.TrimPrefix(data, []byte(byteOrderMark))
	switch {
	case len(data) > maxBytes:
		return Table{}, fault(1, 1, "too_large", "the file is over 32 MiB", "split it: one family a table")
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		return Table{}, fault(1, 1, "not_text", "the file is no text in UTF-8", "save it as CSV in UTF-8")
	}
	c := csv.NewReader(bytes.NewReader(data))
	c.FieldsPerRecord = -1
	first, _, _ := bytes.Cut(data, []byte("\n"))
	for _, d := range []rune{';', '\t'} {
		if bytes.ContainsRune(first, d) && !bytes.ContainsRune(first, ',') {
			c.Comma = d
		}
	}
	var t Table
	for line := 0; ; {
		cells, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var p *csv.ParseError
			if errors.As(err, &p) {
				return Table{}, fault(p.Line, p.Column, "not_csv", p.Err.Error(), "mend the quotes")
			}
			return Table{}, err
		}
		at, _ := c.FieldPos(0)
		if line > 0 && at > line+1 && len(t.Rows) < maxRows {
			for range min(at-line-1, 1) { // the reader skips blank lines; they are faults here
				t.Rows = append(t.Rows, nil)
			}
		}
		line = at + strings.Count(strings.Join(cells, ""), "\n")
		for i := range cells {
			cells[i] = unguarded(cells[i])
		}
		if t.Header == nil {
			t.Header = cells
		} else if t.Rows = append(t.Rows, cells); len(t.Rows) > maxRows {
			return Table{}, fault(at, 1, "too_large", "there are more than 200,000 rows", "split it: one family a table")
		}
	}
	if t.Header == nil {
		return Table{}, fault(1, 1, "empty_file", "the file is empty", "write a header and rows")
	}
	return t, nil
}
