package api_test

import (
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"

	"endfloat/api"
	"endfloat/api/quota"
	"endfloat/openapi"
)

// Every problem that operations share is answered as its example in the file stands, but for the name of the occurrence.
func TestExamplesOfProblemsAreAnswered(t *testing.T) {
	t.Parallel()
	demo, _ := demo(t)
	charged, _ := charged(t, io.Discard, api.Config{}, nil, quota.Options{Address: quota.Quota{Units: 6, Window: 60e9}})
	with := func(deps api.Deps, cfg api.Config) http.Handler {
		deps.Log = slog.New(slog.DiscardHandler)
		h, err := api.New(deps, cfg)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	rev := clearance(t, "r-1", "0.25", "")
	checks := `{"checks":[` + strings.Repeat(`{"spec":"qb-1/valves/exhaust","unit":"mm","readings":[{"value":0.2}]},`, 2000) + `{}]}`
	rows := []struct {
		name, method, target, body string
		header                     []string
		h                          http.Handler
	}{
		{"CannotBeRead", "GET", "/v1?units=mm", "", nil, demo},
		{"KeyNotKnown", "GET", "/v1", "", []string{"Authorization", "Bearer none"}, demo},
		{"NoSuchThing", "GET", "/v1/families/pl-58", "", nil, demo},
		{"NotAcceptable", "GET", "/v1", "", []string{"Accept", "text/csv"}, demo},
		{"TooLarge", "POST", "/v1/torque-estimates", strings.Repeat(" ", 1<<20+1), nil, demo},
		{"WrongMediaType", "POST", "/v1/torque-estimates", "{}", []string{"Content-Type", "text/plain"}, demo},
		{"ValuesNotAccepted", "POST", "/v1/torque-settings", `{"wanted":{"value":"30,5","unit":"stone"},"wrench":{"length":300,"unit":"mm","torque_unit":"N·m"}}`, nil, demo},
		{"TooManyRequests", "POST", "/v1/evaluations", oneCheck, []string{"Content-Type", "application/json"}, charged},
		{"FaultOfOurs", "GET", "/v1?revision=r-0", "", nil, with(api.Deps{Catalogue: broken{one{rev}}}, api.Config{})},
		{"NotNow", "POST", "/v1/evaluations", checks, nil, with(api.Deps{Catalogue: one{rev}}, api.Config{Deadline: time.Nanosecond})},
	}
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		t.Fatal(err)
	}
	if n := len(doc.Components.Responses); n != len(rows)+1 { // and NotModified
		t.Errorf("%d answers are shared, and %d are tried", n-1, len(rows))
	}
	for _, row := range rows {
		want, _ := doc.Components.Responses[row.name].Value.Content["application/problem+json"].Example.(map[string]any)
		var w *httptest.ResponseRecorder
		for range 2 { // what is too many is so the second time
			r := httptest.NewRequest(row.method, row.target, strings.NewReader(row.body))
			r.RemoteAddr = "192.0.2.1:4711"
			for i := 0; i+1 < len(row.header); i += 2 {
				r.Header.Set(row.header[i], row.header[i+1])
			}
			w = httptest.NewRecorder()
			row.h.ServeHTTP(w, r)
		}
		var got map[string]any
		if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil {
			t.Fatalf("%s: %d %s", row.name, w.Code, w.Body)
		}
		if instance, _ := got["instance"].(string); !strings.HasPrefix(instance, "urn:uuid:") {
			t.Errorf("%s: instance %q", row.name, instance)
		}
		got["instance"] = "urn:uuid:0b9f5f0e-6f0d-4a53-9f0e-2f3b6b1d6a55"
		if diff := cmp.Diff(want, got); diff != "" {
			shown, _ := json.MarshalIndent(got, "", "  ") // it was read from JSON
			t.Errorf("%s (-example +answer)\n%s\n%s", row.name, diff, shown)
		}
	}
}
