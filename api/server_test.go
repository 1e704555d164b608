package api_test

import (
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/api/apitest"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// one is a source that holds a single revision.
type one struct{ rev *catalogue.Revision }

func (o one) Current() *catalogue.Revision { return o.rev }
func (o one) At(name string) (*catalogue.Revision, bool) {
	return o.rev, name == o.rev.Name
}
func (o one) Held() []string { return []string{o.rev.Name} }

func serve(t *testing.T) http.Handler {
	t.Helper()
	rev, err := catalogue.New("r-test", "2026-11-01", []*catalogue.Family{{Key: "pl-85", Name: spec.English("PL-85")}}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: one{rev}, Log: slog.New(slog.DiscardHandler), Version: "test"}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	return apitest.Handler(t, h)
}

func do(h http.Handler, method, target string, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, target, strings.NewReader(""))
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestLookUpsAreConditionalRequests(t *testing.T) {
	t.Parallel()
	h := serve(t)
	first := do(h, "GET", "/v1")
	tag := first.Header().Get("ETag")
	if first.Code != 200 || len(tag) < 10 || strings.HasPrefix(tag, "W/") || first.Header().Get("Catalogue-Revision") != "r-test" {
		t.Fatalf("%d %v", first.Code, first.Header())
	}
	if families := do(h, "GET", "/v1/families").Header(); len(families) > 8 {
		t.Errorf("%d header entries make the map grow: %v", len(families), families)
	}
	again := do(h, "GET", "/v1", "If-None-Match", tag)
	if again.Code != 304 || again.Body.Len() != 0 || again.Header().Get("ETag") != tag {
		t.Errorf("%d %v", again.Code, again.Header())
	}
	head := do(h, "HEAD", "/v1")
	if head.Code != 200 || head.Header().Get("ETag") != tag {
		t.Errorf("HEAD %d %v", head.Code, head.Header())
	}
	german := do(h, "GET", "/v1", "Accept-Language", "de-CH, fr;q=0.5")
	if german.Header().Get("Content-Language") != "de" || german.Header().Get("ETag") == tag {
		t.Errorf("language %v", german.Header())
	}
	if v := do(h, "GET", "/v1?lang=de").Header().Get("Vary"); strings.Contains(v, "Language") {
		t.Errorf("Vary is %q although the address names the language", v)
	}
}

func TestFaultsAreProblems(t *testing.T) {
	t.Parallel()
	h := serve(t)
	for _, row := range []struct {
		name, method, target string
		header               []string
		status               int
		code, where          string
	}{
		{"unknown address", "GET", "/v2", nil, 404, "no_such_address", ""},
		{"trailing slash", "GET", "/v1/", nil, 404, "no_such_address", ""},
		{"wrong method", "DELETE", "/v1", nil, 405, "method_not_allowed", ""},
		{"unknown parameter", "GET", "/v1?colour=red", nil, 400, "unknown_parameter", "colour"},
		{"parameter twice", "GET", "/v1?lang=en&lang=de", nil, 400, "repeated_parameter", "lang"},
		{"unknown language", "GET", "/v1?lang=xx", nil, 400, "bad_language", "lang"},
		{"form that is not offered", "GET", "/v1?format=svg", nil, 400, "bad_format", "format"},
		{"nothing acceptable", "GET", "/v1", []string{"Accept", "image/png"}, 406, "not_acceptable", ""},
		{"revision not held", "GET", "/v1?revision=r-old", nil, 404, "revision_not_held", "revision"},
		{"broken query", "GET", "/v1?lang=%zz", nil, 400, "bad_query", "lang"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			w := do(h, row.method, row.target, row.header...)
			var p struct {
				Type, Code, Instance string
				Status               int
				Errors               []struct{ Code, Parameter, Fix string }
			}
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
				t.Fatalf("%v in %s", err, w.Body)
			}
			if w.Code != row.status || p.Status != row.status || p.Code != row.code ||
				w.Header().Get("Content-Type") != "application/problem+json" || w.Header().Get("Cache-Control") != "no-store" {
				t.Fatalf("got %d %s %v", w.Code, w.Body, w.Header())
			}
			if row.where != "" && (len(p.Errors) != 1 || p.Errors[0].Parameter != row.where || p.Errors[0].Fix == "") {
				t.Errorf("errors %+v", p.Errors)
			}
		})
	}
	if allow := do(h, "DELETE", "/v1").Header().Get("Allow"); !strings.Contains(allow, "GET") || !strings.Contains(allow, "HEAD") {
		t.Errorf("Allow is %q", allow)
	}
}

func TestPreflight(t *testing.T) {
	t.Parallel()
	w := do(serve(t), "OPTIONS", "/v1/families", "Origin", "https://shop.example", "Access-Control-Request-Method", "GET")
	if w.Code != 204 || w.Header().Get("Access-Control-Max-Age") != "7200" || w.Header().Get("Access-Control-Allow-Origin") != "*" {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if w := do(serve(t), "OPTIONS", "/nowhere"); w.Code != 404 {
		t.Errorf("OPTIONS of nothing is %d", w.Code)
	}
}
