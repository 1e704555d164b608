package main

import (
	"context"
	"fmt"
	"io"
	"strings"
	"time"
)

// soakLines is how many times a soak says how it stands.
const soakLines = 60

// soak asks for everything, mixed, for a long time, publishes another revision now and then, and prints memory and
// goroutines over time. It ends with the means of the first and the last quarter, which should be alike.
func soak(ctx context.Context, s settings, srv *server, cases []*sample, h *shelf, out io.Writer) error {
	step := max(s.soak/soakLines, time.Second)
	n := max(4, int(s.soak/step))
	fmt.Fprintf(out, "%s, mixed load of %d requests a second, %d connections, %v in %d steps; another revision every tenth:\n\n", srv.name, s.rate, s.connections, s.soak, n)
	heading(out, 0, "after", "requests", "requests/s", "p99 µs", "p99.9 µs", "memory MiB", "heap MiB", "goroutines", "open files", "revisions held")
	began, total, failed := time.Now(), int64(0), 0
	var memory, goroutines []float64
	for i := range n {
		if h != nil && i%(max(n/10, 1)) == 1 {
			if err := h.publish(ctx); err != nil {
				return err
			}
		}
		seen, err := drive(ctx, s.connections, step, s.rate, cases, srv)
		if err != nil && ctx.Err() != nil {
			return err
		}
		if err != nil {
			failed += strings.Count(err.Error(), "\n") + 1
			fmt.Fprintf(out, "\nAfter %v: %v\n\n", time.Since(began).Round(time.Second), err)
		}
		total += seen.count
		resident := float64(srv.resident()) / (1 << 20)
		running := srv.metric(ctx, "go_goroutines")
		memory, goroutines = append(memory, resident), append(goroutines, running)
		line(out, time.Since(began).Round(time.Second).String(), fmt.Sprint(total), fmt.Sprintf("%.0f", float64(seen.count)/step.Seconds()),
			micro(seen.quantile(.99)), micro(seen.quantile(.999)), fmt.Sprintf("%.0f", resident), fmt.Sprintf("%.0f", srv.metric(ctx, "go_memstats_heap_inuse_bytes")/(1<<20)),
			fmt.Sprintf("%.0f", running), fmt.Sprintf("%.0f", srv.metric(ctx, "process_open_fds")), fmt.Sprintf("%.0f", srv.metric(ctx, "endfloat_catalogue_revisions_held")))
	}
	quarter := max(n/4, 1)
	fmt.Fprintf(out, "\nMean of the first and the last quarter: memory %.0f and %.0f MiB, goroutines %.0f and %.0f.\n",
		mean(memory[:quarter]), mean(memory[n-quarter:]), mean(goroutines[:quarter]), mean(goroutines[n-quarter:]))
	if failed > 0 {
		return fmt.Errorf("%d connections failed", failed)
	}
	return nil
}

func mean(list []float64) float64 {
	sum := 0.0
	for _, v := range list {
		sum += v
	}
	return sum / float64(len(list))
}
