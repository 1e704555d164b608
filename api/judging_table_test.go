package api_test

import (
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"endfloat/service/spec"
)

func TestChecksAsATable(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	body := "reading_1,id,kind,spec_unit,lower,upper,unit,standard_uncertainty,reading_2,how,target\n" +
		"0.15,=a,dimension,mm,0.10,0.40,mm,0.01,,,\n" +
		"0.10:free 0.15:drag 0.20:forced,b,dimension,mm,0.10,0.40,mm,,,,0.10\n" +
		"0.15 0.16,c,dimension,mm,0.10,0.40,mm,0.01,,,\n" +
		"\"0,15\",d,dimension,mm,0.10,0.40,mm,0.01,,,\n" +
		",e,dimension,mm,0.10,0.40,mm,,,,\n" +
		"30,f,torque,N.m,28,32,N.m,,,estimated,\n" +
		"1,g,dimension,,0.10,0.40,kg,,,,\n" +
		"0.39,h,dimension,in,0.10,0.40,mm,,,,\n"
	w := sendCSV(h, "/v1/evaluations?format=csv", body)
	if w.Code != 200 || w.Header().Get("Evaluation-Summary") != "rows=8, pass=3, conditional_pass=1, conditional_fail=0, fail=1, not_judged=3, problems=2" {
		t.Fatalf("%d %v %s", w.Code, w.Header(), w.Body)
	}
	rows, err := csv.NewReader(w.Body).ReadAll()
	if err != nil || len(rows) != 9 {
		t.Fatalf("%v, %d rows", err, len(rows))
	}
	want := [][]string{
		{"1", "'=a", "pass", "true", "accept", "0.15", "mm", "0.10", "0.40", "", ""},
		{"2", "b", "pass", "true", "accept", "0.15", "mm", "0.10", "0.40", "", ""},
		{"3", "c", "pass", "true", "accept_with_note", "0.155", "mm", "0.10", "0.40", "", ""},
		{"4", "d", "not_judged", "false", "ask", "", "", "", "", "decimal_comma", "reading_1"},
		{"5", "e", "not_judged", "false", "measure_again", "", "mm", "0.10", "0.40", "", ""},
		{"6", "f", "conditional_pass", "false", "accept_with_note", "30", "N.m", "28", "32", "", ""},
		{"7", "g", "not_judged", "false", "ask", "", "", "", "", "unknown_unit", "unit"},
		{"8", "h", "fail", "true", "adjust", "0.0154", "in", "0.10", "0.40", "", ""},
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	for i, cells := range want {
		var got []string
		for _, name := range []string{"row", "id", "verdict", "decided", "action", "value", "unit", "lower", "upper", "problem_code", "problem_column"} {
			got = append(got, rows[i+1][at[name]])
		}
		if strings.Join(got, "|") != strings.Join(cells, "|") {
			t.Errorf("got  %q\nwant %q", got, cells)
		}
	}
}

func TestATableWithDecimalCommas(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	body := "\ufeffid;kind;spec_unit;lower;upper;unit;reading_1;standard_uncertainty\na;dimension;mm;0,10;0,40;mm;0,39;0,02\nb;dimension;mm;0,10;0,40;mm;0.39;\n"
	w := sendCSV(h, "/v1/evaluations?format=csv&delimiter=semicolon&decimal=comma", body)
	if w.Code != 200 || !strings.Contains(w.Body.String(), ";conditional_pass;") || !strings.Contains(w.Body.String(), ";0,691;") || !strings.Contains(w.Body.String(), ";decimal_point;") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

func TestTablesThatCannotBeRead(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, row := range []struct{ name, query, body, code, says string }{
		{"unknown column", "", "id,colour\na,red\n", "unknown_column", `"fix":"the columns are id,`},
		{"column twice", "", "id,id\na,b\n", "duplicate_column", `"row":0,"column":"id"`},
		{"semicolons that nobody declared", "", "id;spec\na;b\n", "unknown_column", `"fix":"declare delimiter=semicolon, and decimal=comma`},
		{"tabs that nobody declared", "", "id\tspec\na\tb\n", "unknown_column", `"fix":"declare delimiter=tab, `},
		{"commas where semicolons were declared", "?delimiter=semicolon", "id,spec\na,b\n", "unknown_column", `"fix":"declare delimiter=comma, `},
		{"no head", "", "", "bad_csv", ""},
		{"a quote that never ends", "", "id\n\"a\n", "bad_csv", ""},
		{"not UTF-8", "", "id\n\xff\n", "bad_text", ""},
		{"unknown delimiter", "?delimiter=pipe", "id\na\n", "bad_parameter", `"parameter":"delimiter"`},
		{"unknown decimal", "?decimal=apostrophe", "id\na\n", "bad_parameter", `"parameter":"decimal"`},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if w := sendCSV(h, "/v1/evaluations"+row.query, row.body); w.Code != 400 || !strings.Contains(w.Body.String(), `"code":"`+row.code+`"`) || !strings.Contains(w.Body.String(), row.says) {
				t.Errorf("%d %s", w.Code, w.Body)
			}
		})
	}
	if w := sendCSV(h, "/v1/evaluations", "id\n"+strings.Repeat("a\n", 10001)); w.Code != 422 {
		t.Errorf("10,001 rows: %d", w.Code)
	}
}

