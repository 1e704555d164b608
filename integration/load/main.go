package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"
)

// baselineWord as the first argument makes this program a server that it compares with.
const baselineWord = "baseline"

// settings of a run.
type settings struct {
	binary      string
	rounds      int
	span        time.Duration
	connections int
	procs       int
	only        string
	rate        int
	soak        time.Duration
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
	flag.IntVar(&s.rounds, "rounds", 3, "rounds of every case and server, 1 to 100")
	flag.DurationVar(&s.span, "for", 300*time.Millisecond, "length of one round, 10ms to 1m")
	flag.IntVar(&s.connections, "connections", 16, "connections that stay open, 1 to 256")
	flag.IntVar(&s.procs, "procs", 1, "processors of each server (GOMAXPROCS); 0: all")
	flag.StringVar(&s.only, "only", "", "cases to measure, by parts of their names with commas between; events and mixed are names too")
	flag.IntVar(&s.rate, "rate", 2000, "requests a second while something happens and in a soak, 100 to 1000000: below what the service can do")
	flag.DurationVar(&s.soak, "soak", 0, "in place of everything else: mixed load for so long, with memory and goroutines over time")
	flag.Parse()
	if s.rounds < 1 || s.rounds > 100 || s.span < 10*time.Millisecond || s.span > time.Minute || s.connections < 1 || s.connections > 256 || s.soak < 0 || s.rate < 100 || s.rate > 1_000_000 {
		end(errors.New("a setting is outside its bounds; --help lists them"))
	}
	end(run(ctx, s, os.Stdout))
}

func end(err error) {
	if err != nil {
		fmt.Fprintln(os.Stderr, "load:", err)
		os.Exit(1)
	}
}

func (s settings) wants(name string) bool {
	return s.only == "" || slices.ContainsFunc(strings.Split(s.only, ","), func(part string) bool { return strings.Contains(name, part) })
}

// run starts the servers, runs every case and prints the tables.
func run(ctx context.Context, s settings, out io.Writer) error {
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
	field := &ground{s: s, dir: dir, out: out}
	defer field.clear()
	if err := field.lay(ctx); err != nil {
		return err
	}
	fmt.Fprintf(out, "`go run ./integration/load --rounds %d --for %v`: %s, %d processors, %d of them for each server, %d connections, rounds in turn, %s\n\n",
		s.rounds, s.span, runtime.Version(), runtime.NumCPU(), s.procs, s.connections, busy())
	if s.soak > 0 {
		return soak(ctx, s, field.whole, field.cases, field.shelf, out)
	}
	if err := field.compare(ctx); err != nil {
		return err
	}
	if field.store != nil && s.wants("events") {
		return happenings(ctx, s, field.whole, field.cases, field.store, field.shelf, field.other, out)
	}
	return nil
}

// busy is what else the machine does (proc(5)): the load of the last minute.
func busy() string {
	b, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "load unknown"
	}
	return "load of the machine before it began " + strings.Fields(string(b))[0]
}
