package api_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"
)

// BenchmarkTables is one request of 10,000 rows as CSV, answered as CSV: rows in a second of one processor.
func BenchmarkTables(b *testing.B) {
	h, _ := bare(b)
	const rows = 10_000
	for _, kind := range []struct{ name, head, row string }{
		{"one place", "id,spec,unit,reading_1,instrument,standard_uncertainty", "%d,pl-85/counter-shaft/axial-play,mm,0.%02d,dial,0.010"},
		{"three places", "id,spec,unit,reading_1,reading_2,reading_3,instrument", "%d,pl-85/counter-shaft/axial-play,mm,0.%02d,0.20,0.15,dial"},
		{"blades", "id,spec,unit,reading_1", "%d,pl-85/counter-shaft/axial-play,mm,0.%02d:free 0.50:drag 0.55:forced"},
		{"torque", "id,spec,unit,reading_1,instrument", "%d,pl-85/counter-shaft/key-bolt,N.m,24.%02d,click_wrench"},
		{"own spec", "id,unit,reading_1,standard_uncertainty,kind,spec_unit,lower,upper", "%d,mm,0.%02d,0.01,dimension,mm,0.10,0.40"},
	} {
		var body strings.Builder
		body.WriteString(kind.head + "\n")
		for i := range rows {
			fmt.Fprintf(&body, kind.row+"\n", i, 10+i%30)
		}
		b.Run(kind.name, func(b *testing.B) {
			b.ReportAllocs()
			before := processor()
			for b.Loop() {
				r := httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader(body.String()))
				r.Header.Set("Content-Type", "text/csv")
				w := httptest.NewRecorder()
				h.ServeHTTP(w, r)
				if w.Code != 200 {
					b.Fatal(w.Body)
				}
				b.SetBytes(int64(w.Body.Len()))
			}
			b.ReportMetric(rows*float64(b.N)/max((processor()-before).Seconds(), 1e-9), "rows/s")
		})
	}
}
