//go:build integration

package integration_test

import (
	"bufio"
	"bytes"
	"debug/elf"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// No engine for containers is at hand where tests run. What the image is made of is checked by building the same
// program in the same way from the files that .dockerignore lets through, and by looking at what came out.
func TestImageIsOneStaticProgramRunByNobody(t *testing.T) {
	t.Parallel()
	recipe := string(content(t, "docker/Dockerfile"))
	build := regexp.MustCompile(`go build (.*) -o /out/endfloat (\./\S+)`).FindStringSubmatch(recipe)
	if build == nil {
		t.Fatal("docker/Dockerfile has no line that builds the program")
	}
	for _, must := range []string{"CGO_ENABLED=0", "\nFROM scratch\n", "\nUSER 65532:65532\n", `ENTRYPOINT ["/endfloat"]`} {
		if !strings.Contains(recipe, must) {
			t.Errorf("docker/Dockerfile lacks %q", must)
		}
	}
	root := t.TempDir()
	copyContext(t, root)
	program := filepath.Join(t.TempDir(), "endfloat")
	flags := strings.ReplaceAll(strings.ReplaceAll(build[1], `"`, ""), "${REVISION}", "0123456789abcdef")
	before, linker, ok := strings.Cut(flags, "-ldflags ")
	if !ok {
		t.Fatalf("no linker flags in %q", flags)
	}
	args := append([]string{"build"}, strings.Fields(before)...)
	cmd := exec.CommandContext(t.Context(), "go", append(args, "-ldflags", linker, "-o", program, build[2])...)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0", "GOFLAGS=-buildvcs=false")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	file, err := elf.Open(program)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	for _, p := range file.Progs {
		if p.Type == elf.PT_INTERP || p.Type == elf.PT_DYNAMIC {
			t.Errorf("the program is not static: it has %v", p.Type)
		}
	}
	if out, err := exec.CommandContext(t.Context(), program, "--version").Output(); err != nil || string(out) != "endfloat 0123456789ab\n" {
		t.Errorf("--version says %q, %v", out, err)
	}
}

// copyContext copies what .dockerignore lets through: the last rule that fits a file decides, as Docker documents it.
func copyContext(t *testing.T, to string) {
	t.Helper()
	type rule struct {
		keep bool
		fits *regexp.Regexp
	}
	var rules []rule
	for lines := bufio.NewScanner(bytes.NewReader(content(t, ".dockerignore"))); lines.Scan(); {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		pattern, keep := strings.CutPrefix(line, "!")
		expr := strings.NewReplacer(`\*\*/`, `(.*/)?`, `\*`, `[^/]*`).Replace(regexp.QuoteMeta(pattern))
		rules = append(rules, rule{keep, regexp.MustCompile(`^` + expr + `(/.*)?$`)})
	}
	for _, name := range tracked(t) {
		kept := true
		for _, r := range rules {
			if r.fits.MatchString(name) {
				kept = r.keep
			}
		}
		if !kept {
			continue
		}
		target := filepath.Join(to, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(target, content(t, name), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
