//go:build integration

package integration_test

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// answersEverything asks one thing of every class, and fails where any is not a full answer, or where none of a few tries
// is quicker than Redis is given up.
func (s *service) answersEverything(t *testing.T) {
	t.Helper()
	const check = `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40}},"unit":"mm","readings":[{"value":0.2}],"instrument":{"kind":"dial","standard_uncertainty":0.01}}`
	client := &http.Client{Timeout: patience}
	for _, r := range []struct{ method, path, body string }{
		{http.MethodGet, shopPlay, ""},
		{http.MethodGet, shopPlay + "/verdict?value=0.2&unit=mm", ""},
		{http.MethodGet, "/v1/families/x-1/sheet", ""},
		{http.MethodGet, "/v1/catalogue", ""},
		{http.MethodPost, "/v1/evaluations", `{"checks":[` + check + `]}`},
		{http.MethodPost, "/v1/shim-plans", `{"unit":"mm","caller_shims":[{"id":"s","specs":[{"id":"p","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40}}}],` +
			`"places":[{"id":"a","per_mm":[{"spec":"p","change":-1}]}],"ladder":[{"thickness":1.0},{"thickness":1.2}]}],` +
			`"measured":[{"spec":"p","unit":"mm","readings":[{"value":0.5}],"instrument":{"kind":"dial","standard_uncertainty":0.01}}],"fitted":[{"place":"a","pieces":[{"thickness":1.0}]}]}`},
		{http.MethodPost, "/v1/torque-estimates", `{"thread":"M8","property_class":"8.8","friction":{"thread":0.12,"head":0.12},"utilisation":0.9}`},
		{http.MethodGet, "/livez", ""},
		{http.MethodGet, "/readyz", ""},
	} {
		quickest := patience
		for tries := 0; tries < 5 && quickest > 2*time.Second; tries++ {
			began := time.Now()
			if a := send(t, client, request(t, r.method, s.URL+r.path, r.body, "Content-Type", "application/json")); a.Status != http.StatusOK {
				t.Errorf("%s: %d %s", r.path, a.Status, a.Body)
			}
			quickest = min(quickest, time.Since(began))
		}
		if quickest > 2*time.Second {
			t.Errorf("%s takes %v", r.path, quickest)
		}
	}
}

func TestAnswersWhileRedisIsKilledAndComesBack(t *testing.T) {
	t.Parallel()
	r := newRedis(t, "--appendonly", "yes", "--appendfsync", "always")
	url := "redis://" + r.addr
	publishes(t, url, shop(t, "0.40"))
	s := follower(t, url)
	s.serves(t, "0.40")
	r.kill(t)
	s.answersEverything(t)
	s.warnsOf(t, "the revision in use stays: redis: dial")
	s.answersEverything(t)
	if code, _, diag := run(t, nil, "catalogue", "publish", shop(t, "0.35"), "--redis", url); code != 2 || !strings.Contains(diag, "connection refused") {
		t.Errorf("%d %s", code, diag)
	}
	r.start(t) // with what it wrote
	s.warnsOf(t, "")
	publishes(t, url, shop(t, "0.35"))
	s.serves(t, "0.35")
	if code := s.end(t, syscall.SIGTERM); code != 0 {
		t.Errorf("exit code %d", code)
	}
	for _, line := range []string{"Redis does not answer; the revision in use stays", "Redis answers again", "another revision is in use"} {
		if !strings.Contains(s.log.String(), line) {
			t.Errorf("the log says nothing of %q:\n%s", line, s.log)
		}
	}
}

// A Redis that lost everything takes nothing away from those who serve.
func TestAnEmptiedRedisTakesNothingAway(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	publishes(t, url, shop(t, "0.40"))
	s := follower(t, url)
	s.serves(t, "0.40")
	r.kill(t)
	r.start(t) // with nothing
	s.warnsOf(t, "No revision is published in Redis.")
	s.answersEverything(t)
	s.serves(t, "0.40")
	publishes(t, url, shop(t, "0.35"))
	s.serves(t, "0.35")
	s.warnsOf(t, "")
}

