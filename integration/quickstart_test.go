//go:build integration

package integration_test

import (
	"html"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// shell is the environment of lines that somebody copies: the built program can be called, and asks this service.
func (s *service) shell(t testing.TB) []string {
	return append(clean(), "PATH="+filepath.Dir(binary(t))+":"+os.Getenv("PATH"), "ENDFLOAT_SERVER="+s.URL)
}

// The lines of the first page are run as somebody would who copies them.
func TestTheFirstPageShowsWhatWorks(t *testing.T) {
	t.Parallel()
	s := start(t)
	page := string(send(t, s.caller(t), request(t, http.MethodGet, s.URL+"/", "")).Body)
	blocks := regexp.MustCompile(`(?s)<pre data-kind="(\w+)"[^>]*>(.*?)</pre>`).FindAllStringSubmatch(page, -1)
	want := []string{"22–26 N·m", `"verdict":"pass"`, "1,A,pl-85/counter-shaft/axial-play,pass,true", "pass | "}
	if len(blocks) != len(want) {
		t.Fatalf("%d blocks", len(blocks))
	}
	for i, b := range blocks {
		text := strings.ReplaceAll(html.UnescapeString(b[2]), "http://127.0.0.1:8080", s.URL)
		if b[1] == "html" {
			if got := cardShows(t, text); !strings.Contains(got, want[i]) {
				t.Errorf("the card shows %q", got)
			}
			continue
		}
		cmd := exec.CommandContext(t.Context(), "sh", "-eu", "-c", text)
		cmd.Env = s.shell(t)
		out, err := cmd.Output()
		if err != nil || !strings.Contains(string(out), want[i]) {
			t.Errorf("%v\n%s\nprints\n%s", err, text, out)
		}
	}
}

// The two lines of the README for a product page show the card in a page of another origin.
func TestTheCardOfTheReadmeIsShown(t *testing.T) {
	t.Parallel()
	s := start(t)
	found := regexp.MustCompile("(?s)```html\n(.*?)```").FindStringSubmatch(string(content(t, "README.md")))
	if found == nil {
		t.Fatal("there are no lines for a product page")
	}
	text := strings.ReplaceAll(found[1], "http://127.0.0.1:8080", s.URL)
	if got := cardShows(t, text); !strings.Contains(got, "LEFT-HAND THREAD") || !strings.Contains(got, "22–26 N·m") {
		t.Errorf("the card shows %q", got)
	}
	away := strings.ReplaceAll(text, s.URL, "http://127.0.0.1:1")
	if got := cardShows(t, away); got != "Torque: see the maker's manual." {
		t.Errorf("without the service the card shows %q", got)
	}
}

// cardShows is the text of the one card of a page, as an eye has it once the page has settled.
func cardShows(t *testing.T, lines string) string {
	t.Helper()
	const look = `<script>addEventListener('load', () => { let n = 0; const timer = setInterval(() => {
  const card = document.querySelector('endfloat-spec'), root = card.shadowRoot, b = root && root.querySelector('b');
  if (!b && ++n < 40) return;
  clearInterval(timer); document.body.dataset.shown = b ? root.textContent : card.textContent; }, 100); });</script>`
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write([]byte("<!doctype html><html lang=en><title>shop</title><body>" + lines + look))
	}))
	t.Cleanup(srv.Close)
	document, _ := browse(t, srv.URL)
	shown := regexp.MustCompile(`data-shown="([^"]*)"`).FindStringSubmatch(document)
	if shown == nil {
		t.Fatalf("the page did not settle: %.600s", document)
	}
	return html.UnescapeString(shown[1])
}
