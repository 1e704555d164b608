//go:build integration

package integration_test

import (
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

// What the README shows is what happens: every shell block is run against the built service, in its order, and what it
// prints is what stands behind it. The placeholder … stands for what is left out.
func TestReadmeShowsWhatHappens(t *testing.T) {
	t.Parallel()
	s := begin(t, nil, "--addr", "127.0.0.1:0", "--signing-key", signingKey)
	s.awaitAddress(t)
	run, console := snippets(string(content(t, "README.md")))
	compared := 0
	for _, snip := range run {
		script := strings.ReplaceAll(snip.script, "http://127.0.0.1:8080", s.URL)
		cmd := exec.CommandContext(t.Context(), "sh", "-eu", "-c", script)
		cmd.Dir = ".."
		cmd.Env = s.shell(t)
		out, err := cmd.Output()
		if err != nil {
			t.Errorf("README.md:%d: %v\n%s\n%s", snip.line, err, script, out)
			continue
		}
		if snip.kind == "" {
			continue
		}
		compared++
		if got := strings.ReplaceAll(string(out), s.URL, "http://127.0.0.1:8080"); !printed(snip, got) {
			t.Errorf("README.md:%d: the script\n%s\nprints\n%s\nand not\n%s", snip.line, snip.script, got, snip.output)
		}
	}
	if compared < 5 {
		t.Errorf("only %d blocks of README.md have their output behind them", compared)
	}
	// What is not run starts or builds something, and asks the service nothing.
	starts := regexp.MustCompile(`^(git clone|cd|go run \./api/cmd/endfloat|go build|go install|docker|endfloat|\./endfloat|bash integration/run|integration/run|#|\s*$)`)
	for _, block := range console {
		for line := range strings.SplitSeq(block, "\n") {
			if !starts.MatchString(strings.TrimPrefix(line, "$ ")) {
				t.Errorf("README.md: %q stands in a block that is not run", line)
			}
		}
	}
}
