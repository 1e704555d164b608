package spreadsheet_test

import (
	"os"
	"path/filepath"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/specdb/spreadsheet"
)

func fromFile(t *testing.T, name string) *catalogue.Family {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	read := spreadsheet.ReadCSV
	if filepath.Ext(name) == ".xlsx" {
		read = spreadsheet.ReadXLSX
	}
	table, err := read(name, f)
	if err != nil {
		t.Fatal(err)
	}
	_, family, faults := spreadsheet.Import(name, table, defaults(t), nil)
	if len(faults) > 0 {
		t.Fatal(faults.All())
	}
	return family
}

// The files were written by LibreOffice 7.4.7: libreoffice_text.xlsx and libreoffice.csv from the workbook that Export
// makes of small.csv, libreoffice_numbers.xlsx from small.csv itself, whose figures and dates it took for numbers.
func TestLibreOfficeKeepsWhatWeWrite(t *testing.T) {
	t.Parallel()
	want := digest(fromFile(t, "small.csv"))
	for _, name := range []string{"libreoffice_text.xlsx", "libreoffice.csv"} {
		if digest(fromFile(t, name)) != want {
			t.Errorf("%s holds something else", name)
		}
	}
	f := fromFile(t, "libreoffice_numbers.xlsx")
	s, bolt := f.Components[0].Specs[0].Base, f.Components[0].Specs[1].Base
	if s.Band.Lower.String() != "0.1" || !s.Critical || s.Source.Reviewed != "2026-11-01" || bolt.Fastener.PropertyClass != "10.9" {
		t.Errorf("%+v %+v", s, s.Source)
	}
	if size := f.Components[0].Shims[0].Base.Ladder[1]; size.Thickness.String() != "1.05" || size.SKU != "S-105" {
		t.Errorf("%+v", size)
	}
}
