package spreadsheet_test

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb"
	"endfloat/specdb/data"
	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/spreadsheet"
	"endfloat/specdb/yamlfile"
)

func defaults(t testing.TB) catalogue.Defaults {
	t.Helper()
	d, err := specdb.Defaults()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func demoTable(t testing.TB, family string) spreadsheet.Table {
	t.Helper()
	text, err := fs.ReadFile(data.Files, family+".yaml")
	if err != nil {
		t.Fatal(err)
	}
	root, err := yamlfile.Document(family, text)
	if err != nil {
		t.Fatal(err)
	}
	return spreadsheet.Flatten(root)
}

func digest(f *catalogue.Family) string { return manifest.Digest(snapshot.EncodeFamily(f)) }

// Whatever the way, the family that comes back has the same content to the last digit.
func TestNothingIsLost(t *testing.T) {
	t.Parallel()
	l, err := yamlfile.Load(data.Files, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range l.Families {
		t.Run(f.Key, func(t *testing.T) {
			t.Parallel()
			table := demoTable(t, f.Key)
			var csv, xlsx bytes.Buffer
			if err := errors.Join(spreadsheet.WriteCSV(&csv, table), spreadsheet.WriteXLSX(&xlsx, f.Key, table)); err != nil {
				t.Fatal(err)
			}
			fromCSV, err1 := spreadsheet.ReadCSV("f.csv", &csv)
			fromXLSX, err2 := spreadsheet.ReadXLSX("f.xlsx", &xlsx)
			if err := errors.Join(err1, err2); err != nil {
				t.Fatal(err)
			}
			for name, tab := range map[string]spreadsheet.Table{"table": table, "csv": fromCSV, "xlsx": fromXLSX} {
				text, got, faults := spreadsheet.Import(name, tab, l.Defaults, nil)
				if len(faults) > 0 {
					t.Fatalf("%s: %s", name, faults.All())
				}
				if digest(got) != digest(f) {
					t.Errorf("%s came back otherwise", name)
				}
				root, err := yamlfile.Document(name, text)
				if err != nil {
					t.Fatal(err)
				}
				again, faults := yamlfile.ReadNode(name, root, l.Defaults, nil)
				if len(faults) > 0 || digest(again) != digest(f) {
					t.Errorf("the file that %s made holds something else: %s", name, faults.All())
				}
			}
		})
	}
}

const head = "record,id,family,name.en,source.class,source.title,source.reviewed,kind,unit,band.lower,band.upper\r\n" +
	"family,,small,Small,demo,t,2026-11-01,,,,\r\n" +
	"component,shaft,,Shaft,,,,,,,\r\n"

func TestTablesAtFault(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, text, want string }{
		{"decimal comma", head + "spec,play,,Play,,,,dimension,mm,\"0,10\",0.30\r\n", "4:10 not_a_number"},
		{"unknown unit", head + "spec,play,,Play,,,,dimension,mil,0.10,0.30\r\n", "4:9 unknown_unit"},
		{"lower over upper", head + "spec,play,,Play,,,,dimension,mm,0.40,0.30\r\n", "4:10 lower_over_upper"},
		{"blank row", head + ",,,,,,,,,,\r\nspec,play,,Play,,,,dimension,mm,0.10,0.30\r\n", "4:1 blank_row"},
		{"empty line", head + "\r\nspec,play,,Play,,,,dimension,mm,0.10,0.30\r\n", "4:1 blank_row"},
		{"unknown record", head + "specs,play,,Play,,,,dimension,mm,0.10,0.30\r\n", "4:1 unknown_record"},
		{"no owner", head + "rung,,,,,,,,,,\r\n", "4:1 no_owner"},
		{"second family", head + "family,,other,Other,demo,t,2026-11-01,,,,\r\n", "4:1 second_family"},
		{"column of another record", head + "spec,play,small,Play,,,,dimension,mm,0.10,0.30\r\n", "4:3 column_of_other_record"},
		{"cell without column", head + "spec,play,,Play,,,,dimension,mm,0.10,0.30,x\r\n", "4:12 cell_without_column"},
		{"unknown column", strings.Replace(head, "unit", "units", 1), "1:9 unknown_column"},
		{"duplicate column", strings.Replace(head, "unit", "kind", 1), "1:9 duplicate_column"},
		{"no record column", strings.Replace(head, "record", "what", 1), "1:1 unknown_column 1:1 missing_column"},
		{"no unit column", strings.ReplaceAll(strings.Replace(head, ",unit", "", 1), ",,\r\n", ",\r\n") + "spec,play,,Play,,,,dimension,0.10,0.30\r\nspec,gap,,Gap,,,,dimension,0.10,0.30\r\n", "1:10 missing_column"},
		{"no family", "record,id\r\n", "2:1 no_family"},
		{"empty", "", "1:1 empty_file"},
		{"binary", "PK\x03\x04\x00", "1:1 not_text"},
		{"opened as Latin-1", "\u00ef\u00bb\u00bf" + head, "1:1 wrong_encoding"},
		{"broken quotes", "record,\"id\r\n", "1:12 not_csv"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			table, err := spreadsheet.ReadCSV("f.csv", strings.NewReader(row.text))
			var faults yamlfile.Faults
			if err == nil {
				var text []byte
				if text, _, faults = spreadsheet.Import("f.csv", table, defaults(t), nil); text != nil {
					t.Error("half of it was read")
				}
			} else if !errors.As(err, &faults) {
				t.Fatal(err)
			}
			var got []string
			for _, f := range faults {
				got = append(got, fmt.Sprintf("%d:%d %s", f.Line, f.Column, f.Rule))
			}
			if d := cmp.Diff(row.want, strings.Join(got, " ")); d != "" {
				t.Errorf("%s\n%s", d, faults.All())
			}
		})
	}
}

