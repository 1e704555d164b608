package metrics_test

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"endfloat/api/metrics"
)

func shown(t testing.TB, s *metrics.Set) string {
	t.Helper()
	w := httptest.NewRecorder()
	s.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	if w.Code != http.StatusOK {
		t.Fatal(w.Code)
	}
	return w.Body.String()
}

func TestAnswersAreCountedByRouteAndCode(t *testing.T) {
	t.Parallel()
	s := metrics.New("v")
	r := s.Route("GET", "/v1/specs", []int{200, 304})
	for _, code := range []int{200, 200, 304, 404, 100, 999, -1} {
		r.Note(code, time.Millisecond)
	}
	text := shown(t, s)
	for _, want := range []string{
		`endfloat_http_requests_total{code="200",method="GET",route="/v1/specs"} 2`,
		`endfloat_http_requests_total{code="304",method="GET",route="/v1/specs"} 1`,
		`endfloat_http_requests_total{code="other",method="GET",route="/v1/specs"} 4`,
		`endfloat_http_request_duration_seconds_bucket{method="GET",route="/v1/specs",le="0.0004"} 0`,
		`endfloat_http_request_duration_seconds_bucket{method="GET",route="/v1/specs",le="0.0016"} 7`,
		`endfloat_http_request_duration_seconds_count{method="GET",route="/v1/specs"} 7`,
		`endfloat_build_info{`, `go_goroutines`, `process_resident_memory_bytes`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not there", want)
		}
	}
}

func TestEveryCodeOfARouteIsThereFromTheStart(t *testing.T) {
	t.Parallel()
	s := metrics.New("v")
	s.Route("POST", "/v1/evaluations", []int{200, 503})
	if text := shown(t, s); !strings.Contains(text, `endfloat_http_requests_total{code="503",method="POST",route="/v1/evaluations"} 0`) {
		t.Error(text)
	}
}

func TestValuesThatAreReadWhenAskedFor(t *testing.T) {
	t.Parallel()
	s := metrics.New("v")
	now := 1.0
	s.Gauge("breaker_open", "Whether.", func() float64 { return now }, metrics.Label{Name: "of", Value: "quota"})
	s.Counter("swaps_total", "How often.", func() float64 { return 7 })
	s.Plan(4_000_000, 5, false)
	now = 0
	text := shown(t, s)
	for _, want := range []string{`endfloat_breaker_open{of="quota"} 0`, "endfloat_swaps_total 7", "endfloat_plans_unproven_total 1",
		`endfloat_plan_nodes_bucket{le="1e+06"} 0`, `endfloat_plan_nodes_bucket{le="1e+07"} 1`, `endfloat_plan_options_bucket{le="5"} 1`} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not there", want)
		}
	}
}

func TestNothingIsCountedWithoutASet(t *testing.T) {
	t.Parallel()
	var s *metrics.Set
	s.Route("GET", "/", nil).Note(200, time.Second)
	s.Gauge("x", "x", nil)
	s.Counter("x", "x", nil)
	s.Plan(1, 1, true)
	s.Catalogue(nil)
}

func TestNotingAllocatesNothing(t *testing.T) { //nolint:paralleltest // others allocate
	r := metrics.New("v").Route("GET", "/", []int{200})
	if n := testing.AllocsPerRun(1000, func() { r.Note(200, time.Millisecond) }); n > 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkNote(b *testing.B) {
	r := metrics.New("v").Route("GET", "/", []int{200})
	b.ReportAllocs()
	for b.Loop() {
		r.Note(200, 12*time.Microsecond)
	}
}

func ExampleSet_Route() {
	set := metrics.New("1.0")
	specs := set.Route("GET", "/v1/specs", []int{200, 304})
	specs.Note(304, 12*time.Microsecond)
	w := httptest.NewRecorder()
	set.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	for line := range strings.Lines(w.Body.String()) {
		if strings.HasPrefix(line, "endfloat_http_requests_total") {
			fmt.Print(line)
		}
	}
	// Output:
	// endfloat_http_requests_total{code="200",method="GET",route="/v1/specs"} 0
	// endfloat_http_requests_total{code="304",method="GET",route="/v1/specs"} 1
	// endfloat_http_requests_total{code="other",method="GET",route="/v1/specs"} 0
}
