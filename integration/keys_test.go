//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// newKey runs endfloat keys new and returns the key with its id.
func newKey(t *testing.T, file string, args ...string) (key, id string) {
	t.Helper()
	code, out, diag := run(t, []string{"ENDFLOAT_KEYS=" + file}, append([]string{"keys", "new"}, args...)...)
	key = strings.TrimSpace(out)
	if parts := strings.Split(key, "_"); code == 0 && len(parts) == 3 {
		return key, parts[1]
	}
	t.Fatalf("%d %q %q", code, out, diag)
	return "", ""
}

// with sends a question with a key.
func (s *service) with(t testing.TB, key, path, body string) answer {
	t.Helper()
	return send(t, &http.Client{Timeout: patience}, request(t, http.MethodPost, s.URL+path, body, "Content-Type", "application/json", "Authorization", "Bearer "+key))
}

const reading = `"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.15},{"value":0.16},{"value":0.15}]`

func TestAKeyIsIssuedUsedReplacedAndRevokedWhileTheServiceRuns(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	first, id := newKey(t, file, "--name", "dealer", "--quota", "1000/24h")
	s := begin(t, []string{"ENDFLOAT_KEYS=" + file}, "--addr", "127.0.0.1:0")
	s.awaitAddress(t)
	asks := func(key string) (status int, limit string) {
		a := s.with(t, key, "/v1/torque-estimates", estimate)
		return a.Status, a.Header.Get("RateLimit")
	}
	if status, limit := asks(first); status != 200 || !strings.HasPrefix(limit, `"key";r=999;`) {
		t.Fatalf("%d %s", status, limit)
	}
	second, _ := newKey(t, file, "--replaces", id)
	eventually(t, "the second key", func() (bool, string) {
		status, limit := asks(second)
		return status == 200 && strings.HasPrefix(limit, `"key";r=998;`), limit // the quota is the owner's
	})
	if status, limit := asks(first); status != 200 || !strings.HasPrefix(limit, `"key";r=997;`) {
		t.Errorf("both are good: %d %s", status, limit)
	}
	if code, out, diag := run(t, nil, "keys", "revoke", id, "--keys", file); code != 0 {
		t.Fatalf("%d %s%s", code, out, diag)
	}
	eventually(t, "the end of the first key", func() (bool, string) {
		status, limit := asks(first)
		return status == 401, limit
	})
	if status, _ := asks(second); status != 200 {
		t.Errorf("the second key: %d", status)
	}
	if err := os.WriteFile(file, []byte(`{"keys":`), 0o600); err != nil {
		t.Fatal(err)
	}
	s.warnsOf(t, "The file of keys cannot be used")
	if status, _ := asks(second); status != 200 {
		t.Errorf("a file cut off in the middle ends nothing: %d", status)
	}
}

// A policy that a key brings stands against whatever a request asks for.
func TestAPolicyOfTheFileCannotBeSoftened(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	key, _ := newKey(t, file, "--name", "dealer", "--policy", "dealer-strict", "--rule", "guarded", "--guard", "U", "--min-probability", "0.999", "--require-uncertainty")
	s := begin(t, []string{"ENDFLOAT_KEYS=" + file}, "--addr", "127.0.0.1:0")
	s.awaitAddress(t)
	type shown struct {
		Policy struct {
			Name, Rule, Guard  string
			RequireUncertainty bool `json:"require_uncertainty"`
			Pinned             bool
		}
		Results []struct {
			Verdict  string
			RuleUsed string `json:"rule_used"`
		}
	}
	ask := func(key string) (a shown) {
		body := `{"rule":"simple","guard":"1.65u","checks":[{` + reading + `,"rule":"simple"}]}`
		got := s.with(t, key, "/v1/evaluations", body)
		if key == "" {
			got = send(t, &http.Client{Timeout: patience}, request(t, http.MethodPost, s.URL+"/v1/evaluations", body, "Content-Type", "application/json"))
		}
		if err := json.Unmarshal(got.Body, &a); err != nil || got.Status != 200 || len(a.Results) != 1 {
			t.Fatalf("%d %s %v", got.Status, got.Body, err)
		}
		return a
	}
	if a := ask(""); a.Policy.Pinned || a.Results[0].Verdict != "pass" {
		t.Errorf("without a key: %+v", a)
	}
	if a := ask(key); !a.Policy.Pinned || a.Policy.Name != "dealer-strict" || a.Policy.Rule != "guarded" || a.Policy.Guard != "U" || !a.Policy.RequireUncertainty || a.Results[0].Verdict != "not_judged" {
		t.Errorf("with the key: %+v", a)
	}
}

