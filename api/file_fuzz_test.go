package api_test

import (
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api/apitest"
)

// held posts a body and holds the exchange against the file: no fault of ours, every answer as the file has it, and
// nothing that the file forbids is accepted.
func held(f *testing.F, target string, seeds ...string) {
	h, _ := bare(f)
	file := apitest.Current(f)
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, body string) {
		w, r := httptest.NewRecorder(), httptest.NewRequest("POST", target, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		h.ServeHTTP(w, r)
		if w.Code >= 500 && w.Code != 503 {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		if err := file.Check(apitest.Exchange{Request: r, Sent: []byte(body), Status: w.Code, Header: w.Header(), Body: w.Body.Bytes()}); err != nil {
			t.Fatalf("%v\nanswered %d %s", err, w.Code, w.Body)
		}
	})
}

func FuzzEvaluationsByTheFile(f *testing.F) {
	held(f, "/v1/evaluations",
		`{"checks":[{`+stack+`"readings":[{"value":0.2},{"value":0.25}],"instrument":{"accuracy":0.01,"distribution":"normal","level":0.9}}],"trace":true,"view":"both"}`,
		`{"checks":[{`+bolt+`"readings":[{"value":30,"how":"check"},{"repeats":[1,2,3,4]}]}],"rule":"simple"}`,
		`{"checks":[{`+stack+`"readings":[{"blades":[{"size":0.1,"feel":"free"},{"size":0.15,"feel":"refused"}]}],"stage":"as_found"}]}`,
		`{"checks":[{`+stack+`"sizes":[{"part":"a","sign":1,"temperature_c":30,"expansion_per_k":2e-5,"readings":[{"value":1}],"instrument":{"id":"m","accuracy_percent":99}},{"part":"b","sign":-1,"readings":[{"value":0.8}],"instrument":{"id":"m","accuracy":1}}]}]}`,
		`{"checks":[{"spec":"pl-85/counter-shaft/axial-play","unit":"thou","coverage":"t","readings":[{"repeats":[1,2,3,4,5]}],"trace":true}]}`)
}

func FuzzClosuresByTheFile(f *testing.F) {
	held(f, "/v1/closures",
		`{`+stack+`"before":{"readings":[{"value":0.50}],"instrument":{"standard_uncertainty":0.02}},"after":{"readings":[{"value":0.15}]},"added":0.40}`,
		`{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","before":{"readings":[{"blades":[{"size":0.1,"feel":"drag"}]}]},"after":{"readings":[]},"added":-1e-9}`,
		`{`+stack+`"before":{"readings":[{"repeats":[0.5,0.5,0.5,0.6]}]},"after":{"readings":[{"value":-0.15}]},"removed":[{"thickness":1.0,"measured":true}],"fitted":[{"thickness":1.4,"tolerance":0.02}]}`)
}

func FuzzShimPlansByTheFile(f *testing.F) {
	body := strings.Replace(stackOf(notBelow, withU("0.50", "0.01"), onePlace, sizes(2000, 2600, 150, ""), fits("p", `{"thickness":2.00}`)), "%OFFSET%", `,"grind_to_size":true`, 1)
	held(f, "/v1/shim-plans", body, strings.Replace(body, `"per_mm":[{"spec":"play","change":-1}]`, `"max_pieces":3,"min_pieces":0,"per_mm":[{"spec":"play","change":0.51}]`, 1),
		`{"unit":"in","shims":["pl-85/counter-shaft/stack-shims"],"variant":"b","measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"in","readings":[{"value":0.02}]}],"fitted":[{"place":"left","pieces":[]}],"objective":"fewest_new"}`)
}
