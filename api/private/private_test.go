package private_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api/metrics"
	"endfloat/api/private"
)

func handler(loopback bool) http.Handler {
	service := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, "service at ", r.URL.Path) })
	return private.New(private.Settings{Metrics: metrics.New("v-1").Handler(), Service: service, Version: "v-1", Loopback: loopback})
}

func ask(h http.Handler, method, host, path string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, nil)
	r.Host = host
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestWhatStandsThere(t *testing.T) {
	t.Parallel()
	h := handler(true)
	for _, row := range []struct {
		path, says string
		status     int
	}{
		{"/", "/debug/pprof/", 200},
		{"/metrics", `endfloat_build_info{go="go`, 200},
		{"/livez", "service at /livez", 200},
		{"/readyz", "service at /readyz", 200},
		{"/debug/pprof/", "goroutine", 200},
		{"/debug/pprof/heap?debug=1", "heap profile", 200},
		{"/debug/pprof/cmdline", "", 404}, // keys may stand in it
		{"/v1", "", 404},
		{"/debug/pprof/none", "", 404},
	} {
		w := ask(h, "GET", "127.0.0.1:1", row.path)
		if w.Code != row.status || !strings.Contains(w.Body.String(), row.says) || w.Header().Get("Cache-Control") != "no-store" && w.Code == 200 {
			t.Errorf("%s: %d %v %.200s", row.path, w.Code, w.Header(), w.Body)
		}
	}
	if w := ask(h, "POST", "127.0.0.1:1", "/metrics"); w.Code != http.StatusMethodNotAllowed {
		t.Errorf("POST: %d", w.Code)
	}
}

func TestHowItWasBuilt(t *testing.T) {
	t.Parallel()
	var got struct {
		Version, Go string
		Modules     []struct{ Path, Version string }
	}
	w := ask(handler(false), "GET", "x", "/build")
	if err := json.Unmarshal(w.Body.Bytes(), &got); err != nil || got.Version != "v-1" || !strings.HasPrefix(got.Go, "go1.") {
		t.Errorf("%v %s", err, w.Body)
	}
}

func TestOnLoopbackOnlyLoopbackNamesAreAnswered(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		host     string
		loopback bool
		status   int
	}{
		{"127.0.0.1:9090", true, 200}, {"127.8.8.8", true, 200}, {"localhost:9090", true, 200}, {"LOCALHOST", true, 200}, {"[::1]:9090", true, 200}, {"[::1]", true, 200},
		{"evil.example", true, 421}, {"localhost.evil.example:9090", true, 421}, {"10.0.0.1:9090", true, 421}, {"", true, 421},
		{"endfloat.monitoring.svc:9090", false, 200}, {"10.0.0.1:9090", false, 200},
	} {
		if w := ask(handler(row.loopback), "GET", row.host, "/metrics"); w.Code != row.status {
			t.Errorf("%q (loopback %v): %d", row.host, row.loopback, w.Code)
		}
	}
}
