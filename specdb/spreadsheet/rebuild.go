package spreadsheet

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/specdb/yamlfile"
)

// Bounds of a table.
const (
	maxRows    = 200_000
	maxColumns = 500
	maxCell    = 4000
	maxIndex   = 64 // elements of a list that is spread over columns
	maxFaults  = 1000
)

// misread is a byte order mark that a program took for Latin-1.
const misread = "\u00ef\u00bb\u00bf"

// kind is what a record may be: its shape and where it goes in its owner.
type kind struct {
	shape  *yamlfile.Shape
	owners map[string]string // record of the owner → key
}

// kinds is what every record may be, by its name: what the shapes of a family say is a row of its own.
func kinds() map[string]*kind {
	out := map[string]*kind{}
	var walk func(record string, s *yamlfile.Shape)
	walk = func(record string, s *yamlfile.Shape) {
		out[record] = &kind{shape: s, owners: map[string]string{}}
		for i := range s.Fields {
			if f := &s.Fields[i]; f.Row != "" {
				if out[f.Row] == nil {
					walk(f.Row, f.Of)
				}
				out[f.Row].owners[record] = f.Key
			}
		}
	}
	walk("family", yamlfile.FamilyShape())
	return out
}

// rebuilder turns rows into a document whose nodes carry row and column, so that every later fault names a cell.
type rebuilder struct {
	file   string
	header []string
	kinds  map[string]*kind
	faults yamlfile.Faults
	open   []opened // from the family down to the last row
	root   *yaml.Node
	alien  map[int]bool // columns that no record has
}

type opened struct {
	record string
	node   *yaml.Node
}

// Import reads a table as one family: the text of its file, and the family. known are part numbers that the rest of the
// catalogue has. With a fault there is neither; a fault's line is the row and its column the column of the table.
func Import(name string, t Table, defaults catalogue.Defaults, known []string) ([]byte, *catalogue.Family, yamlfile.Faults) {
	r := &rebuilder{file: name, header: t.Header, kinds: kinds(), alien: map[int]bool{}}
	if !r.headerIsGood(t) {
		return nil, nil, r.faults
	}
	rows := t.Rows
	for len(rows) > 0 && blank(rows[len(rows)-1]) {
		rows = rows[:len(rows)-1]
	}
	at := slices.Index(r.header, recordColumn)
	for i, cells := range rows {
		r.row(i+2, at, cells)
	}
	if r.root == nil {
		r.fault(2, at+1, "no_family", "there is no row of the record family", "begin with one")
	}
	if len(r.faults) > 0 {
		return nil, nil, r.faults
	}
	family, faults := yamlfile.ReadNode(name, r.root, defaults, known)
	if len(faults) > 0 {
		return nil, nil, r.withoutUnit(faults)
	}
	text, err := yamlfile.Write(r.root, r.kinds["family"].shape)
	if err != nil {
		return nil, nil, yamlfile.Faults{{File: name, Line: 1, Column: 1, Rule: "unwritable", Detail: err.Error(), Remedy: "write plain text in the cells"}}
	}
	return text, family, nil
}

// withoutUnit says once that a whole column is missing, in place of once for every row.
func (r *rebuilder) withoutUnit(faults yamlfile.Faults) yamlfile.Faults {
	if slices.Contains(r.header, "unit") {
		return faults
	}
	n := len(faults)
	faults = slices.DeleteFunc(faults, func(f yamlfile.Fault) bool {
		return f.Rule == "missing_key" && strings.HasPrefix(f.Detail, "unit ")
	})
	if len(faults) < n {
		faults = slices.Insert(faults, 0, yamlfile.Fault{File: r.file, Line: 1, Column: len(r.header), Rule: "missing_column",
			Detail: "there is no column unit", Remedy: "add it; a figure without its unit is not read"})
	}
	return faults
}

func (r *rebuilder) fault(row, column int, rule, detail, remedy string) {
	if len(r.faults) < maxFaults {
		r.faults = append(r.faults, yamlfile.Fault{File: r.file, Line: row, Column: column, Rule: rule, Detail: detail, Remedy: remedy})
	}
}

