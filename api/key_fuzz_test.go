package api_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api"
)

// Whatever stands in Authorization, a question is answered with 200 where it is the key that was issued or nothing at
// all, and else with 401 and without an echo.
func FuzzAuthorization(f *testing.F) {
	for _, s := range []string{"Bearer good", "bearer  good ", "BEARER good", "Bearer", "Bearer bad-secret", "Basic Z29vZDpnb29k", " Bearer good", "Bearer good, Bearer good", "\x00", "Bearer \xff"} {
		f.Add(s, false)
		f.Add(s, true)
	}
	h, err := api.New(api.Deps{Catalogue: one{clearance(f, "r-1", "0.25", "")}, Log: slog.New(slog.DiscardHandler), Keys: issued{}}, api.Config{})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, value string, twice bool) {
		r := httptest.NewRequest("POST", "/v1/torque-estimates", strings.NewReader(`{"thread":"M8","property_class":"8.8","friction":{"thread":0.12,"head":0.12}}`))
		r.Header = http.Header{"Content-Type": {"application/json"}, "Authorization": {value}}
		if twice {
			r.Header["Authorization"] = []string{value, value}
		}
		scheme, secret, _ := strings.Cut(value, " ")
		want := 401
		if strings.EqualFold(scheme, "bearer") && strings.TrimSpace(secret) == "good" && !twice {
			want = 200
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != want {
			t.Errorf("%q: %d, want %d", value, w.Code, want)
		}
		if len(secret) > 20 && strings.Contains(w.Body.String(), secret) {
			t.Errorf("%q is echoed: %s", value, w.Body)
		}
	})
}
