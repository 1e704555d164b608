package api_test

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// rowsOfAllKinds are rows of one table that have little in common.
func rowsOfAllKinds() (head string, rows []string) {
	return "id,spec,unit,reading_1,reading_2,how,stage,instrument,accuracy,kind,spec_unit,lower,upper,target,wear_upper,variant,engine_number", []string{
		"a,pl-85/counter-shaft/axial-play,mm,0.15 0.16 0.17 0.15,0.2,,as_found,dial,0.01,,,,,,,,",
		"b,pl-85/counter-shaft/axial-play,mm,0.10:free 0.15:drag 0.20:forced",
		"c,pl-85/counter-shaft/key-bolt,N.m,24,30,estimated,,click_wrench,,,,,,,,,",
		"d,,mm,0.39,,,,dial,,dimension,mm,0.10,0.40,0.2,0.5,,",
		"e,,mm,0.39,,,,,,dimension,in,,0.40,,,,",
		"f,no/such/spec,mm,1",
		"g",
		"h,pl-85/counter-shaft/axial-play,kg,1",
		"i,pl-85/counter-shaft/axial-play,mm,\"0,15\",x:free",
		"j,qb-270/valves/inlet,mm,0.10,,,,,,,,,,,,c,",
		"k,pl-85/counter-shaft/axial-play,mm,0.3,,,,,,,,,,,,,OVM-5000",
		"=1+1,ov-120/carrier/wheel-shim-float,mm,12,,check,never,,,,,,,,,,",
		"l,,mm,0.2,,,,,,dimension,mm,0.10,0.40,,,,,,,,",
	}
}

// A row is judged alike whatever is above it: with others before and after, its cells are those it has alone, but for
// its number.
func TestARowOfATableStandsAlone(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	head, rows := rowsOfAllKinds()
	alone := map[string]string{}
	cells := func(body string) []string {
		w := sendCSV(h, "/v1/evaluations", body)
		if w.Code != 200 {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		lines := strings.Split(strings.TrimSpace(w.Body.String()), "\n")[1:]
		for i := range lines {
			_, lines[i], _ = strings.Cut(lines[i], ",")
		}
		return lines
	}
	for _, r := range rows {
		alone[r] = cells(head + "\n" + r + "\n")[0]
	}
	rapid.Check(t, func(rt *rapid.T) {
		drawn := rapid.SliceOfN(rapid.SampledFrom(rows), 1, 30).Draw(rt, "rows")
		for i, got := range cells(head + "\n" + strings.Join(drawn, "\n") + "\n") {
			if want := alone[drawn[i]]; got != want {
				rt.Errorf("row %d of %q:\n%s\nalone\n%s", i+1, drawn, got, want)
			}
		}
	})
}

// The same table has the same verdicts, values and counts as JSON.
func TestATableSaysTheSameInBothForms(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	head, rows := rowsOfAllKinds()
	body := head + "\n" + strings.Join(rows, "\n") + "\n"
	table, doc := sendCSV(h, "/v1/evaluations?format=csv", body), sendCSV(h, "/v1/evaluations?format=json", body)
	var a struct {
		Results []struct {
			ID, Verdict, Action, Text string
			Problem                   struct{ Code string }
		}
	}
	if err := json.Unmarshal(doc.Body.Bytes(), &a); err != nil || len(a.Results) != len(rows) {
		t.Fatalf("%v, %d results", err, len(a.Results))
	}
	if got, want := table.Header().Get("Evaluation-Summary"), doc.Header().Get("Evaluation-Summary"); got != want {
		t.Errorf("%s, and as JSON %s", got, want)
	}
	at, list := columnsOf(t, table.Body)
	for i, r := range a.Results {
		cells := list[i]
		for name, want := range map[string]string{"verdict": r.Verdict, "action": r.Action, "text": r.Text, "problem_code": r.Problem.Code} {
			if got := cells[at[name]]; got != want {
				t.Errorf("%s: %s is %q, and as JSON %q", rows[i], name, got, want)
			}
		}
	}
}

// columnsOf reads a table: where each column stands, and the rows below the head.
func columnsOf(t *testing.T, table io.Reader) (at map[string]int, rows [][]string) {
	t.Helper()
	all, err := csv.NewReader(table).ReadAll()
	if err != nil || len(all) == 0 {
		t.Fatalf("%v, %d rows", err, len(all))
	}
	at = map[string]int{}
	for i, name := range all[0] {
		at[name] = i
	}
	return at, all[1:]
}
