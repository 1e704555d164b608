package main

import (
	"fmt"
	"io"
	"math"
	"math/bits"
	"slices"
	"time"
)

// histogram counts durations in classes a sixteenth of a power of two wide: a quantile is at most 1/16 too high. The
// zero value is ready.
type histogram struct {
	classes [64 * 16]int64
	count   int64
}

func (h *histogram) note(d time.Duration) {
	h.classes[class(d)]++
	h.count++
}

func class(d time.Duration) int {
	n := uint64(max(d, 16))
	top := bits.Len64(n) - 1
	return top*16 + int(n>>(top-4)&15)
}

// upper is the longest duration of a class.
func upper(class int) time.Duration {
	top := class / 16
	return time.Duration(uint64(16+class%16+1)<<(top-4)) - 1
}

func (h *histogram) add(o *histogram) {
	for i, n := range o.classes {
		h.classes[i] += n
	}
	h.count += o.count
}

// quantile is the duration that a share q of all did not exceed; zero where there is none.
func (h *histogram) quantile(q float64) time.Duration {
	rank := int64(math.Ceil(q * float64(h.count)))
	var below int64
	for i, n := range h.classes {
		if below += n; n > 0 && below >= rank {
			return upper(i)
		}
	}
	return 0
}

func median(list []float64) float64 {
	sorted := slices.Sorted(slices.Values(list))
	if len(sorted) == 0 {
		return 0
	}
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}

// printCase prints the servers of one case, the service last, with its share of the others' rates, and the same share by
// processor time, which other work on the machine disturbs less.
func printCase(w io.Writer, c *sample, results []*result) {
	fmt.Fprintf(w, "%s (%d, %d bytes, %d header fields)\n", c.Name, c.Status, len(c.Answer), len(c.Header))
	fmt.Fprintf(w, "  %-26s %12s %14s %10s %10s %10s %10s\n", "", "requests/s", "CPU µs/request", "p50 µs", "p99 µs", "share", "by CPU")
	service := results[len(results)-1]
	for _, r := range results {
		share, byProcessor := "1", "1"
		if r != service {
			share = fmt.Sprintf("%.2f", median(service.rates)/median(r.rates))
			byProcessor = fmt.Sprintf("%.2f", r.cost()/service.cost())
		}
		fmt.Fprintf(w, "  %-26s %12.0f %14.1f %10.0f %10.0f %10s %10s\n", r.server.name, median(r.rates), r.cost(),
			micro(r.latency.quantile(0.5)), micro(r.latency.quantile(0.99)), share, byProcessor)
	}
	fmt.Fprintln(w)
}

// cost is the processor time of the server for one request, in µs.
func (r *result) cost() float64 { return micro(r.processor) / float64(max(r.requests, 1)) }

func micro(d time.Duration) float64 { return float64(d) / float64(time.Microsecond) }
