package apitest

import (
	"bytes"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"testing"

	"endfloat/openapi"
)

// Current is the OpenAPI file in the tree.
func Current(t testing.TB) *File {
	t.Helper()
	f, err := Read(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Handler is h with every exchange held against the OpenAPI file in the tree; what does not fit fails the test.
func Handler(t testing.TB, h http.Handler) http.Handler {
	t.Helper()
	return Current(t).Handler(t, h)
}

// Handler is h with every exchange held against the file; what does not fit fails the test.
func (f *File) Handler(t testing.TB, h http.Handler) http.Handler {
	t.Helper()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		sent, err := io.ReadAll(r.Body)
		if err != nil {
			t.Error(err)
		}
		r.Body = io.NopCloser(bytes.NewReader(sent))
		asked := r.Clone(r.Context())
		rec := httptest.NewRecorder()
		h.ServeHTTP(rec, r)
		if r.Method == http.MethodHead {
			rec.Body.Reset() // as net/http does
		}
		if err := f.Check(Exchange{asked, sent, rec.Code, rec.Header(), rec.Body.Bytes()}); err != nil {
			t.Error(err)
		}
		maps.Copy(w.Header(), rec.Header())
		w.WriteHeader(rec.Code)
		_, _ = w.Write(rec.Body.Bytes()) // a recorder takes everything
	})
}

// Transport is next, or the default transport, with every exchange held against the file; what does not fit fails the
// test.
func (f *File) Transport(t testing.TB, next http.RoundTripper) http.RoundTripper {
	if next == nil {
		next = http.DefaultTransport
	}
	return transport{f, t, next}
}

type transport struct {
	file *File
	t    testing.TB
	next http.RoundTripper
}

// RoundTrip sends the request and checks what comes back.
func (tr transport) RoundTrip(r *http.Request) (*http.Response, error) {
	tr.t.Helper()
	var sent []byte
	if r.Body != nil {
		var err error
		if sent, err = io.ReadAll(r.Body); err != nil {
			return nil, err
		}
		r.Body.Close()
	}
	out := r.Clone(r.Context())
	if r.Body != nil {
		out.Body = io.NopCloser(bytes.NewReader(sent))
	}
	res, err := tr.next.RoundTrip(out)
	if err != nil {
		return nil, err
	}
	body, err := io.ReadAll(res.Body)
	res.Body.Close()
	if err != nil {
		return nil, err
	}
	res.Body = io.NopCloser(bytes.NewReader(body))
	if err := tr.file.Check(Exchange{r, sent, res.StatusCode, res.Header, body}); err != nil {
		tr.t.Error(err)
	}
	return res, nil
}
