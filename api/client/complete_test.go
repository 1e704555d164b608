package client_test

import (
	"net/http"
	"strings"
	"testing"
)

func TestKeysGoOn(t *testing.T) {
	t.Parallel()
	answers := map[string]string{
		"/v1/families":                   `{"items":[{"key":"ab-1"},{"key":"ab-2"},{"key":"x"}]}`,
		"/v1/families/ab-1":              `{"components":[{"key":"ab-1/shaft"},{"key":"ab-1/case"}]}`,
		"/v1/families/ab-1/components/s": `{"specs":[{"key":"ab-1/s/play"}],"shims":[{"key":"ab-1/s/play-shims"}]}`,
	}
	c := open(t, func(r *http.Request) *http.Response {
		if body, ok := answers[r.URL.Path]; ok {
			return says(200, "application/json", body)
		}
		return says(404, problem, "{}")
	}, 0)
	for begun, want := range map[string]string{"": "ab-1/ ab-2/ x/", "ab": "ab-1/ ab-2/", "ab-1": "ab-1/", "ab-1/": "ab-1/shaft/ ab-1/case/", "ab-1/ca": "ab-1/case/",
		"ab-1/s/": "ab-1/s/play ab-1/s/play-shims", "ab-1/s/q": "", "../": "", "a/b/c/d": "", "nix/": ""} {
		keys, _ := c.Complete(t.Context(), begun)
		if got := strings.Join(keys, " "); got != want {
			t.Errorf("%q: %q, want %q", begun, got, want)
		}
	}
}
