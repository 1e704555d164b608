//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

const monitoring = "docker/monitoring/"

// beginPrivate starts the service with a private listener too and returns its address.
func beginPrivate(t testing.TB, env []string, args ...string) (s *service, own string) {
	t.Helper()
	s = begin(t, env, append([]string{"--addr", "127.0.0.1:0", "--private-addr", "127.0.0.1:0"}, args...)...)
	s.awaitAddress(t)
	line, err := s.out.ReadString('\n')
	_, address, ok := strings.Cut(strings.TrimSpace(line), "metrics on ")
	if err != nil || !ok {
		t.Fatalf("%q %v", line, err)
	}
	return s, strings.TrimSuffix(address, "/metrics")
}

// metric is one metric of the service; labels stand in its name as they are shown.
func metric(t testing.TB, own, name string) float64 {
	t.Helper()
	a := send(t, http.DefaultClient, request(t, http.MethodGet, own+"/metrics", ""))
	for line := range strings.Lines(string(a.Body)) {
		if rest, ok := strings.CutPrefix(line, name+" "); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(rest), 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
	}
	t.Fatalf("%s is not shown", name)
	return 0
}

// The alert rules do what their tests say, by the tool of Prometheus itself.
func TestAlertRulesByPromtool(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{{"check", "rules", "alerts.yaml"}, {"test", "rules", "alerts-test.yaml"}, {"check", "config", "prometheus.yaml"}} {
		cmd := exec.CommandContext(t.Context(), "promtool", args...)
		cmd.Dir = "../" + monitoring
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("promtool %v: %v\n%s", args, err, out)
		}
	}
	rules := string(content(t, monitoring+"alerts.yaml"))
	tests := string(content(t, monitoring+"alerts-test.yaml"))
	for _, alert := range regexp.MustCompile(`- alert: (\w+)`).FindAllStringSubmatch(rules, -1) {
		if !strings.Contains(tests, "alertname: "+alert[1]) {
			t.Errorf("%s is tested by nothing", alert[1])
		}
	}
}

// What the service shows is sound by the linter of Prometheus, and holds every metric that a rule or a panel asks for.
func TestMetricsAreWhatRulesAndDashboardAskFor(t *testing.T) {
	t.Parallel()
	s, own := beginPrivate(t, nil, "--redis", "redis://"+newRedis(t).addr)
	for _, path := range []string{axialPlay, "/nowhere"} {
		send(t, http.DefaultClient, request(t, http.MethodGet, s.URL+path, ""))
	}
	shown := send(t, http.DefaultClient, request(t, http.MethodGet, own+"/metrics", ""))
	lint := exec.CommandContext(t.Context(), "promtool", "check", "metrics")
	lint.Stdin = strings.NewReader(string(shown.Body))
	if out, err := lint.CombinedOutput(); err != nil {
		t.Errorf("promtool check metrics: %v\n%s", err, out)
	}
	there := map[string]bool{"up": true}
	for _, m := range regexp.MustCompile(`(?m)^([a-z_][a-zA-Z0-9_:]*)[{ ]`).FindAllStringSubmatch(string(shown.Body), -1) {
		there[m[1]] = true
	}
	var board struct {
		Panels []struct {
			Title   string
			Targets []struct{ Expr string }
		}
	}
	if err := json.Unmarshal(content(t, monitoring+"dashboard.json"), &board); err != nil || len(board.Panels) < 5 {
		t.Fatal(err, len(board.Panels))
	}
	asked := regexp.MustCompile(`\b(?:endfloat|process|go)_[a-z_0-9]+`)
	exprs := asked.FindAllString(string(content(t, monitoring+"alerts.yaml")), -1)
	for _, p := range board.Panels {
		for _, target := range p.Targets {
			exprs = append(exprs, asked.FindAllString(target.Expr, -1)...)
			query := exec.CommandContext(t.Context(), "promtool", "check", "rules", "/dev/stdin")
			expr := strings.NewReplacer("$__rate_interval", "5m", "$instance", ".*").Replace(target.Expr)
			query.Stdin = strings.NewReader("groups: [{name: x, rules: [{record: x, expr: " + quoted(expr) + "}]}]")
			if out, err := query.CombinedOutput(); err != nil {
				t.Errorf("%s: %s\n%s", p.Title, target.Expr, out)
			}
		}
	}
	if len(exprs) < 20 {
		t.Fatalf("only %d metrics are asked for", len(exprs))
	}
	for _, name := range exprs {
		if !there[name] {
			t.Errorf("%s is asked for and not shown", name)
		}
	}
}

func quoted(s string) string {
	b, _ := json.Marshal(s) // a string always can be; YAML reads JSON
	return string(b)
}
