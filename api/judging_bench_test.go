package api_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/quantity"
)

// BenchmarkEvaluations is one request of many checks, each of three places with an instrument, decoded, judged, put
// into words and encoded.
func BenchmarkEvaluations(b *testing.B) {
	h, _ := bare(b)
	for _, n := range []int{1, 5000} {
		checks := make([]string, n)
		for i := range checks {
			checks[i] = fmt.Sprintf(`{"id":"%d","spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.15},{"value":0.20},{"value":0.%02d}],"instrument":{"standard_uncertainty":0.010}}`, i, 10+i%30)
		}
		body := `{"checks":[` + strings.Join(checks, ",") + `]}`
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			defer perProcessor(b, n)()
			for b.Loop() {
				r := httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader(body))
				r.Header.Set("Content-Type", "application/json")
				w := httptest.NewRecorder()
				h.ServeHTTP(w, r)
				if w.Code != 200 {
					b.Fatal(w.Body)
				}
			}
		})
	}
}

// BenchmarkCheck is one check of three places, converted, judged and put into words: what a row of a batch or a stage of
// a sheet costs beside its JSON.
func BenchmarkCheck(b *testing.B) {
	_, rev := bare(b)
	var bad fault.List
	bench := judging.New(text.New()).Bench(&rim.Request{Revision: rev, Lang: "en"}, judging.Ground{}, &bad)
	check := judging.CheckRequest{ID: "1", Spec: "pl-85/counter-shaft/axial-play", Unit: "mm",
		Instrument: wire.InstrumentRequest{StandardUncertainty: wire.Num(quantity.NewDecimal(10, 3))}}
	for _, v := range []int64{15, 20, 15} {
		check.Readings = append(check.Readings, wire.ReadingRequest{Value: wire.Num(quantity.NewDecimal(v, 2))})
	}
	b.ReportAllocs()
	defer perProcessor(b, 1)()
	for b.Loop() {
		if w, _, _ := bench.Judge(bench.Read(&check, "/checks/0"), 0); w.Verdict != "pass" {
			b.Fatal(w.Text)
		}
	}
}
