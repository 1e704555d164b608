//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// browse loads a page in headless Chromium, which reaches this machine alone, and returns the document once its scripts
// are done, and what the browser complained about.
func browse(t *testing.T, url string) (document string, complaints []string) {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic",
		"--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync",
		"--disable-dev-shm-usage", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1", "--user-data-dir="+t.TempDir(),
		"--enable-logging=stderr", "--virtual-time-budget=20000", "--dump-dom", url)
	var diag strings.Builder
	cmd.Stderr = &diag
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("chromium: %v\n%s", err, diag.String())
	}
	for line := range strings.Lines(diag.String()) {
		if strings.Contains(line, ":CONSOLE") {
			complaints = append(complaints, strings.TrimSpace(line))
		}
	}
	return string(out), complaints
}

// The reference page works without internet and under its policy: it shows every operation of the file.
func TestReferencePageRendersInABrowser(t *testing.T) {
	t.Parallel()
	s := start(t)
	page := send(t, s.caller(t), request(t, http.MethodGet, s.URL+"/docs", ""))
	policy := page.Header.Get("Content-Security-Policy")
	if page.Status != http.StatusOK || !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") {
		t.Errorf("%d, policy %q", page.Status, policy)
	}
	document, complaints := browse(t, s.URL+"/docs")
	for _, c := range complaints {
		t.Errorf("the browser says: %s", c)
	}
	var file struct {
		Paths map[string]map[string]json.RawMessage
	}
	if err := json.Unmarshal(send(t, s.caller(t), request(t, http.MethodGet, s.URL+"/openapi.json", "")).Body, &file); err != nil {
		t.Fatal(err)
	}
	operations := 0
	for path, methods := range file.Paths {
		operations += len(methods)
		if !strings.Contains(document, `data-path="`+path+`"`) {
			t.Errorf("the page does not show %s", path)
		}
	}
	if shown := len(regexp.MustCompile(`class="opblock-summary-path"`).FindAllString(document, -1)); shown != operations {
		t.Errorf("%d operations are shown, the file has %d", shown, operations)
	}
}

// The first page and the page of a problem are plain documents that need no script.
func TestPagesForPeopleRenderInABrowser(t *testing.T) {
	t.Parallel()
	s := start(t)
	for path, says := range map[string]string{"/": "endfloat", "/problems/values-not-accepted?format=html": "values"} {
		document, complaints := browse(t, s.URL+path)
		if !strings.Contains(document, "<h1") || !strings.Contains(document, says) || strings.Contains(document, "<script") {
			t.Errorf("%s:\n%.600s", path, document)
		}
		for _, c := range complaints {
			t.Errorf("%s: the browser says: %s", path, c)
		}
	}
}

// What a policy forbids is seen: without this, a page that breaks its policy would pass unnoticed.
func TestAPageThatBreaksItsPolicyIsNoticed(t *testing.T) {
	t.Parallel()
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.Header().Set("Content-Security-Policy", "default-src 'none'")
		_, _ = w.Write([]byte(`<!doctype html><title>t</title><script>document.title = "ran"</script>`))
	}))
	t.Cleanup(srv.Close)
	document, complaints := browse(t, srv.URL)
	if len(complaints) == 0 || strings.Contains(document, "<title>ran") {
		t.Errorf("nothing was noticed: %s", document)
	}
}
