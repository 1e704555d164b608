package export_test

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	collector "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	spans "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/protobuf/proto"

	"endfloat/api"
	"endfloat/api/tracing"
	"endfloat/api/tracing/export"
	"endfloat/specdb"
)

// receiver is a collector that keeps what it is sent (OTLP 1.0, section OTLP/HTTP).
type receiver struct {
	mu    sync.Mutex
	spans []*spans.Span
	names []string // of services
	key   string   // header that it was sent
}

func (c *receiver) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	var sent collector.ExportTraceServiceRequest
	if err != nil || r.URL.Path != "/v1/traces" || proto.Unmarshal(body, &sent) != nil {
		w.WriteHeader(http.StatusBadRequest)
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.key = r.Header.Get("X-Tenant")
	for _, resource := range sent.GetResourceSpans() {
		c.names = append(c.names, resource.GetResource().String())
		for _, scope := range resource.GetScopeSpans() {
			c.spans = append(c.spans, scope.GetSpans()...)
		}
	}
	w.Header().Set("Content-Type", "application/x-protobuf")
}

func TestSpansOfRequestsReachTheCollector(t *testing.T) {
	got := &receiver{}
	stub := httptest.NewServer(got)
	defer stub.Close()
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", stub.URL)
	t.Setenv("OTEL_EXPORTER_OTLP_HEADERS", "x-tenant=shop")
	tracer, err := export.New(t.Context(), "v-1")
	if err != nil {
		t.Fatal(err)
	}
	source, err := specdb.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: source, Log: slog.New(slog.DiscardHandler), Tracer: tracer}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	const trace, span = "0af7651916cd43dd8448eb211c80319c", "b7ad6b7169203331"
	ask := func(method, target, body string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, target, strings.NewReader(body))
		r.Header.Set("Traceparent", "00-"+trace+"-"+span+"-01")
		r.Header.Set("Authorization", "Basic hush")
		if method == "GET" {
			r.Header.Del("Authorization")
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	const spec = "/v1/families/pl-85/components/counter-shaft/specs/axial-play"
	ask("GET", spec, "")          // made
	ready := ask("GET", spec, "") // ready
	ask("GET", spec+"-none?hush=1", "")
	judged := ask("POST", "/v1/evaluations", `{"checks":[]}`)
	if err := tracer.Close(t.Context()); err != nil {
		t.Fatal(err)
	}
	got.mu.Lock()
	defer got.mu.Unlock()
	if len(got.spans) != 4 || got.key != "shop" || !strings.Contains(strings.Join(got.names, " "), `"endfloat"`) {
		t.Fatalf("%d spans, tenant %q, of %v", len(got.spans), got.key, got.names)
	}
	for i, want := range []string{"GET /v1/families/:family/components/:component/specs/:spec", "GET /v1/families/:family/components/:component/specs/:spec",
		"GET /v1/families/:family/components/:component/specs/:spec", "POST /v1/evaluations"} {
		s := got.spans[i]
		if s.GetName() != want || hex(s.GetTraceId()) != trace || hex(s.GetParentSpanId()) != span || s.GetKind() != spans.Span_SPAN_KIND_SERVER ||
			s.GetEndTimeUnixNano() < s.GetStartTimeUnixNano() || strings.Contains(s.String(), "hush") {
			t.Errorf("%d: %v", i, s)
		}
	}
	named, ok := tracing.Parent(http.Header{"Traceparent": judged.Header()["Traceresponse"]})
	if !ok || named.Trace != trace || named.Span != hex(got.spans[3].GetSpanId()) {
		t.Errorf("traceresponse %v", judged.Header())
	}
	if len(ready.Header()["Traceresponse"]) > 0 {
		t.Error("an answer that caches keep names the trace of one caller")
	}
}

func hex(b []byte) string {
	const digits = "0123456789abcdef"
	var s strings.Builder
	for _, c := range b {
		s.WriteByte(digits[c>>4])
		s.WriteByte(digits[c&15])
	}
	return s.String()
}

// A collector that never answers costs nobody anything: what it does not take is dropped, and the end waits for it no
// longer than it is told to.
func TestACollectorThatNeverAnswersHindersNothing(t *testing.T) {
	never := make(chan struct{})
	stub := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { <-never }))
	defer stub.Close()
	defer close(never)
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", stub.URL)
	tracer, err := export.New(t.Context(), "v-1")
	if err != nil {
		t.Fatal(err)
	}
	for range 10_000 { // more than is kept
		_, _, end := tracer.Begin(httptest.NewRequest("GET", "/v1", nil), "/v1", time.Now())
		end(200)
	}
	over, cancel := context.WithCancel(t.Context())
	cancel()
	if err := tracer.Close(over); !errors.Is(err, context.Canceled) {
		t.Errorf("what could not be sent was sent: %v", err)
	}
}
