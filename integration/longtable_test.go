//go:build integration

package integration_test

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"syscall"
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
		lines := &lineCount{}
		cmd.Stdout = lines
		err := cmd.Run()
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.ExitCode() != 1 || lines.n != rows+1 {
			t.Fatalf("%v, %d lines of %d rows", err, lines.n, rows)
		}
		usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage)
		if !ok || usage.Maxrss == 0 || usage.Maxrss > most {
			t.Errorf("%d rows took %d KiB, want %d at most", rows, usage.Maxrss, most)
		}
	}
}

// lineCount counts the lines that are written to it.
type lineCount struct{ n int }

func (l *lineCount) Write(p []byte) (int, error) {
	for _, c := range p {
		if c == '\n' {
			l.n++
		}
	}
	return len(p), nil
}
