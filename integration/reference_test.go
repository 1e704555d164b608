//go:build integration

package integration_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// reference is the reference page without scripts, and the operations that the OpenAPI file has.
func reference(t *testing.T, s *service) (page string, operations []string) {
	t.Helper()
	a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+"/docs/reference", ""))
	policy := a.Header.Get("Content-Security-Policy")
	if a.Status != http.StatusOK || !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") || strings.Contains(policy, "script-src") {
		t.Fatalf("%d, policy %q", a.Status, policy)
	}
	var file struct {
		Paths map[string]map[string]struct {
			OperationID string
		}
	}
	if err := json.Unmarshal(send(t, s.caller(t), request(t, http.MethodGet, s.URL+"/openapi.json", "")).Body, &file); err != nil {
		t.Fatal(err)
	}
	for _, methods := range file.Paths {
		for _, op := range methods {
			operations = append(operations, op.OperationID)
		}
	}
	return string(a.Body), operations
}

// Every operation is on the page, every link on it leads to something that is there, and it needs no script.
func TestTheReferenceWithoutScriptsIsWhole(t *testing.T) {
	t.Parallel()
	s := start(t)
	page, operations := reference(t, s)
	if strings.Contains(page, "<script") || len(operations) < 30 {
		t.Errorf("a script, or only %d operations", len(operations))
	}
	for _, id := range operations {
		if !strings.Contains(page, `id="op-`+id+`"`) {
			t.Errorf("the operation %s is not there", id)
		}
	}
	for _, link := range regexp.MustCompile(`href="#([^"]+)"`).FindAllStringSubmatch(page, -1) {
		if !strings.Contains(page, `id="`+link[1]+`"`) {
			t.Errorf("a link leads to #%s, which is not there", link[1])
		}
	}
	document, complaints := browse(t, s.URL+"/docs/reference")
	for _, c := range complaints {
		t.Errorf("the browser says: %s", c)
	}
	if !strings.Contains(document, "Verdicts on readings") {
		t.Error("the browser does not show the page")
	}
}

// On a screen of 320 pixels nothing runs out to the side (WCAG 2.2, 1.4.10 Reflow).
func TestTheReferenceFitsANarrowScreen(t *testing.T) {
	t.Parallel()
	page, _ := reference(t, start(t))
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if r.URL.Path == "/page" {
			_, _ = w.Write([]byte(page))
			return
		}
		_, _ = w.Write([]byte(`<!doctype html><iframe src="/page" style="width:320px;height:600px;border:0" onload="document.title='wide '+this.contentDocument.documentElement.scrollWidth"></iframe>`))
	}))
	t.Cleanup(srv.Close)
	document, _ := browse(t, srv.URL+"/")
	found := regexp.MustCompile(`<title>wide (\d+)</title>`).FindStringSubmatch(document)
	if found == nil {
		t.Fatalf("the page did not load: %.400s", document)
	}
	if wide, err := strconv.Atoi(found[1]); err != nil || wide > 320 {
		t.Errorf("the page is %s pixels wide", found[1])
	}
}

// On paper every operation is there as text.
func TestTheReferenceCanBePrinted(t *testing.T) {
	t.Parallel()
	s := start(t)
	file := filepath.Join(t.TempDir(), "reference.pdf")
	cmd := exec.CommandContext(t.Context(), "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+t.TempDir(), "--no-pdf-header-footer", "--print-to-pdf="+file, s.URL+"/docs/reference")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	out, err := exec.CommandContext(t.Context(), "pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"POST /v1/evaluations", "POST /v1/shim-plans", "GET /v1/practice", "EvaluationRequest", "Check against the maker"} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%q is not on paper", want)
		}
	}
	if pages := strings.Count(string(out), "\f"); pages < 5 || pages > 200 {
		t.Error(fmt.Sprint(pages) + " pages")
	}
}