// The key is in the header of every request, and nowhere else: not in the log, not in Redis, not in an answer.
func TestAKeyIsNeverWrittenDown(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	file := filepath.Join(t.TempDir(), "keys.json")
	key, id := newKey(t, file, "--name", "dealer")
	rest := strings.Split(key, "_")[2]
	s := follower(t, "redis://"+r.addr, "--keys", file, "--log-level", "debug")
	s.warnsOf(t, "No revision is published in Redis.") // and nothing else
	var said strings.Builder
	note := func(req *http.Request) int {
		a := send(t, &http.Client{Timeout: patience}, req)
		said.Write(a.Body)
		for name, values := range a.Header {
			said.WriteString(name + ": " + strings.Join(values, ", ") + "\n")
		}
		return a.Status
	}
	for _, row := range []struct {
		name, method, path, auth, body string
		status                         int
	}{
		{"good", "POST", "/v1/torque-estimates", "Bearer " + key, estimate, 200},
		{"good look-up", "GET", axialPlay, "Bearer " + key, "", 200},
		{"a letter too many", "POST", "/v1/torque-estimates", "Bearer " + key + "a", estimate, 401},
		{"another scheme", "POST", "/v1/torque-estimates", "Basic " + key, estimate, 401},
		{"no scheme", "POST", "/v1/torque-estimates", key, estimate, 401},
		{"in the query", "GET", axialPlay + "?access_token=" + key, "", "", 400},
		{"in the query of a question", "POST", "/v1/torque-estimates?key=" + key, "", estimate, 400},
		{"in the body", "POST", "/v1/torque-estimates", "", `{"key":"` + key + `"}`, 400},
		{"in a bad body", "POST", "/v1/evaluations", "Bearer " + key, `{"checks":[` + key, 400},
	} {
		req := request(t, row.method, s.URL+row.path, row.body, "Content-Type", "application/json")
		if row.auth != "" {
			req.Header.Set("Authorization", row.auth)
		}
		if status := note(req); status != row.status {
			t.Errorf("%s: %d", row.name, status)
		}
	}
	if code, out, diag := run(t, nil, "keys", "revoke", id, "--keys", file, "--redis", "redis://"+r.addr); code != 0 || strings.Contains(out+diag, rest) {
		t.Errorf("%d %s%s", code, out, diag)
	}
	eventually(t, "the end of the key", func() (bool, string) {
		status := note(request(t, "POST", s.URL+"/v1/torque-estimates", estimate, "Content-Type", "application/json", "Authorization", "Bearer "+key))
		return status == 401, ""
	})
	desk := r.desk(t)
	keys, err := desk.Keys(t.Context(), "*").Result()
	if err != nil || len(keys) < 2 {
		t.Errorf("Redis holds %q, %v", keys, err)
	}
	for _, k := range keys {
		blob, err := desk.Dump(t.Context(), k).Result()
		if err != nil || strings.Contains(k+blob, rest) {
			t.Errorf("Redis holds the key in %q, %v", k, err)
		}
	}
	if code := s.end(t, syscall.SIGTERM); code != 0 {
		t.Errorf("exit code %d", code)
	}
	if log := s.log.String(); strings.Contains(log, rest) || !strings.Contains(log, "torque-estimates") {
		t.Errorf("the log holds the key, or nothing:\n%s", log)
	}
	if strings.Contains(said.String(), rest) {
		t.Errorf("an answer holds the key:\n%s", said.String())
	}
}

// A revocation in Redis ends a key at a service whose file still has it, and stands while Redis is away; Redis can end
// keys and grant none.
func TestARevocationReachesAServiceWithAnotherFile(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	dir := t.TempDir()
	desk, own := filepath.Join(dir, "desk.json"), filepath.Join(dir, "own.json")
	key, id := newKey(t, desk, "--name", "dealer")
	text, err := os.ReadFile(desk)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(own, text, 0o600); err != nil {
		t.Fatal(err)
	}
	s := follower(t, "redis://"+r.addr, "--keys", own)
	asks := func() int { return s.with(t, key, "/v1/torque-estimates", estimate).Status }
	if status := asks(); status != 200 {
		t.Fatalf("%d", status)
	}
	if code, out, diag := run(t, []string{"ENDFLOAT_REDIS=redis://" + r.addr}, "keys", "revoke", id, "--keys", desk); code != 0 {
		t.Fatalf("%d %s%s", code, out, diag)
	}
	eventually(t, "the end of the key", func() (bool, string) { return asks() == 401, "" })
	r.kill(t)
	s.warnsOf(t, "Redis does not count quotas")
	if status := asks(); status != 401 {
		t.Errorf("Redis is away, and the key is good again: %d", status)
	}
}

func TestAServiceDoesNotStartWithBadKeys(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	bad := filepath.Join(dir, "bad.json")
	if err := os.WriteFile(bad, []byte("{\"keys\":[\n{\"id\":\"x\"}]}"), 0o600); err != nil {
		t.Fatal(err)
	}
	for file, says := range map[string]string{bad: "keys[0]", filepath.Join(dir, "none.json"): "no such file"} {
		if code, _, diag := run(t, nil, "--addr", "127.0.0.1:0", "--keys", file); code != 2 || !strings.Contains(diag, says) {
			t.Errorf("%s: %d %s", file, code, diag)
		}
	}
}