// The picture of every spec is well-formed XML with a text alternative and every caution.
func TestThePictureOfEverySpec(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	for _, key := range rev.SpecKeys() {
		for _, query := range []string{"", "?lang=de"} {
			w := do(h, "GET", hrefOf(key)+"/band.svg"+query)
			if w.Code != 200 || w.Header().Get("Content-Type") != "image/svg+xml" {
				t.Fatalf("%s: %d %s", key, w.Code, w.Body)
			}
			text := w.Body.String()
			if !strings.Contains(text, "<title") || !strings.Contains(text, "<desc") || !strings.Contains(text, "manual;") && !strings.Contains(text, "Handbuch") {
				t.Errorf("%s: %s", key, text)
			}
			d := xml.NewDecoder(strings.NewReader(text))
			for {
				if _, err := d.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatalf("%s: %v", key, err)
				}
			}
		}
	}
	w := do(h, "GET", "/v1/families/pl-85/components/counter-shaft/specs/key-bolt/band.svg?value=24&unit=N.m")
	if text := w.Body.String(); strings.Index(text, "LEFT-HAND") > strings.Index(text, "24 N·m") || !strings.Contains(text, "24 N·m") {
		t.Errorf("%s", text)
	}
}

// Every spec has a plan or a reason for none, and its guard limits lie inside its limits.
func TestTheMeasuringPlanOfEverySpec(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	planned := 0
	for _, key := range rev.SpecKeys() {
		var p struct {
			Planned bool
			Because string `json:"undecided_because"`
			Text    string
			Limits  struct{ Lower, Upper *float64 }
			Plans   []struct {
				Kind  string
				Good  bool                            `json:"good_enough"`
				Guard struct{ Lower, Upper *float64 } `json:"guard_limits"`
			} `json:"instruments"`
		}
		fetch(t, h, hrefOf(key)+"/measuring-plan", &p)
		e, _ := rev.Entry(key)
		usual := e.Base.Kind == spec.Dimension || e.Base.Kind == spec.Torque // the others have no usual instrument
		if p.Planned == (p.Because != "") || p.Text == "" || p.Planned && len(p.Plans) == 0 && usual {
			t.Errorf("%s: %+v", key, p)
		}
		if p.Planned {
			planned++
		}
		for _, i := range p.Plans {
			if i.Guard.Lower != nil && p.Limits.Lower != nil && *i.Guard.Lower < *p.Limits.Lower || i.Guard.Upper != nil && p.Limits.Upper != nil && *i.Guard.Upper > *p.Limits.Upper {
				t.Errorf("%s: guard limits of the %s reach outside", key, i.Kind)
			}
		}
	}
	if planned < 10 {
		t.Errorf("only %d plans", planned)
	}
}
