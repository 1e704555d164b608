package api_test

import (
	"net/http/httptest"
	"strings"
	"testing"
)

// A table is answered by a table, and by JSON where that is asked for.
func TestTablesAreAnsweredByTables(t *testing.T) {
	t.Parallel()
	h := serve(t)
	for accept, want := range map[string]string{"": "text/csv", "*/*": "text/csv", "application/json": "application/json", "text/csv": "text/csv"} {
		r := httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader("id,kind,spec_unit,lower,unit,reading_1\n1,dimension,mm,0.1,mm,0.2\n"))
		r.Header.Set("Content-Type", "text/csv")
		if accept != "" {
			r.Header.Set("Accept", accept)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if got := w.Header().Get("Content-Type"); w.Code != 200 || !strings.HasPrefix(got, want) {
			t.Errorf("Accept %q: %d %s %s", accept, w.Code, got, w.Body)
		}
	}
}
