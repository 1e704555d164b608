package api_test

import (
	"bytes"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/api/apitest"
	"endfloat/api/quota"
	"endfloat/api/rim"
	"endfloat/api/text"
)

// charged is a service with quotas.
func charged(t *testing.T, log io.Writer, cfg api.Config, keys api.Keys, o quota.Options) (http.Handler, *quota.Limiter) {
	t.Helper()
	limiter := quota.New(o)
	h, err := api.New(api.Deps{Catalogue: one{clearance(t, "r-1", "0.25", "")}, Log: slog.New(slog.NewTextHandler(log, nil)), Keys: keys, Limiter: limiter}, cfg)
	if err != nil {
		t.Fatal(err)
	}
	return apitest.Handler(t, h), limiter
}

const oneCheck = `{"checks":[{"id":"1","spec":"qb-1/valves/exhaust","unit":"mm","readings":[{"value":0.2}]}]}`

// verdictOf asks for a verdict from an address of the network unless the row says otherwise.
func verdictOf(h http.Handler, body string, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	r.RemoteAddr = "192.0.2.1:4711"
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func units(n int64) quota.Quota { return quota.Quota{Units: n, Window: 3600e9} }

func TestAPostCostsAndSaysWhatIsLeft(t *testing.T) {
	t.Parallel()
	h, limiter := charged(t, io.Discard, api.Config{}, nil, quota.Options{Address: units(12)})
	w := verdictOf(h, oneCheck, nil)
	if w.Code != 200 || w.Header().Get("RateLimit") != `"address";r=7;t=1500` || w.Header().Get("RateLimit-Policy") != `"address";q=12;w=3600` {
		t.Fatalf("%d %v", w.Code, w.Header())
	}
	if !strings.Contains(w.Header().Get("Access-Control-Expose-Headers"), "RateLimit-Policy") {
		t.Errorf("a page may not read it: %v", w.Header())
	}
	if w := verdictOf(h, `{"checks":`, nil); w.Code != 400 || w.Header().Get("RateLimit") != `"address";r=2;t=3000` {
		t.Errorf("nonsense costs as much: %d %v", w.Code, w.Header())
	}
	w = verdictOf(h, oneCheck, nil)
	if w.Code != 429 || w.Header().Get("Retry-After") != "900" || w.Header().Get("RateLimit") != `"address";r=2;t=3000` ||
		w.Header().Get("Content-Type") != "application/problem+json" || !strings.Contains(w.Body.String(), `"code":"quota_used_up"`) || !strings.Contains(w.Body.String(), "/problems/too-many-requests") {
		t.Errorf("%d %v %s", w.Code, w.Header(), w.Body)
	}
	r := httptest.NewRequest("GET", "/v1/families", http.NoBody)
	r.RemoteAddr = "192.0.2.1:4711"
	w = httptest.NewRecorder()
	h.ServeHTTP(w, r)
	if w.Code != 200 || w.Header().Get("RateLimit") != "" || w.Header().Get("RateLimit-Policy") != "" {
		t.Errorf("a look-up: %d %v", w.Code, w.Header())
	}
	if w := verdictOf(h, oneCheck, func(r *http.Request) { r.RemoteAddr = "192.0.2.2:4711" }); w.Code != 200 {
		t.Errorf("somebody else: %d", w.Code)
	}
	if c := limiter.Counts(); c.Allowed != 3 || c.Refused != 1 {
		t.Errorf("%+v", c)
	}
}

// A long body costs more, whether it says its length or not; one that is too long costs what a short one does.
func TestALongBodyCostsMore(t *testing.T) {
	t.Parallel()
	long := strings.Replace(oneCheck, "{", "{"+strings.Repeat(" ", 10*8<<10), 1)
	unsaid := func(r *http.Request) { r.ContentLength = -1 }
	for _, row := range []struct {
		name, body string
		change     func(*http.Request)
		status     int
		left       string
	}{
		{"short", oneCheck, nil, 200, "r=95"},
		{"short, of unsaid length", oneCheck, unsaid, 200, "r=95"},
		{"80 KiB", long, nil, 200, "r=85"},
		{"80 KiB, of unsaid length", long, unsaid, 200, "r=85"},
		{"too long", strings.Repeat(" ", 8<<20+1), nil, 413, "r=95"},
		{"longer than the quota", strings.Replace(oneCheck, "{", "{"+strings.Repeat(" ", 2<<20), 1), nil, 200, "r=0"},
	} {
		h, _ := charged(t, io.Discard, api.Config{}, nil, quota.Options{Address: units(100)})
		if w := verdictOf(h, row.body, row.change); w.Code != row.status || !strings.Contains(w.Header().Get("RateLimit"), row.left+";") {
			t.Errorf("%s: %d %v", row.name, w.Code, w.Header())
		}
	}
}

func TestAKeyRaisesTheQuota(t *testing.T) {
	t.Parallel()
	h, _ := charged(t, io.Discard, api.Config{}, issued{}, quota.Options{Address: units(5), Key: units(10)})
	auth := func(key string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+key) }
	}
	if w := verdictOf(h, oneCheck, auth("good")); w.Code != 200 || w.Header().Get("RateLimit-Policy") != `"key";q=10;w=3600` {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	if w := verdictOf(h, oneCheck, auth("bad")); w.Code != 401 || w.Header().Get("RateLimit") != `"address";r=0;t=3600` {
		t.Errorf("who guesses is charged by address: %d %v", w.Code, w.Header())
	}
	if w := verdictOf(h, oneCheck, auth("bad")); w.Code != 429 {
		t.Errorf("and is refused like anybody: %d", w.Code)
	}
	if w := verdictOf(h, oneCheck, auth("good")); w.Code != 200 {
		t.Errorf("the key has its own: %d", w.Code)
	}
	if w := verdictOf(h, oneCheck, auth("good")); w.Code != 429 || w.Header().Get("RateLimit") == "" {
		t.Errorf("%d %v", w.Code, w.Header())
	}
}