func (r *rebuilder) headerIsGood(t Table) bool {
	if len(t.Header) > maxColumns || len(t.Rows) > maxRows {
		r.fault(1, 1, "too_large", fmt.Sprintf("the table has more than %d columns or %d rows", maxColumns, maxRows), "split it: one family a table")
		return false
	}
	if len(t.Header) > 0 && strings.HasPrefix(t.Header[0], misread) {
		r.fault(1, 1, "wrong_encoding", "the text was once opened as something else than UTF-8", "open the CSV as UTF-8 and save it again")
		return false
	}
	for i, h := range r.header {
		r.header[i] = strings.TrimSpace(h)
		switch {
		case r.header[i] == "":
			continue
		case slices.Index(r.header, r.header[i]) < i:
			r.fault(1, i+1, "duplicate_column", strconv.Quote(clip(h))+" stands twice", "keep one of them")
		case r.header[i] != recordColumn && !r.anyHas(r.header[i]):
			r.alien[i] = true
			r.fault(1, i+1, "unknown_column", strconv.Quote(clip(h))+" is no column of any record", "name columns by the keys of files, joined by dots")
		}
	}
	if !slices.Contains(r.header, recordColumn) {
		r.fault(1, 1, "missing_column", "there is no column record", "add it; it says what each row is")
	}
	return slices.Contains(r.header, recordColumn)
}

func (r *rebuilder) anyHas(column string) bool {
	for _, k := range r.kinds {
		if has(k.shape, strings.Split(column, ".")) {
			return true
		}
	}
	return false
}

func clip(s string) string { return strings.ToValidUTF8(s[:min(len(s), 80)], "") }

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) != "" })
}

// row adds one record to its owner.
func (r *rebuilder) row(number, at int, cells []string) {
	record := ""
	if at < len(cells) {
		record = strings.TrimSpace(cells[at])
	}
	k := r.kinds[record]
	switch {
	case blank(cells):
		r.fault(number, 1, "blank_row", "this row is blank", "remove it")
		return
	case k == nil:
		r.fault(number, at+1, "unknown_record", strconv.Quote(clip(record))+" is no record", "write one of: "+strings.Join(slices.Sorted(maps.Keys(r.kinds)), ", "))
		return
	}
	node := &yaml.Node{Kind: yaml.MappingNode, Line: number, Column: at + 1}
	if !r.place(node, record, k, number, at) {
		return
	}
	for i, c := range cells {
		c = strings.TrimSpace(c)
		switch {
		case c == "" || i == at || r.alien[i]:
		case i >= len(r.header) || r.header[i] == "":
			r.fault(number, i+1, "cell_without_column", "this cell has no column name", "name the column, or empty the cell")
		case len(c) > maxCell:
			r.fault(number, i+1, "too_long", "this cell is too long", "shorten it")
		case !has(k.shape, strings.Split(r.header[i], ".")):
			r.fault(number, i+1, "column_of_other_record", "a "+record+" has no "+clip(r.header[i]), "empty the cell, or move the value to its row")
		default:
			r.set(node, k.shape, strings.Split(r.header[i], "."), c, number, i+1)
		}
	}
}

// place puts a record under the nearest open row that may own it.
func (r *rebuilder) place(node *yaml.Node, record string, k *kind, number, at int) bool {
	if record == "family" {
		if r.root != nil {
			r.fault(number, at+1, "second_family", "there is a second family", "write one family a table")
			return false
		}
		r.root, r.open = node, []opened{{record, node}}
		for i := range k.shape.Fields { // a list that must be there may be empty
			if f := &k.shape.Fields[i]; f.Row != "" && f.Need {
				child(node, f.Key, yaml.SequenceNode, number, at+1)
			}
		}
		return true
	}
	for i, owner := range slices.Backward(r.open) {
		if key, owns := k.owners[owner.record]; owns {
			list := child(owner.node, key, yaml.SequenceNode, number, at+1)
			list.Content = append(list.Content, node)
			r.open = append(r.open[:i+1], opened{record, node})
			return true
		}
	}
	r.fault(number, at+1, "no_owner", "no row above can own a "+record, "put it below the row that it belongs to")
	return false
}
