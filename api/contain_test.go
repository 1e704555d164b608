package api_test

import (
	"bytes"
	"context"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"endfloat/api"
	"endfloat/service/catalogue"
)

// broken is a source that fails when an older revision is asked for.
type broken struct{ one }

func (broken) At(string) (*catalogue.Revision, bool) { panic("the disc said: secret path") }

func TestAPanicBecomesTheFixedProblem(t *testing.T) {
	t.Parallel()
	var log bytes.Buffer
	h, err := api.New(api.Deps{Catalogue: broken{one{clearance(t, "r-1", "0.25", "")}}, Log: slog.New(slog.NewJSONHandler(&log, nil))}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	for _, method := range []string{"GET", "HEAD", "POST"} {
		target := "/v1/families?revision=r-0"
		r := httptest.NewRequest(method, target, strings.NewReader("{}"))
		if method == "POST" {
			r = httptest.NewRequest(method, "/v1/lookups?revision=r-0", strings.NewReader(`{"keys":["x"]}`))
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != 500 || strings.Contains(w.Body.String(), "secret") || w.Header().Get("Cache-Control") != "no-store" || w.Header().Get("ETag") != "" {
			t.Errorf("%s: %d %v %s", method, w.Code, w.Header(), w.Body)
		}
		if method != "HEAD" && !strings.Contains(w.Body.String(), `"code":"internal"`) || method == "HEAD" && w.Body.Len() > 0 {
			t.Errorf("%s: %s", method, w.Body)
		}
	}
	if n := strings.Count(log.String(), "secret path"); n != 3 {
		t.Errorf("logged %d times: %s", n, log.String())
	}
	if w := do(h, "GET", "/v1/families"); w.Code != 200 {
		t.Errorf("afterwards %d", w.Code)
	}
}

func TestCallersMistakesAreNotLoggedAsFaults(t *testing.T) {
	t.Parallel()
	var log bytes.Buffer
	h, err := api.New(api.Deps{Catalogue: one{clearance(t, "r-1", "0.25", "")}, Log: slog.New(slog.NewJSONHandler(&log, nil))}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	for _, target := range []string{"/nowhere", "/v1?x=1", "/v1/families/none"} {
		do(h, "GET", target)
	}
	if strings.Contains(log.String(), `"level":"ERROR"`) {
		t.Error(log.String())
	}
}

func TestACallerWhoHasGoneEndsTheWork(t *testing.T) {
	t.Parallel()
	h, err := api.New(api.Deps{Catalogue: one{clearance(t, "r-1", "0.25", "")}, Log: slog.New(slog.DiscardHandler)}, api.Config{Deadline: time.Nanosecond})
	if err != nil {
		t.Fatal(err)
	}
	row := `{"id":"1","spec":"qb-1/valves/exhaust","unit":"mm","readings":[{"value":0.2}]}`
	r := httptest.NewRequestWithContext(context.Background(), "POST", "/v1/evaluations", strings.NewReader(`{"checks":[`+strings.Repeat(row+",", 2000)+row+`]}`))
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != 503 || w.Header().Get("Retry-After") == "" || !strings.Contains(w.Body.String(), "not-now") {
		t.Errorf("%d %v %.200s", w.Code, w.Header(), w.Body)
	}
}

func TestATrustedProxyIsAnAddress(t *testing.T) {
	t.Parallel()
	if _, err := api.New(api.Deps{Catalogue: one{clearance(t, "r-1", "0.25", "")}, Log: slog.New(slog.DiscardHandler)}, api.Config{TrustedProxies: []string{"here"}}); err == nil {
		t.Error("accepted")
	}
}