// Semicolons, tabs, a byte order mark and trailing blank rows are what programs write.
func TestCSVAsProgramsWriteIt(t *testing.T) {
	t.Parallel()
	body := head + "spec,play,,Play,,,,dimension,mm,0.10,0.30\r\n"
	for name, text := range map[string]string{
		"commas": body, "semicolons": strings.ReplaceAll(body, ",", ";"), "tabs": strings.ReplaceAll(body, ",", "\t"),
		"byte order mark": "\ufeff" + body, "bare line feeds": strings.ReplaceAll(body, "\r\n", "\n"), "blank rows at the end": body + ",,,,,,,,,,\r\n,,,,,,,,,,\r\n",
	} {
		table, err := spreadsheet.ReadCSV("f.csv", strings.NewReader(text))
		if err != nil {
			t.Fatal(name, err)
		}
		if _, f, faults := spreadsheet.Import("f.csv", table, defaults(t), nil); len(faults) > 0 || f.Components[0].Specs[0].Base.Band.Lower.String() != "0.10" {
			t.Errorf("%s: %s", name, faults.All())
		}
	}
}

func TestNoCellIsTakenForAFormula(t *testing.T) {
	t.Parallel()
	table := spreadsheet.Table{Header: []string{"record", "name"}, Rows: [][]string{{"family", "=1+1"}, {"x", "-0.02"}, {"x", "'quoted"}, {"x", "- dash"}}}
	var b bytes.Buffer
	if err := spreadsheet.WriteCSV(&b, table); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "family,'=1+1") || !strings.Contains(b.String(), "x,-0.02") {
		t.Error(b.String())
	}
	back, err := spreadsheet.ReadCSV("f", &b)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(table, back); d != "" {
		t.Error(d)
	}
}