func TestWhoIsNotCharged(t *testing.T) {
	t.Parallel()
	h, limiter := charged(t, io.Discard, api.Config{}, nil, quota.Options{Address: units(5)})
	local := func(r *http.Request) { r.RemoteAddr = "127.0.0.1:4711" }
	for range 3 {
		if w := verdictOf(h, oneCheck, local); w.Code != 200 || w.Header().Get("RateLimit") != `"address";r=5;t=0` {
			t.Fatalf("from the machine itself: %d %v", w.Code, w.Header())
		}
	}
	passedOn := func(r *http.Request) { local(r); r.Header.Set("X-Forwarded-For", "198.51.100.1") }
	if w := verdictOf(h, oneCheck, passedOn); w.Code != 200 || w.Header().Get("RateLimit") != `"address";r=0;t=3600` {
		t.Errorf("through a proxy that nobody named: %d %v", w.Code, w.Header())
	}
	if limiter.Counts().Allowed != 1 {
		t.Errorf("%+v", limiter.Counts())
	}
	off, _ := charged(t, io.Discard, api.Config{}, nil, quota.Options{Address: quota.None()})
	if w := verdictOf(off, oneCheck, nil); w.Code != 200 || w.Header().Get("RateLimit") != "" {
		t.Errorf("without quotas: %d %v", w.Code, w.Header())
	}
}

func TestAProxyThatNobodyNamedIsToldOfOnce(t *testing.T) {
	t.Parallel()
	passedOn := func(r *http.Request) { r.Header.Set("X-Forwarded-For", "198.51.100.1") }
	for _, row := range []struct {
		name    string
		proxies []string
		change  func(*http.Request)
		told    int
		left    string
	}{
		{"nobody passes on", nil, nil, 0, "r=0"},
		{"somebody does", nil, passedOn, 1, "r=0"},
		{"who is named", []string{"192.0.2.0/24"}, passedOn, 0, "r=5"},
		{"another is named", []string{"10.0.0.0/8"}, passedOn, 0, "r=0"},
	} {
		var log bytes.Buffer
		h, _ := charged(t, &log, api.Config{TrustedProxies: row.proxies}, nil, quota.Options{Address: units(15)})
		verdictOf(h, oneCheck, nil)
		verdictOf(h, oneCheck, row.change)
		w := verdictOf(h, oneCheck, row.change)
		if n := strings.Count(log.String(), "--trusted-proxies"); n != row.told {
			t.Errorf("%s: told %d times\n%s", row.name, n, &log)
		}
		if left := w.Header().Get("RateLimit"); !strings.Contains(left, row.left+";") {
			t.Errorf("%s: %s", row.name, left)
		}
	}
}

func TestLookUpsMayBeCounted(t *testing.T) {
	t.Parallel()
	h, limiter := charged(t, io.Discard, api.Config{}, issued{}, quota.Options{LookUp: units(2)})
	ask := func(path, key string) *httptest.ResponseRecorder {
		r := httptest.NewRequest("GET", path, http.NoBody)
		r.RemoteAddr = "[2001:db8::1]:4711"
		if key != "" {
			r.Header.Set("Authorization", "Bearer "+key)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	for i, status := range []int{200, 200, 429} {
		w := ask("/v1/families", "")
		if w.Code != status || (w.Header().Get("RateLimit") != "") != (status == 429) || (w.Header().Get("Retry-After") == "1800") != (status == 429) {
			t.Errorf("look-up %d: %d %v", i, w.Code, w.Header())
		}
	}
	if w := ask("/v1/families", "good"); w.Code != 200 {
		t.Errorf("with a key: %d", w.Code)
	}
	if w := ask("/readyz", ""); w.Code != 200 {
		t.Errorf("is it well? %d", w.Code)
	}
	if w := ask("/v1/families", "bad"); w.Code != 429 {
		t.Errorf("with a key that is none: %d", w.Code)
	}
	if w := verdictOf(h, oneCheck, func(r *http.Request) { r.RemoteAddr = "[2001:db8::1]:4711" }); w.Code != 200 {
		t.Errorf("a computed answer is counted elsewhere: %d", w.Code)
	}
	if c := limiter.Counts(); c.LookUpsRefused != 3 {
		t.Errorf("%+v", c)
	}
}

// What a question costs stands in the route table, from 1 to 10 units.
func TestEveryQuestionHasItsCost(t *testing.T) {
	t.Parallel()
	dear := 0
	for _, r := range api.Routes(text.New(), api.Deps{Catalogue: one{clearance(t, "r-1", "0.25", "")}}, api.Config{}) {
		if r.Method == http.MethodPost && (r.Cost < 1 || r.Cost > 10) {
			t.Errorf("%s costs %d", r.Path, r.Cost)
		}
		if r.Class == rim.Plan && r.Cost == 10 {
			dear++
		}
	}
	if dear == 0 {
		t.Error("a plan costs most")
	}
}
