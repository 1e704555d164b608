package api_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/service/spec"
)

// issued is the one key there is.
type issued struct{ policy *spec.JudgePolicy }

func (k issued) Find(secret string) (api.Key, bool) {
	return api.Key{Name: "dealer", Policy: k.policy}, secret == "good"
}

func TestKeys(t *testing.T) {
	t.Parallel()
	strict := &spec.JudgePolicy{Name: "dealer-strict", Rule: "guarded", Guard: "U", RequireUncertainty: true, MinProbability: 0.9999, HasMinProbability: true}
	rev := clearance(t, "r-1", "0.25", "")
	h, err := api.New(api.Deps{Catalogue: one{rev}, Log: slog.New(slog.DiscardHandler), Keys: issued{strict}}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	const checks = `{"checks":[{"id":"1","spec":"qb-1/valves/exhaust","unit":"mm","readings":[{"value":0.2}]}]}`
	for _, row := range []struct {
		name, method, auth string
		status             int
		says               string
	}{
		{"none", "POST", "", 200, `"pinned":false`},
		{"one that was issued", "POST", "Bearer good", 200, `"name":"dealer-strict"`},
		{"its demand as it was declared", "POST", "Bearer good", 200, `"min_probability":0.9999,`},
		{"no verdict without the uncertainty that it asks for, and said so", "POST", "Bearer good", 200, `"warnings":[{"code":"uncertainty_required","text":"The policy asks for an uncertainty and none is known: nothing is judged."`},
		{"scheme in another case", "POST", "bearer good", 200, `"pinned":true`},
		{"one that was not", "POST", "Bearer revoked-one", 401, "key_not_known"},
		{"empty", "POST", "Bearer", 401, "Authorization"},
		{"another scheme", "POST", "Basic Z29vZDpnb29k", 401, "Authorization"},
		{"look-up with a bad key", "GET", "Bearer revoked-one", 401, "key_not_known"},
		{"look-up with a good key", "GET", "Bearer good", 200, "qb-1"},
		{"look-up through a proxy of its own scheme", "GET", "Basic Z29vZDpnb29k", 200, "qb-1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader(checks))
			if row.method == "GET" {
				r = httptest.NewRequest("GET", "/v1/families", http.NoBody)
			}
			if row.auth != "" {
				r.Header.Set("Authorization", row.auth)
			}
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			if w.Code != row.status || !strings.Contains(w.Body.String(), row.says) || (w.Header().Get("WWW-Authenticate") != "") != (row.status == 401) {
				t.Errorf("%d %v %s", w.Code, w.Header(), w.Body)
			}
			if told := strings.HasSuffix(w.Header().Get("WWW-Authenticate"), `, error="invalid_token"`); told != (row.status == 401 && !strings.HasPrefix(row.auth, "Basic")) {
				t.Errorf("challenge %q", w.Header().Get("WWW-Authenticate"))
			}
			if strings.Contains(w.Body.String(), "revoked-one") {
				t.Errorf("the key is echoed: %s", w.Body)
			}
		})
	}
}
