package api_test

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"endfloat/api"
	"endfloat/api/metrics"
	"endfloat/specdb"
)

// watched is the service over the demo, with what it counts and logs.
func watched(t testing.TB, level slog.Level, slow time.Duration) (http.Handler, *metrics.Set, *bytes.Buffer) {
	t.Helper()
	source, err := specdb.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	log, set := &bytes.Buffer{}, metrics.New("test")
	set.Catalogue(source)
	h, err := api.New(api.Deps{Catalogue: source, Log: slog.New(slog.NewJSONHandler(log, &slog.HandlerOptions{Level: level})), Metrics: set}, api.Config{Slow: slow})
	if err != nil {
		t.Fatal(err)
	}
	return h, set, log
}

func counts(t testing.TB, set *metrics.Set) string {
	t.Helper()
	return do(set.Handler(), "GET", "/metrics").Body.String()
}

func TestEveryAnswerIsCountedUnderItsRoute(t *testing.T) {
	t.Parallel()
	h, set, _ := watched(t, slog.LevelInfo, 0)
	tag := ""
	for range 3 { // the first is made, the others stand ready
		tag = do(h, "GET", benchTarget).Header().Get("ETag")
	}
	do(h, "HEAD", benchTarget)
	do(h, "GET", benchTarget, "If-None-Match", tag)
	do(h, "GET", benchTarget+"x")
	do(h, "GET", "/nowhere")
	do(h, "PUT", "/v1")
	do(h, "OPTIONS", "/v1")
	do(h, "OPTIONS", "/nowhere")
	plan := `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.62}]}],` +
		`"fitted":[{"place":"left","pieces":[{"thickness":1.00}]},{"place":"right","pieces":[{"thickness":1.00}]}]}`
	r := httptest.NewRequest("POST", "/v1/shim-plans", strings.NewReader(plan))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != 200 {
		t.Fatal(w.Body)
	}
	text := counts(t, set)
	const route = `method="GET",route="/v1/families/:family/components/:component/specs/:spec"`
	for _, want := range []string{
		`endfloat_http_requests_total{code="200",` + route + `} 4`,
		`endfloat_http_requests_total{code="304",` + route + `} 1`,
		`endfloat_http_requests_total{code="404",` + route + `} 1`,
		`endfloat_http_request_duration_seconds_count{` + route + `} 6`,
		`endfloat_http_requests_total{code="404",method="any",route="none"} 2`,
		`endfloat_http_requests_total{code="405",method="any",route="none"} 1`,
		`endfloat_http_requests_total{code="204",method="any",route="none"} 1`,
		`endfloat_http_requests_total{code="200",method="POST",route="/v1/shim-plans"} 1`,
		`endfloat_plan_nodes_count 1`, `endfloat_plans_unproven_total 0`, `endfloat_catalogue_info{revision="`, `endfloat_catalogue_specs `,
		`endfloat_http_in_flight{class="plan"} 0`, `endfloat_gate_places{class="plan"}`, `endfloat_gate_taken{class="judge"} 0`, `endfloat_body_bytes_held 0`,
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not there", want)
		}
	}
}

const traceparent = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"

// lines are the records of a log.
func lines(t *testing.T, log *bytes.Buffer) (all []map[string]any) {
	t.Helper()
	for line := range strings.Lines(log.String()) {
		var one map[string]any
		if err := json.Unmarshal([]byte(line), &one); err != nil {
			t.Fatalf("%v: %s", err, line)
		}
		all = append(all, one)
	}
	return all
}

func TestManyGoodLookUpsAreOneSampleInTheLog(t *testing.T) {
	t.Parallel()
	h, _, log := watched(t, slog.LevelInfo, time.Hour)
	for range 100 {
		do(h, "GET", benchTarget, "X-Request-Id", "theirs", "Traceparent", traceparent)
		do(h, "GET", "/readyz")
	}
	got := lines(t, log)
	if len(got) != 1 || got[0]["msg"] != "request, a sample" || got[0]["status"] != 200.0 || got[0]["trace_id"] != "0af7651916cd43dd8448eb211c80319c" ||
		got[0]["route"] != "/v1/families/:family/components/:component/specs/:spec" || strings.Contains(log.String(), "theirs") {
		t.Error(log)
	}
}

func TestASlowAnswerIsLoggedUnderTheNameOfItsProblem(t *testing.T) {
	t.Parallel()
	h, _, log := watched(t, slog.LevelInfo, time.Nanosecond)
	w := do(h, "GET", benchTarget+"x?lang=de")
	var p struct{ Instance string }
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
		t.Fatal(err)
	}
	if got := lines(t, log); len(got) != 1 || got[0]["msg"] != "slow request" || got[0]["level"] != "WARN" || got[0]["instance"] != p.Instance || p.Instance == "" {
		t.Errorf("%s: %s", p.Instance, log)
	}
}

func TestNoBodyQueryOrKeyIsLogged(t *testing.T) {
	t.Parallel()
	h, _, log := watched(t, slog.LevelDebug, time.Nanosecond)
	for _, body := range []string{`{"keys":["hush-1"]}`, `{"hush-2":1}`, `{"checks":[{"id":"hush-3"}]}`} {
		r := httptest.NewRequest("POST", "/v1/lookups?hush-4=hush-5", strings.NewReader(body))
		r.Header.Set("Authorization", "Bearer hush-6")
		h.ServeHTTP(httptest.NewRecorder(), r)
		r = httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader(body))
		h.ServeHTTP(httptest.NewRecorder(), r)
	}
	do(h, "GET", "/v1/identifications?engine_number=hush-7", "Cookie", "hush-8")
	do(h, "GET", "/"+strings.Repeat("long", 1000))
	if strings.Contains(log.String(), "hush") || log.Len() == 0 {
		t.Error(log)
	}
	for _, one := range lines(t, log) {
		if path, _ := one["path"].(string); len(path) > 300 {
			t.Errorf("a path of %d bytes", len(path))
		}
	}
}

func TestNotingAReadyLookUpAllocatesNothing(t *testing.T) { //nolint:paralleltest // others allocate
	h, _, _ := watched(t, slog.LevelInfo, 0)
	plain, _ := bare(t)
	allocs := func(h http.Handler) float64 {
		r := httptest.NewRequest("GET", benchTarget, nil)
		w := &sink{header: make(http.Header)}
		return testing.AllocsPerRun(200, func() { h.ServeHTTP(w, r) })
	}
	if with, without := allocs(h), allocs(plain); with > without {
		t.Errorf("%v allocations, %v without", with, without)
	}
}

// BenchmarkSpecGETCounted is BenchmarkSpecGET with everything counted.
func BenchmarkSpecGETCounted(b *testing.B) {
	h, _, _ := watched(b, slog.LevelWarn, 0)
	bench(b, h, 200)
}