// One that takes connections and never says a word holds up no answer, no start and no end.
func TestAnswersWhileRedisHangs(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	publishes(t, url, shop(t, "0.40"))
	archive := t.TempDir()
	s := follower(t, url, "--archive", archive)
	s.serves(t, "0.40")
	awaitCopy(t, archive)
	r.hang(t)
	s.answersEverything(t)
	s.warnsOf(t, "the revision in use stays: redis: no answer in time")
	s.answersEverything(t)
	late := follower(t, url, "--archive", archive)
	late.answersEverything(t)
	late.serves(t, "0.40")
	late.warnsOf(t, "The last good copy on disk serves.")
	for _, one := range []*service{s, late} {
		began := time.Now()
		if code := one.end(t, syscall.SIGTERM); code != 0 || time.Since(began) > 12*time.Second {
			t.Errorf("exit code %d after %v", code, time.Since(began))
		}
	}
	r.wake(t)
}

// Where nobody could hint that something is published, SIGHUP asks.
func TestSIGHUPAsksRedis(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	publishes(t, url, shop(t, "0.40"))
	s := follower(t, url)
	s.serves(t, "0.40")
	if err := s.cmd.Process.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	publishes(t, url, shop(t, "0.35"))
	s.serves(t, "0.35")
	if code := s.end(t, syscall.SIGTERM); code != 0 || !strings.Contains(s.log.String(), "asking Redis") {
		t.Errorf("exit code %d\n%s", code, s.log)
	}
}

func awaitCopy(t *testing.T, archive string) {
	t.Helper()
	eventually(t, "a copy on disk", func() (bool, string) {
		_, err := os.Stat(filepath.Join(archive, "last-good-copy"))
		return err == nil, "none"
	})
}

// With Redis away at the start the last good copy serves; where that is not good, what the service itself brings.
func TestStartsWhileRedisIsAway(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	private, public := keyFiles(t)
	_, other := keyFiles(t)
	archive := t.TempDir()
	publishes(t, url, shop(t, "0.40"), "--publisher-key", private)
	s := follower(t, url, "--archive", archive, "--publisher-key", public)
	s.serves(t, "0.40")
	awaitCopy(t, archive)
	publishes(t, url, shop(t, "0.35"), "--publisher-key", private)
	s.serves(t, "0.35")
	s.end(t, syscall.SIGTERM)
	r.kill(t)
	copied := filepath.Join(archive, "last-good-copy")
	again := follower(t, url, "--archive", archive, "--publisher-key", public)
	again.serves(t, "0.35")
	again.warnsOf(t, "The last good copy on disk serves.")
	if a := get(t, again.URL+"/readyz"); a.Status != http.StatusOK || strings.Contains(string(a.Body), "secret") {
		t.Errorf("%d %s", a.Status, a.Body)
	}
	again.end(t, syscall.SIGTERM)
	demands := follower(t, url, "--archive", archive, "--publisher-key", other) // to whom the copy is a stranger's
	demands.warnsOf(t, "The service's own catalogue serves")
	if a := get(t, demands.URL+axialPlay); a.Status != http.StatusOK {
		t.Errorf("the demo does not serve: %d", a.Status)
	}
	demands.end(t, syscall.SIGTERM)
	blob, err := os.ReadFile(copied)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(copied, blob[:len(blob)/2], 0o600); err != nil {
		t.Fatal(err)
	}
	half := follower(t, url, "--archive", archive, "--publisher-key", public, "--catalogue", shop(t, "0.20"))
	half.warnsOf(t, "The service's own catalogue serves")
	half.serves(t, "0.20")
	r.start(t)
	publishes(t, url, shop(t, "0.35"), "--publisher-key", private)
	half.serves(t, "0.35")
	half.warnsOf(t, "")
	half.end(t, syscall.SIGTERM)
	if whole, err := os.ReadFile(copied); err != nil || string(whole) != string(blob) {
		t.Errorf("the copy is not mended: %v", err)
	}
}
