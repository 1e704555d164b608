package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"time"
)

// baselineWord as the first argument makes this program the server it is compared with.
const baselineWord = "baseline"

// settings of a run.
type settings struct {
	binary      string
	rounds      int
	span        time.Duration
	connections int
	procs       int
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if len(os.Args) > 1 && os.Args[1] == baselineWord {
		end(serveBaseline(ctx, os.Stdin, os.Stdout))
		return
	}
	var s settings
	flag.StringVar(&s.binary, "binary", "", "the built service; built from ./api/cmd/endfloat without it")
	flag.IntVar(&s.rounds, "rounds", 6, "rounds of every case and server, 1 to 100")
	flag.DurationVar(&s.span, "for", 500*time.Millisecond, "length of one round, 10ms to 10s")
	flag.IntVar(&s.connections, "connections", 16, "connections that stay open, 1 to 256")
	flag.IntVar(&s.procs, "procs", 1, "processors of each server (GOMAXPROCS); 0: all")
	flag.Parse()
	if s.rounds < 1 || s.rounds > 100 || s.span < 10*time.Millisecond || s.span > 10*time.Second || s.connections < 1 || s.connections > 256 {
		end(fmt.Errorf("a setting is outside its bounds; --help lists them"))
	}
	end(compare(ctx, s, os.Stdout))
}

func end(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "load:", err)
		os.Exit(1)
	}
}

// compare starts the three servers, runs every case and prints the table.
func compare(ctx context.Context, s settings, out io.Writer) error {
	dir, err := os.MkdirTemp("", "load")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }()
	if s.binary == "" {
		s.binary = filepath.Join(dir, "endfloat")
		build := exec.CommandContext(ctx, "go", "build", "-trimpath", "-o", s.binary, "./api/cmd/endfloat")
		build.Env = append(os.Environ(), "CGO_ENABLED=0")
		build.Stderr = os.Stderr
		if err := build.Run(); err != nil {
			return fmt.Errorf("go build: %w", err)
		}
	}
	service, err := startService(ctx, s)
	if err != nil {
		return err
	}
	defer service.stop()
	cases, err := capture(ctx, service.addr, out)
	if err != nil {
		return err
	}
	bare, err := startBaseline(ctx, s, cases, false)
	if err != nil {
		return err
	}
	defer bare.stop()
	same, err := startBaseline(ctx, s, cases, true)
	if err != nil {
		return err
	}
	defer same.stop()
	fmt.Fprintf(out, "%s, %d processors, %d of them for each server, %d connections, %d rounds of %v in turn\n\n", runtime.Version(),
		runtime.NumCPU(), s.procs, s.connections, s.rounds, s.span)
	for _, c := range cases {
		results, err := measure(ctx, s, c, []*server{bare, same, service})
		if err != nil {
			return fmt.Errorf("%s: %w", c.Name, err)
		}
		printCase(out, c, results)
	}
	return nil
}
