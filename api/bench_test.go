package api_test

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// sink takes an answer and forgets it; its header map is emptied between answers as a server's is made anew.
type sink struct {
	header http.Header
	status int
	bytes  int
}

func (s *sink) Header() http.Header         { return s.header }
func (s *sink) WriteHeader(status int)      { s.status = status }
func (s *sink) Write(b []byte) (int, error) { s.bytes += len(b); return len(b), nil }

const benchTarget = "/v1/families/pl-85/components/counter-shaft/specs/axial-play"

func bench(b *testing.B, h http.Handler, status int, header ...string) {
	r := httptest.NewRequest("GET", benchTarget, nil)
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	b.ReportAllocs()
	for b.Loop() {
		w := &sink{header: make(http.Header)}
		h.ServeHTTP(w, r)
		if w.status != status {
			b.Fatal(w.status)
		}
	}
}

// BenchmarkBare is a handler that writes the same bytes with one header field: what the others are held against.
func BenchmarkBare(b *testing.B) {
	h, _ := bare(b)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", benchTarget, nil))
	body, media := w.Body.Bytes(), []string{"application/json"}
	bench(b, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header()["Content-Type"] = media
		w.WriteHeader(200)
		_, _ = w.Write(body)
	}), 200)
}

func BenchmarkSpecGET(b *testing.B) {
	h, _ := bare(b)
	bench(b, h, 200)
}

func BenchmarkSpecGETBrowser(b *testing.B) {
	h, _ := bare(b)
	bench(b, h, 200, "Accept", "application/json, text/plain, */*", "Accept-Language", "de-DE,de;q=0.9,en-US;q=0.8,en;q=0.7")
}

func Benchmark304(b *testing.B) {
	h, _ := bare(b)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest("GET", benchTarget, nil))
	bench(b, h, 304, "If-None-Match", w.Header().Get("ETag"))
}

// BenchmarkMiss is a look-up that nobody asked for before.
func BenchmarkMiss(b *testing.B) {
	h, _ := bare(b)
	r := httptest.NewRequest("GET", benchTarget, nil)
	b.ReportAllocs()
	for b.Loop() {
		r.RequestURI = benchTarget + "?" + string(make([]byte, 5000)) // too long to be kept
		w := &sink{header: make(http.Header)}
		h.ServeHTTP(w, r)
		if w.status != 200 {
			b.Fatal(w.status)
		}
	}
}

// BenchmarkEvaluation is one check, from the body to the bytes.
func BenchmarkEvaluation(b *testing.B) {
	h, _ := bare(b)
	const body = `{"checks":[{"id":"1","spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.15},{"value":0.20},{"value":0.15}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}]}`
	reader := strings.NewReader(body)
	r := httptest.NewRequest("POST", "/v1/evaluations", reader)
	r.Header.Set("Content-Type", "application/json")
	r.Body = io.NopCloser(reader)
	b.ReportAllocs()
	defer perProcessor(b, 1)()
	for b.Loop() {
		reader.Reset(body)
		w := &sink{header: make(http.Header)}
		h.ServeHTTP(w, r)
		if w.status != 200 {
			b.Fatal(w.status)
		}
	}
}
