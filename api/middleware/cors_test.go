package middleware_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api/middleware"
)

func TestCORS(t *testing.T) {
	t.Parallel()
	methods := map[string][]string{
		"/v1/families/:family":          {"GET", "HEAD"},
		"/v1/families/:family/parts/:p": {"GET", "HEAD"},
		"/v1/evaluations":               {"POST"},
		"/docs/*file":                   {"GET", "HEAD"},
	}
	next := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusTeapot) })
	h := middleware.CORS(next, methods, func(w http.ResponseWriter, _ *http.Request, _ error) { w.WriteHeader(http.StatusNotFound) })
	for _, row := range []struct {
		name, method, path string
		status             int
		allow              string
	}{
		{"another method goes on", "GET", "/nowhere", http.StatusTeapot, ""},
		{"a fixed path", "OPTIONS", "/v1/evaluations", 204, "POST, OPTIONS"},
		{"a key in the path", "OPTIONS", "/v1/families/pl-85", 204, "GET, HEAD, OPTIONS"},
		{"an empty key", "OPTIONS", "/v1/families/", 404, ""},
		{"too short", "OPTIONS", "/v1/families/pl-85/parts", 404, ""},
		{"too long", "OPTIONS", "/v1/families/pl-85/parts/x/y", 404, ""},
		{"the rest of a path", "OPTIONS", "/docs/a/b.css", 204, "GET, HEAD, OPTIONS"},
		{"the server as a whole (RFC 9110, section 9.3.7)", "OPTIONS", "*", 204, "GET, HEAD, POST, OPTIONS"},
		{"nothing there", "OPTIONS", "/nowhere", 404, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := httptest.NewRequest(row.method, "/", nil)
			r.URL.Path = row.path
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			if w.Code != row.status || w.Header().Get("Allow") != row.allow {
				t.Fatalf("%d %v", w.Code, w.Header())
			}
			if w.Code == 204 && (w.Header().Get("Access-Control-Allow-Origin") != "*" || w.Header().Get("Access-Control-Max-Age") != "7200" ||
				w.Header().Get("Access-Control-Allow-Methods") != row.allow || !strings.Contains(w.Header().Get("Access-Control-Allow-Headers"), "Content-Type")) {
				t.Errorf("%v", w.Header())
			}
		})
	}
}
