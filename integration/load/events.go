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

// shelf holds two catalogues that differ in one sentence, so that each publication is a swap.
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

func newShelf(s settings, store *redisd, dir string) (*shelf, error) {
	h := &shelf{binary: s.binary, url: store.url()}
	for i := range h.dirs {
		h.dirs[i] = filepath.Join(dir, fmt.Sprint("catalogue-", i))
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
}

// happenings asks the service for everything, mixed, while its catalogue is swapped and its Redis hangs, goes and comes.
func happenings(ctx context.Context, s settings, srv *server, cases []*sample, store *redisd, h *shelf, out io.Writer) error {
	span := max(2*time.Second, 4*s.span)
	swaps := func() error {
		const every = 500 * time.Millisecond
		for range int(span * 3 / 4 / every) {
			next := time.After(every)
			if err := h.publish(ctx); err != nil {
				return err
			}
			<-next
		}
		return nil
	}
	before := srv.metric(ctx, "endfloat_catalogue_swaps_total")
	fmt.Fprintf(out, "%s, mixed load of %d requests a second, %d connections, %v each:\n\n", srv.name, s.rate, s.connections, span)
	heading(out, 1, "while", "requests/s", "p50 µs", "p99 µs", "p99.9 µs", "longest µs", "connections that failed")
	for _, p := range []phase{
		{"nothing happens", nil},
		{"another revision is published twice a second", swaps},
		{"nothing happens", nil},
		{"Redis hangs: it accepts and never answers", store.hang},
		{"Redis answers again", store.wake},
		{"Redis is gone", func() error { store.stop(); return nil }},
		{"Redis is back, and empty", func() error { return store.start(ctx) }},
		{"nothing happens", nil},
	} {
		done := make(chan error, 1)
		go func() {
			var err error
			if p.do != nil {
				err = p.do()
			}
			done <- err
		}()
		seen, err := drive(ctx, s.connections, span, s.rate, cases, srv)
		failed := 0
		if err != nil {
			failed = strings.Count(err.Error(), "\n") + 1
			fmt.Fprintln(os.Stderr, "load:", err)
		}
		if err := <-done; err != nil {
			return fmt.Errorf("%s: %w", p.name, err)
		}
		line(out, p.name, fmt.Sprintf("%.0f", float64(seen.count)/span.Seconds()), micro(seen.quantile(.5)), micro(seen.quantile(.99)), micro(seen.quantile(.999)),
			micro(seen.quantile(1)), fmt.Sprint(failed))
	}
	fmt.Fprintf(out, "\n%.0f swaps of the revision were seen.\n", srv.metric(ctx, "endfloat_catalogue_swaps_total")-before)
	return nil
}
