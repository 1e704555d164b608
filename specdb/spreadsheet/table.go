// Package spreadsheet turns a family into a table and back without loss, as CSV or XLSX.
//
// It decides how records become rows: the column record says what a row is, a row belongs to the nearest row of its owner
// above it, and the other columns are the keys of the file joined by dots. Reading refuses merged cells, formulas, blank
// rows and columns that mean nothing, and then holds the values to the same rules as files. It refuses to know what a
// clearance is.
//
//	table := spreadsheet.Flatten(root)
//	text, family, faults := spreadsheet.Import("pl-85.csv", table, defaults, nil)
package spreadsheet

import (
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/specdb/yamlfile"
)

// recordColumn says what a row is.
const recordColumn = "record"

// joint stands between the words of a list in one cell; a word that holds a semicolon has a backslash before it.
const joint = "; "

// Table is a header and rows of text. Empty is absent. A row may be shorter than the header.
type Table struct {
	Header []string
	Rows   [][]string
}

// flattener collects rows and the columns that they need.
type flattener struct {
	columns []string
	rows    []map[string]string
}

// Flatten is a family document as a table. The document must be one that yamlfile reads without a fault.
func Flatten(root *yaml.Node) Table {
	f := &flattener{columns: []string{recordColumn}}
	f.record("family", root, yamlfile.FamilyShape())
	t := Table{Header: f.columns}
	for _, r := range f.rows {
		cells := make([]string, len(f.columns))
		for i, c := range f.columns {
			cells[i] = r[c]
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// row is one record while its cells are collected; last is the column before the next new one.
type row struct {
	*flattener
	cells map[string]string
	last  string
}

func (r *row) put(column, value string) {
	if value == "" {
		return
	}
	if !slices.Contains(r.columns, column) {
		r.columns = slices.Insert(r.columns, slices.Index(r.columns, r.last)+1, column)
	}
	r.cells[column], r.last = value, column
}

func (f *flattener) record(name string, n *yaml.Node, s *yamlfile.Shape) {
	r := &row{f, map[string]string{recordColumn: name}, recordColumn}
	f.rows = append(f.rows, r.cells)
	r.fields("", n, s)
	for i := range s.Fields {
		field := &s.Fields[i]
		v := yamlfile.Value(n, field.Key)
		if field.Row == "" || v == nil {
			continue
		}
		for _, e := range v.Content {
			f.record(field.Row, e, field.Of)
		}
	}
}

// fields puts the values of a mapping that need no row of their own.
func (r *row) fields(prefix string, n *yaml.Node, s *yamlfile.Shape) {
	for i := range s.Fields {
		f := &s.Fields[i]
		v := yamlfile.Value(n, f.Key)
		if v == nil || f.Row != "" {
			continue
		}
		column := prefix + f.Key
		switch {
		case f.List && f.Of != nil:
			for k, e := range v.Content {
				r.fields(column+"."+strconv.Itoa(k+1)+".", e, f.Of)
			}
		case f.List:
			r.put(column, joinWords(v.Content))
		case f.Of != nil:
			r.fields(column+".", v, f.Of)
		case v.Kind == yaml.MappingNode: // names by language
			for k := 0; k+1 < len(v.Content); k += 2 {
				r.put(column+"."+v.Content[k].Value, v.Content[k+1].Value)
			}
		default:
			r.put(column, v.Value)
		}
	}
}

func joinWords(list []*yaml.Node) string {
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = strings.ReplaceAll(n.Value, ";", `\;`)
	}
	return strings.Join(words, joint)
}

// splitWords undoes joinWords; spaces around a semicolon do not matter.
func splitWords(cell string) []string {
	var words []string
	var b strings.Builder
	flush := func() {
		if w := strings.TrimSpace(b.String()); w != "" {
			words = append(words, w)
		}
		b.Reset()
	}
	for i := 0; i < len(cell); i++ {
		switch {
		case cell[i] == '\\' && i+1 < len(cell) && cell[i+1] == ';':
			b.WriteByte(';')
			i++
		case cell[i] == ';':
			flush()
		default:
			b.WriteByte(cell[i])
		}
	}
	flush()
	return words
}
