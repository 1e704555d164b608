//go:build integration

package integration_test

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What the files of a deployment set must be settings that the program has.
func TestDeploymentsSetWhatThereIs(t *testing.T) {
	t.Parallel()
	code, help, _ := run(t, nil, "--help")
	if code != 0 {
		t.Fatalf("exit code %d", code)
	}
	found := 0
	for _, name := range tracked(t) {
		if !strings.HasPrefix(name, "docker/") {
			continue
		}
		for _, setting := range regexp.MustCompile(`ENDFLOAT_[A-Z_]+`).FindAllString(string(content(t, name)), -1) {
			found++
			if !regexp.MustCompile(`(?m)^\s+` + setting + `$`).MatchString(help) {
				t.Errorf("%s sets %s, which --help does not name", name, setting)
			}
		}
	}
	if found < 15 {
		t.Errorf("only %d settings in docker/", found)
	}
}

// The settings of compose.yaml and of the manifests, with places of this machine in them, start a service, and the
// probe of its container finds it ready.
func TestTheSettingsOfDeploymentsStart(t *testing.T) {
	t.Parallel()
	secrets := newSecrets(t)
	for _, name := range []string{"docker/compose.yaml", "docker/kubernetes/config.yaml"} {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			var env []string
			for _, m := range regexp.MustCompile(`(?m)^ +(ENDFLOAT_[A-Z_]+): (.*)$`).FindAllStringSubmatch(string(content(t, name)), -1) {
				value, _, _ := strings.Cut(m[2], " #")
				switch m[1] {
				case "ENDFLOAT_ADDR", "ENDFLOAT_PRIVATE_ADDR":
					value = "127.0.0.1:0"
				case "ENDFLOAT_REDIS", "ENDFLOAT_PUBLISHER_KEY":
					continue // they have a test of their own
				case "ENDFLOAT_ARCHIVE":
					continue // it needs a catalogue or a Redis
				}
				if strings.HasPrefix(value, "${") { // ${NAME:-preset}
					value = strings.TrimSuffix(value[strings.Index(value, ":-")+2:], "}")
				}
				env = append(env, m[1]+"="+strings.Replace(value, "/etc/endfloat/", filepath.Join(secrets, "endfloat")+"/", 1))
			}
			if len(env) < 4 {
				t.Fatalf("only %q", env)
			}
			s := begin(t, env)
			s.awaitAddress(t)
			if code, out, diag := run(t, nil, "probe", strings.TrimPrefix(s.URL, "http://")); code != 0 || out != "ready\n" {
				t.Errorf("the probe says %q %q and exits with %d", out, diag, code)
			}
		})
	}
}
