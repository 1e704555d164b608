package authoring

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/specdb"
	"endfloat/specdb/spreadsheet"
	"endfloat/specdb/yamlfile"
)

// Forms of a table.
const (
	CSV  = "csv"
	XLSX = "xlsx"
)

// Export writes a family of a directory, or of the demo where it is empty, as a table.
func Export(w io.Writer, dir, family, form string) error {
	all, closed, err := files(dir)
	if err != nil {
		return err
	}
	defer closed()
	l, err := placed(all)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(l.Families, func(f *catalogue.Family) bool { return f.Key == family })
	if i < 0 {
		return fmt.Errorf("there is no family %q", family)
	}
	text, err := fs.ReadFile(all, l.Files[i])
	if err != nil {
		return err
	}
	root, err := yamlfile.Document(l.Files[i], text)
	if err != nil {
		return err
	}
	table := spreadsheet.Flatten(root)
	switch form {
	case CSV:
		return spreadsheet.WriteCSV(w, table)
	case XLSX:
		return spreadsheet.WriteXLSX(w, family, table)
	}
	return fmt.Errorf("a table is written as csv or xlsx, not as %q", form)
}

// Import reads a table, CSV or XLSX by the ending of its name, and returns the text of the family file and the key of the
// family. into is the catalogue that it is for, whose parts it may name; empty: none. Errors: yamlfile.Faults, whose line
// is a row and whose column a column of the table.
func Import(file, into string) (text []byte, family string, err error) {
	f, err := os.Open(filepath.Clean(file))
	if err != nil {
		return nil, "", err
	}
	defer func() { _ = f.Close() }() // only read
	name := filepath.Base(file)
	var table spreadsheet.Table
	switch strings.ToLower(filepath.Ext(file)) {
	case "." + CSV:
		table, err = spreadsheet.ReadCSV(name, f)
	case "." + XLSX:
		table, err = spreadsheet.ReadXLSX(name, f)
	default:
		err = errors.New("a table has a name that ends in .csv or .xlsx")
	}
	if err != nil {
		return nil, "", err
	}
	defaults, known, err := beside(into)
	if err != nil {
		return nil, "", err
	}
	text, got, faults := spreadsheet.Import(name, table, defaults, known)
	if len(faults) > 0 {
		return nil, "", faults
	}
	return text, got.Key, nil
}

// beside is what a family that joins a catalogue may name: its cautions and part numbers.
func beside(dir string) (catalogue.Defaults, []string, error) {
	if dir == "" {
		d, err := specdb.Defaults()
		return d, nil, err
	}
	rev, err := revision(dir)
	if err != nil {
		return catalogue.Defaults{}, nil, err
	}
	return rev.Defaults, rev.SKUs(), nil
}
