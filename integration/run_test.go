package integration_test

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// script runs integration/run with an environment that has just this PATH.
func script(t *testing.T, path string, args ...string) (code int, said string) {
	t.Helper()
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), bash, append([]string{"run"}, args...)...)
	cmd.Env = []string{"PATH=" + path, "HOME=" + t.TempDir()}
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), string(out)
}

func TestTheRunSaysWhatItTakesAndWhatIsMissing(t *testing.T) {
	t.Parallel()
	// Of all programs, those that the script needs to come as far as to look for the others.
	few := t.TempDir()
	for _, name := range []string{"dirname", "mkdir", "cat"} {
		at, err := exec.LookPath(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(at, filepath.Join(few, name)); err != nil {
			t.Fatal(err)
		}
	}
	for _, row := range []struct {
		name, path string
		args       []string
		code       int
		says       []string
	}{
		{"help", os.Getenv("PATH"), []string{"--help"}, 0, []string{"--install", "--only", "--list"}},
		{"list", os.Getenv("PATH"), []string{"--list"}, 0, []string{"vet", "unit", "blackbox", "lint"}},
		{"unknown flag", os.Getenv("PATH"), []string{"--colour"}, 2, []string{"--colour", "--help"}},
		{"nothing installed", few, nil, 2, []string{"missing", "go", "npm", "chromium", "--install"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			code, said := script(t, row.path, row.args...)
			if code != row.code {
				t.Errorf("exit code %d, want %d\n%s", code, row.code, said)
			}
			for _, word := range row.says {
				if !strings.Contains(said, word) {
					t.Errorf("it does not say %q:\n%s", word, said)
				}
			}
		})
	}
}
