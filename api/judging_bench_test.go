package api_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"
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