func workbook(t *testing.T, do func(f *excelize.File, sheet string) error) []byte {
	t.Helper()
	table, err := spreadsheet.ReadCSV("f.csv", strings.NewReader(head+"spec,play,,Play,,,,dimension,mm,0.10,0.30\r\n"))
	if err != nil {
		t.Fatal(err)
	}
	f := excelize.NewFile()
	for r, cells := range append([][]string{table.Header}, table.Rows...) {
		for c, v := range cells {
			at, _ := excelize.CoordinatesToCellName(c+1, r+1)
			if err := f.SetCellValue("Sheet1", at, v); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := do(f, "Sheet1"); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := errors.Join(f.Write(&b), f.Close()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWorkbooks(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name string
		do   func(f *excelize.File, sheet string) error
		want string
	}{
		{"as it is", func(*excelize.File, string) error { return nil }, ""},
		{"figures as numbers", func(f *excelize.File, s string) error {
			return errors.Join(f.SetCellValue(s, "J4", 0.1), f.SetCellValue(s, "K4", 0.1+0.2))
		}, ""},
		{"a date as a number", func(f *excelize.File, s string) error { return f.SetCellValue(s, "G2", 46327) }, ""},
		{"merged cells", func(f *excelize.File, s string) error { return f.MergeCell(s, "B3", "C3") }, "3:2 merged_cells"},
		{"a formula", func(f *excelize.File, s string) error { return f.SetCellFormula(s, "K4", "J4*3") }, "4:11 formula"},
		{"decimal comma", func(f *excelize.File, s string) error { return f.SetCellValue(s, "J4", "0,10") }, "4:10 not_a_number"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			table, err := spreadsheet.ReadXLSX("f.xlsx", bytes.NewReader(workbook(t, row.do)))
			var faults yamlfile.Faults
			if err == nil {
				_, _, faults = spreadsheet.Import("f.xlsx", table, defaults(t), nil)
			} else if !errors.As(err, &faults) {
				t.Fatal(err)
			}
			got := ""
			if len(faults) > 0 {
				got = fmt.Sprintf("%d:%d %s", faults[0].Line, faults[0].Column, faults[0].Rule)
			}
			if got != row.want {
				t.Errorf("%s, want %s: %s", got, row.want, faults.All())
			}
		})
	}
	for name, blob := range map[string][]byte{"text": []byte(head), "cut": workbook(t, func(*excelize.File, string) error { return nil })[:2000], "nothing": nil} {
		if _, err := spreadsheet.ReadXLSX("f.xlsx", bytes.NewReader(blob)); err == nil {
			t.Errorf("%s was read", name)
		}
	}
}

func FuzzImport(f *testing.F) {
	var b bytes.Buffer
	if err := spreadsheet.WriteCSV(&b, demoTable(f, "ov-120")); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Add([]byte(head + "spec,play,,Play,,,,dimension,mm,0.10,0.30\r\n"))
	f.Add([]byte("record;name.en;stages.2.value\nfamily;x;1\n"))
	d := catalogue.Defaults{Cautions: []spec.Caution{{Code: "hot_parts", Severity: 1}}}
	f.Fuzz(func(t *testing.T, text []byte) {
		table, err := spreadsheet.ReadCSV("f.csv", bytes.NewReader(text))
		if err != nil {
			return
		}
		out, family, faults := spreadsheet.Import("f.csv", table, d, nil)
		if (family == nil) != (len(faults) > 0) || (out == nil) != (family == nil) {
			t.Fatal("neither read nor at fault")
		}
		if family == nil {
			return
		}
		root, err := yamlfile.Document("f.yaml", out)
		if err != nil {
			t.Fatalf("the file that was made is not read: %v", err)
		}
		if again, faults := yamlfile.ReadNode("f.yaml", root, d, nil); len(faults) > 0 || digest(again) != digest(family) {
			t.Fatalf("the file that was made holds something else: %s", faults.All())
		}
	})
}

func FuzzReadXLSX(f *testing.F) {
	var b bytes.Buffer
	if err := spreadsheet.WriteXLSX(&b, "x", spreadsheet.Table{Header: []string{"record"}, Rows: [][]string{{"family"}}}); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes())
	f.Fuzz(func(t *testing.T, blob []byte) {
		if table, err := spreadsheet.ReadXLSX("f.xlsx", bytes.NewReader(blob)); err == nil && table.Header == nil {
			t.Fatal("no header")
		}
	})
}

func ExampleFlatten() {
	root, err := yamlfile.Document("small.yaml", []byte(`
family: small
name: {en: Small, de: Klein}
source: {class: demo, title: t, reviewed: 2026-11-01}
components:
  - id: shaft
    name: Shaft
    specs:
      - {id: play, kind: dimension, name: Play, unit: mm, band: {lower: 0.10, upper: 0.30}}
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	table := spreadsheet.Flatten(root)
	for _, cells := range append([][]string{table.Header}, table.Rows...) {
		fmt.Println(strings.Join(cells, ","))
	}
	// Output:
	// record,id,kind,name,unit,band.lower,band.upper,family,name.en,name.de,source.class,source.title,source.reviewed
	// family,,,,,,,small,Small,Klein,demo,t,2026-11-01
	// component,shaft,,Shaft,,,,,,,,,
	// spec,play,dimension,Play,mm,0.10,0.30,,,,,,
}
