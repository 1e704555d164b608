//go:build integration

package integration_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// table is a table that the service wrote, in the form that was asked for.
type table struct {
	name      string
	body      []byte
	delimiter rune
	comma     bool
}

// tables are what the service writes for spreadsheets: verdicts, the list of specs and a blank sheet, and all with
// semicolons and decimal commas too. Ids are what a careless hand might type, or a malicious one.
func tables(t *testing.T, s *service) []table {
	t.Helper()
	const point = "id,spec,unit,reading_1,standard_uncertainty\n" +
		"=1+1,pl-85/counter-shaft/axial-play,mm,0.20,0.010\n" +
		"@SUM(A1),pl-85/counter-shaft/axial-play,mm,0.50,0.010\n" +
		"\"=HYPERLINK(\"\"http://x\"\",\"\"y\"\")\",pl-85/counter-shaft/key-bolt,N.m,24,0.5\n" +
		"-1+2,pl-85/counter-shaft/none,mm,1,\n" +
		"+49 30,pl-85/counter-shaft/axial-play,kg,1,\n" +
		"\"two\nlines, \"\"quoted\"\"\",pl-85/counter-shaft/axial-play,mm,\"0,2\",\n" +
		"-12.50,pl-85/counter-shaft/axial-play,mm,0.10:free 0.15:drag 0.20:forced,\n" +
		"µ ü €,ov-120/bevel-pinion/castle-nut,N.m,57,1\n"
	const comma = "id;spec;unit;reading_1;standard_uncertainty\n=1+1;pl-85/counter-shaft/axial-play;mm;0,20;0,010\na;b;pl-85/counter-shaft/axial-play;mm\nb;pl-85/counter-shaft/key-bolt;N.m;24,5;0,5\n"
	post := func(query, body string) []byte {
		a := send(t, http.DefaultClient, request(t, http.MethodPost, s.URL+"/v1/evaluations?"+query, body, "Content-Type", "text/csv"))
		if a.Status != http.StatusOK {
			t.Fatalf("%d %s", a.Status, a.Body)
		}
		return a.Body
	}
	get := func(path string) []byte {
		a := send(t, http.DefaultClient, request(t, http.MethodGet, s.URL+path, ""))
		if a.Status != http.StatusOK {
			t.Fatalf("%s: %d %s", path, a.Status, a.Body)
		}
		return a.Body
	}
	return []table{
		{"verdicts", post("lang=fr", point), ',', false},
		{"verdicts with commas", post("delimiter=semicolon&decimal=comma&lang=de", comma), ';', true},
		{"specs", get("/v1/specs?format=csv&page_size=200&unit_system=imperial"), ',', false},
		{"sheet", get("/v1/families/pl-85/sheet?format=csv"), ',', false},
	}
}

// Python's csv module is another reader of RFC 4180; its cells are ours.
func TestPythonReadsTheTables(t *testing.T) {
	t.Parallel()
	for _, tab := range tables(t, start(t)) {
		cmd := exec.CommandContext(t.Context(), "python3", "-c", "import csv,json,sys,io\n"+
			"json.dump(list(csv.reader(io.TextIOWrapper(sys.stdin.buffer,encoding='utf-8',newline=''),delimiter=sys.argv[1],strict=True)),sys.stdout)", string(tab.delimiter))
		cmd.Stdin = bytes.NewReader(tab.body)
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(tab.name, err)
		}
		var rows [][]string
		if err := json.Unmarshal(out, &rows); err != nil {
			t.Fatal(err)
		}
		compareCells(t, tab, rows, func(got, want string) bool { return got == want })
	}
}

// LibreOffice reads every cell as it stands and computes none. Its numbers are compared as numbers, since a spreadsheet
// keeps no trailing zeros.
func TestLibreOfficeReadsTheTables(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, tab := range tables(t, start(t)) {
		file := filepath.Join(dir, strings.ReplaceAll(tab.name, " ", "-")+".csv")
		if err := os.WriteFile(file, tab.body, 0o600); err != nil {
			t.Fatal(err)
		}
		// Separator, text delimiter, UTF-8, first line, columns, language: 1033 writes numbers with a point, 1031 with a comma.
		language := "1033"
		if tab.comma {
			language = "1031"
		}
		filter := "Text - txt - csv (StarCalc):" + strconv.Itoa(int(tab.delimiter)) + ",34,76,1,," + language
		cmd := exec.CommandContext(t.Context(), "soffice", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless",
			"--infilter="+filter, "--convert-to", "fods", "--outdir", dir, file)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		content, err := os.ReadFile(strings.TrimSuffix(file, ".csv") + ".fods")
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(content, []byte("table:formula")) {
			t.Errorf("%s: a cell became a formula", tab.name)
		}
		compareCells(t, tab, cellsOf(t, content), func(got, want string) bool {
			if tab.comma {
				want = strings.Replace(want, ",", ".", 1)
			}
			a, err := strconv.ParseFloat(got, 64)
			b, err2 := strconv.ParseFloat(want, 64)
			return err == nil && err2 == nil && a == b
		})
	}
}

func compareCells(t *testing.T, tab table, got [][]string, alike func(got, want string) bool) {
	t.Helper()
	in := csv.NewReader(bytes.NewReader(tab.body))
	in.Comma = tab.delimiter
	want, err := in.ReadAll()
	if err != nil || len(want) < 3 || len(got) != len(want) {
		t.Fatalf("%s: %v, %d rows, want %d", tab.name, err, len(got), len(want))
	}
	wrong := 0
	for i := range want {
		for k, cell := range want[i] {
			have := ""
			if k < len(got[i]) {
				have = got[i][k]
			}
			if have == cell || alike(have, cell) {
				continue
			}
			if wrong++; wrong < 5 {
				t.Errorf("%s: row %d, %s: %q, want %q", tab.name, i, want[0][k], have, cell)
			}
		}
	}
}

// cellsOf reads a spreadsheet in flat XML (OpenDocument 1.3, part 3, section 9.1). Cells are their values: numbers and
// dates as they are stored, texts with their line ends.
func cellsOf(t *testing.T, content []byte) (rows [][]string) {
	t.Helper()
	var row []string
	var text []string
	var value string
	times, within := 1, false // a paragraph
	for in := xml.NewDecoder(bytes.NewReader(content)); ; {
		tok, err := in.Token()
		if errors.Is(err, io.EOF) {
			return trimmed(rows)
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "table-row":
				row = nil
			case "table-cell":
				text, value, times = nil, "", 1
				for _, a := range e.Attr {
					switch a.Name.Local {
					case "value", "date-value", "boolean-value":
						value = a.Value
					case "number-columns-repeated":
						if times, err = strconv.Atoi(a.Value); err != nil {
							t.Fatal(err)
						}
					}
				}
			case "p":
				text, within = append(text, ""), true
			case "s": // spaces beyond the first
				n := 1
				for _, a := range e.Attr {
					n, _ = strconv.Atoi(a.Value)
				}
				text[len(text)-1] += strings.Repeat(" ", n)
			}
		case xml.CharData:
			if within {
				text[len(text)-1] += string(e)
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "p":
				within = false
			case "table-cell":
				if value == "" {
					value = strings.Join(text, "\n")
				}
				for range min(times, 100) {
					row = append(row, value)
				}
				text = nil
			case "table-row":
				rows = append(rows, row)
			}
		}
	}
}

// trimmed is the rows without the empty ones that fill a sheet.
func trimmed(rows [][]string) [][]string {
	for len(rows) > 0 && strings.Join(rows[len(rows)-1], "") == "" {
		rows = rows[:len(rows)-1]
	}
	return rows
}
