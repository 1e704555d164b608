package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// shelf holds a Redis and two catalogues that differ in one sentence, so that each publication is a swap.
type shelf struct {
	binary, url string
	dirs        [2]string
	next        int
}

// What differs is the title of a source, in the demo as it stands in the tree.
const (
	dataDir    = "specdb/data"
	familyFile = "pl-85.yaml"
	swapped    = "in other words "
)

func newShelf(s settings, store *redisd) (*shelf, error) {
	h := &shelf{binary: s.binary, url: store.url()}
	for i := range h.dirs {
		h.dirs[i] = filepath.Join(store.dir, fmt.Sprint("catalogue-", i))
		if err := os.CopyFS(h.dirs[i], os.DirFS(dataDir)); err != nil {
			return nil, fmt.Errorf("run it from the root of the project: %w", err)
		}
	}
	name := filepath.Join(h.dirs[1], familyFile)
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	const at = `title: "`
	if !strings.Contains(string(text), at) {
		return nil, fmt.Errorf("%s names no source any more", name)
	}
	return h, os.WriteFile(name, []byte(strings.Replace(string(text), at, at+swapped, 1)), 0o644)
}

// publish puts the other catalogue in use.
func (h *shelf) publish(ctx context.Context) error {
	cmd := exec.CommandContext(ctx, h.binary, "catalogue", "publish", h.dirs[h.next%2])
	cmd.Env = append(os.Environ(), "ENDFLOAT_REDIS="+h.url, "GOMAXPROCS=1")
	h.next++
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("catalogue publish: %w\n%s", err, out)
	}
	return nil
}

// phase is a time of its own in what happens to the service.
type phase struct {
	name string
	do   func() error // while it is asked; nil: nothing
	seen *histogram
	lost int // connections that failed
}

// Times of what happens. A revision is published every so often; a Redis that limps is halted and goes on in turns.
const (
	leastSpan  = 5 * time.Second // so that p99.9 is more than a few requests
	publishing = 500 * time.Millisecond
	slowHalt   = 20 * time.Millisecond
	slowRun    = 5 * time.Millisecond
	flapping   = 300 * time.Millisecond
)

// happenings asks the service for everything, mixed, while its catalogue is swapped and its Redis limps, hangs, goes and
// comes. other is a catalogue in a Redis that the service does not follow: what publishing there costs is not the doing
// of the service, but of the publisher that works beside it.
func happenings(ctx context.Context, s settings, srv *server, cases []*sample, store *redisd, h, other *shelf, out io.Writer) error {
	span := max(leastSpan, 10*s.span)
	published := func(h *shelf) func() error {
		return func() error {
			for range int(span * 3 / 4 / publishing) {
				next := time.After(publishing)
				if err := h.publish(ctx); err != nil {
					return err
				}
				<-next
			}
			return nil
		}
	}
	before := srv.metric(ctx, "endfloat_catalogue_swaps_total")
	phases := []*phase{
		{name: calm},
		{name: "elsewhere a revision is published twice a second", do: published(other)},
		{name: "another revision is published twice a second", do: published(h)},
		{name: calm},
		{name: "Redis is slow: 20 ms", do: func() error { return store.limp(span, slowHalt, slowRun) }},
		{name: "Redis hangs and answers in turns of 300 ms", do: func() error { return store.limp(span, flapping, flapping) }},
		{name: "Redis hangs: it accepts and never answers", do: store.hang},
		{name: "Redis answers again", do: store.wake},
		{name: "Redis is gone", do: func() error { store.stop(); return nil }},
		{name: "Redis is back, and empty", do: func() error { return store.start(ctx) }},
		{name: calm},
	}
	for _, p := range phases {
		if err := p.run(ctx, s, span, cases, srv); err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
	}
	fmt.Fprintf(out, "%s, mixed load of %d requests a second, %d connections, %v each:\n\n", srv.name, s.rate, s.connections, span)
	printPhases(out, phases, span)
	fmt.Fprintf(out, "\n%.0f swaps of the revision were seen.\n", srv.metric(ctx, "endfloat_catalogue_swaps_total")-before)
	return nil
}

// calm is the name of a phase in which nothing happens.
const calm = "nothing happens"

func (p *phase) run(ctx context.Context, s settings, span time.Duration, cases []*sample, srv *server) error {
	done := make(chan error, 1)
	go func() {
		if p.do == nil {
			done <- nil
			return
		}
		done <- p.do()
	}()
	var err error
	if p.seen, err = drive(ctx, s.connections, span, s.rate, cases, srv); err != nil {
		p.lost = strings.Count(err.Error(), "\n") + 1
		fmt.Fprintln(os.Stderr, "load:", err)
	}
	return <-done
}

// printPhases prints what was seen, and p99.9 as a multiple of its median while nothing happened.
func printPhases(out io.Writer, phases []*phase, span time.Duration) {
	var usual []float64
	for _, p := range phases {
		if p.name == calm {
			usual = append(usual, float64(p.seen.quantile(.999)))
		}
	}
	heading(out, 1, "while", "requests/s", "p50 µs", "p99 µs", "p99.9 µs", "to calm", "longest µs", "connections that failed")
	for _, p := range phases {
		line(out, p.name, fmt.Sprintf("%.0f", float64(p.seen.count)/span.Seconds()), micro(p.seen.quantile(.5)), micro(p.seen.quantile(.99)), micro(p.seen.quantile(.999)),
			fmt.Sprintf("%.2f", float64(p.seen.quantile(.999))/median(usual)), micro(p.seen.quantile(1)), fmt.Sprint(p.lost))
	}
}
