//go:build integration

package integration_test

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// A long table takes no more memory than a short one: what is held is what is under way.
func TestALongTableTakesNoMoreMemory(t *testing.T) {
	t.Parallel()
	s := start(t)
	const most = 96 << 10 // KiB: four requests and answers under way, and what a collector leaves
	for _, rows := range []int{10_000, 120_000} {
		from, to := io.Pipe()
		go func() {
			out := bufio.NewWriter(to)
			fmt.Fprintln(out, "id,spec,unit,reading_1,instrument")
			for i := range rows {
				fmt.Fprintf(out, "row-%d,pl-85/counter-shaft/axial-play,mm,0.%02d,dial\n", i, 10+i%30)
			}
			to.CloseWithError(out.Flush())
		}()
		cmd := exec.CommandContext(t.Context(), binary(t), "judge", "-", "--quiet")
		cmd.Env = s.shell(t)
		cmd.Stdin = from
		lines := &lineCount{of: cmd}
		cmd.Stdout = lines
		err := cmd.Run()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != 1 || lines.n != rows+1 {
			t.Fatalf("%v, %d lines of %d rows", err, lines.n, rows)
		}
		t.Logf("%d rows: %d KiB", rows, lines.peak)
		if lines.peak == 0 || lines.peak > most {
			t.Errorf("%d rows took %d KiB, want %d at most", rows, lines.peak, most)
		}
	}
}

// lineCount counts the lines that a process writes to it, and keeps the most memory the process held until its last
// one. The system's account of an ended process (getrusage) will not do: it starts with what the process that began it
// held at that moment.
type lineCount struct {
	of   *exec.Cmd
	n    int
	peak int // KiB
}

func (l *lineCount) Write(p []byte) (int, error) {
	for _, c := range p {
		if c == '\n' {
			l.n++
		}
	}
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", l.of.Process.Pid))
	if err != nil { // it has ended, and said its last line before
		return len(p), nil // what it held is known by then
	}
	for line := range strings.Lines(string(status)) {
		if most, found := strings.CutPrefix(line, "VmHWM:"); found {
			if _, err := fmt.Sscan(most, &l.peak); err != nil {
				return 0, err
			}
		}
	}
	return len(p), nil
}
