// Package middleware wraps the engine: one concern a file. It refuses to know what the routes are about.
package middleware

import (
	"net/http"
	"slices"
	"strings"

	"endfloat/service/fault"
	"endfloat/service/note"
)

// Fail writes an error as a problem.
type Fail func(http.ResponseWriter, *http.Request, error)

// CORS answers preflight requests (Fetch standard, section 3.2) and OPTIONS for the paths that exist; everything else
// goes to next. Paths are patterns in which a segment that starts with a colon stands for any segment.
func CORS(next http.Handler, methods map[string][]string, fail Fail) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodOptions {
			next.ServeHTTP(w, r)
			return
		}
		allowed := allowedAt(r.URL.Path, methods)
		if len(allowed) == 0 {
			fail(w, r, fault.New(fault.NotFound, "no_such_address", note.New("found_nothing_stands_address_get", note.Str("address", "/v1"))))
			return
		}
		h := w.Header()
		list := strings.Join(append(allowed, http.MethodOptions), ", ")
		h.Set("Allow", list)
		h.Set("Access-Control-Allow-Origin", "*")
		h.Set("Access-Control-Allow-Methods", list)
		h.Set("Access-Control-Allow-Headers", "Authorization, Content-Type, Accept, Accept-Language, If-None-Match, Traceparent, Tracestate")
		h.Set("Access-Control-Max-Age", "7200")
		h.Set("Cache-Control", "no-store")
		w.WriteHeader(http.StatusNoContent)
	})
}

func allowedAt(path string, methods map[string][]string) []string {
	if path == "*" {
		return []string{http.MethodGet, http.MethodHead, http.MethodPost}
	}
	var all []string
	for pattern, list := range methods {
		if matches(pattern, path) {
			all = append(all, list...)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func matches(pattern, path string) bool {
	for {
		p, pRest, pMore := strings.Cut(pattern, "/")
		s, sRest, sMore := strings.Cut(path, "/")
		if strings.HasPrefix(p, "*") {
			return true
		}
		if strings.HasPrefix(p, ":") && s == "" || !strings.HasPrefix(p, ":") && p != s || pMore != sMore {
			return false
		}
		if !pMore {
			return true
		}
		pattern, path = pRest, sRest
	}
}
