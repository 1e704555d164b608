package integration_test

import (
	"bytes"
	"go/format"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// tracked are the files of the project, those not yet added included, by their path from the top.
func tracked(t *testing.T) []string {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	cmd.Dir = ".."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("git ls-files: %v", err)
	}
	var names []string
	for name := range strings.SplitSeq(strings.TrimRight(string(out), "\x00"), "\x00") {
		if info, err := os.Stat(filepath.Join("..", name)); err == nil && info.Mode().IsRegular() {
			names = append(names, name)
		}
	}
	if len(names) < 50 {
		t.Fatalf("only %d files", len(names))
	}
	return names
}

func content(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestGoFilesAreFormattedAndShort(t *testing.T) {
	t.Parallel()
	const most = 400
	for _, name := range tracked(t) {
		if filepath.Ext(name) != ".go" {
			continue
		}
		text := content(t, name)
		if lines := bytes.Count(text, []byte("\n")); lines > most {
			t.Errorf("%s has %d lines, %d at most: find a seam", name, lines, most)
		}
		if formatted, err := format.Source(text); err != nil {
			t.Errorf("%s: %v", name, err)
		} else if !bytes.Equal(formatted, text) {
			t.Errorf("%s is not formatted", name)
		}
	}
}

// verbatim are files that others wrote, kept as published.
func verbatim(name string) bool {
	return strings.HasPrefix(name, "openapi/ui/swagger-ui") || name == "openapi/ui/LICENSE"
}

// madeForTests are files of tests: keys in them open nothing.
func madeForTests(name string) bool {
	return strings.HasSuffix(name, "_test.go") || strings.Contains(name, "/testdata/")
}

// The project speaks of itself alone: no folder of the machine it was written on, no host that packages come from, no
// key.
func TestNothingOfTheWorkshopIsLeftInFiles(t *testing.T) {
	t.Parallel()
	privateKey := regexp.MustCompile(`-----BEGIN [A-Z ]*PRIVATE ` + `KEY-----`)
	never := []struct {
		about   string
		pattern *regexp.Regexp
	}{
		// The expressions are split so that this file does not hold what it looks for.
		{"a folder of one machine", regexp.MustCompile(`/(home|Users)/[a-z][a-z0-9_-]+/` + `|(^|[^a-z0-9_.$}-])/(wo` + `rk|ro` + `ot)/`)},
		{"a host that packages come from", regexp.MustCompile(`(?i)proxy\.gol` + `ang\.org|sum\.gol` + `ang\.org|registry\.npm` + `js|deb\.deb` + `ian\.org|goprox` + `y\.(io|cn)`)},
		{"a private key", privateKey},
	}
	for _, name := range tracked(t) {
		text := content(t, name)
		if verbatim(name) || bytes.IndexByte(text, 0) >= 0 {
			continue
		}
		for _, n := range never {
			if n.pattern == privateKey && madeForTests(name) {
				continue
			}
			if found := n.pattern.Find(text); found != nil {
				t.Errorf("%s has %s: %q", name, n.about, found)
			}
		}
	}
}

// The lock file pins every package by its content and names no place it came from.
func TestNpmLockIsPinnedByContent(t *testing.T) {
	t.Parallel()
	lock := content(t, "integration/package-lock.json")
	if bytes.Contains(lock, []byte(`"resolved"`)) {
		t.Error("package-lock.json names where packages came from: npm with omit-lockfile-registry-resolved writes none")
	}
	if n := bytes.Count(lock, []byte(`"integrity": "sha512-`)); n < 50 {
		t.Errorf("only %d packages are pinned by content", n)
	}
}
