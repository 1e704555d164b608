package client_test

import (
	"bytes"
	"net/http"
	"strings"
	"testing"

	"endfloat/api/client"
)

// Counts as the service writes them: RFC 9651, a dictionary of integers.
const onePass = "rows=1, pass=1, conditional_pass=0, conditional_fail=0, fail=0, not_judged=0, problems=0"

func TestAnswersBecomeOneDocument(t *testing.T) {
	t.Parallel()
	n := 0
	c := open(t, func(r *http.Request) *http.Response {
		if r.URL.Path == "/v1" {
			return index()
		}
		n++
		return says(200, "application/json", `{"revision":"r-1","rules":"1","policy":{"guard":"U"},"summary":{"rows":1},"results":[{"id":"x","index":0,"value":0.10,`+
			`"nested":{"index":0},"problem":{"index":0,"errors":[{"row":1,"detail":"row"},{"row":"row"}]}}],"notes":[{"code":"n"}],`+
			`"cautions":[{"code":"b","severity":7,"text":"B"},{"code":"a`+strings.Repeat("a", n)+`","severity":1,"text":"A"}]}`, "Evaluation-Summary", onePass)
	}, 0)
	var out bytes.Buffer
	if _, err := c.Judge(t.Context(), client.Table{In: strings.NewReader("id\nx\ny\n"), Sink: client.JSON(&out), Rows: 1, InFlight: 1}); err != nil {
		t.Fatal(err)
	}
	const want = `{"revision":"r-1","rules":"1","policy":{"guard":"U"},"results":[
{"id":"x","index":0,"value":0.10,"nested":{"index":0},"problem":{"index":0,"errors":[{"row":1,"detail":"row"},{"row":"row"}]}},
{"id":"x","index":1,"value":0.10,"nested":{"index":0},"problem":{"index":0,"errors":[{"row":2,"detail":"row"},{"row":"row"}]}}
],"notes":[{"code":"n"}],"summary":{"rows":2,"pass":2,"conditional_pass":0,"conditional_fail":0,"fail":0,"not_judged":0,"problems":0},` +
		`"cautions":[{"code":"aa","severity":1,"text":"A"},{"code":"aaa","severity":1,"text":"A"},{"code":"b","severity":7,"text":"B"}]}
`
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
}

func TestLinesForAnEyeEndWithTheWarnings(t *testing.T) {
	t.Parallel()
	codes := says(200, "application/json", `{"items":[{"code":"demo_values","severity":7,"text":"DEMO."},{"code":"left_hand_thread","severity":1,"text":"Left."}]}`)
	for _, row := range []struct {
		name  string
		codes *http.Response
		want  string
	}{{"resolved, the most severe first", codes, "! Left.\n! DEMO.\n! unheard_of\n"}, {"not to be had", says(503, problem, "{}"), "! demo_values\n! unheard_of\n! left_hand_thread\n"}} {
		c := open(t, func(r *http.Request) *http.Response {
			switch r.URL.Path {
			case "/v1":
				return index()
			case "/v1/codes":
				return row.codes
			}
			return says(200, "text/csv", "row;id;verdict;cautions;text\n1;\"a\x1b\";pass;demo_values unheard_of left_hand_thread;inside\n", "Evaluation-Summary", onePass)
		}, 0)
		var out bytes.Buffer
		_, err := c.Judge(t.Context(), client.Table{In: strings.NewReader("id\nx\n"), Form: client.Form{Delimiter: "semicolon"},
			Sink: client.Text(&out, client.Form{Delimiter: "semicolon"}, "")})
		if want := "row  id  verdict  \n1    a\ufffd  pass     inside\n\n" + row.want; out.String() != want || (err == nil) != (row.codes == codes) {
			t.Errorf("%s: %v\n%s\nwant\n%s", row.name, err, out.String(), want)
		}
	}
}
