package main

import (
	"fmt"
	"io"
	"math"
	"math/bits"
	"slices"
	"strings"
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

// line writes a row of a table in Markdown.
func line(w io.Writer, cells ...string) { fmt.Fprintf(w, "| %s |\n", strings.Join(cells, " | ")) }

func heading(w io.Writer, left int, cells ...string) {
	line(w, cells...)
	for i := range cells {
		if cells[i] = "--:"; i < left {
			cells[i] = ":--"
		}
	}
	line(w, cells...)
}

// outcome is one case with what each server did in it.
type outcome struct {
	name    string
	results []*result
}

func (o *outcome) of(name string) *result {
	for _, r := range o.results {
		if r.server.name == name {
			return r
		}
	}
	return nil
}

// printMeasured prints every case and server.
func printMeasured(w io.Writer, all []outcome) {
	heading(w, 2, "case", "server", "requests/s", "p50 µs", "p99 µs", "p99.9 µs", "CPU µs/request", "objects/request", "memory MiB")
	for _, o := range all {
		for _, r := range o.results {
			objects := "–"
			if !math.IsNaN(r.allocated) {
				objects = fmt.Sprintf("%.1f", r.allocated/float64(max(r.requests, 1)))
			}
			line(w, o.name, r.server.name, fmt.Sprintf("%.0f", median(r.rates)), micro(r.latency.quantile(.5)), micro(r.latency.quantile(.99)),
				micro(r.latency.quantile(.999)), fmt.Sprintf("%.1f", r.cost()), objects, fmt.Sprint(r.resident>>20))
		}
	}
	fmt.Fprintln(w)
}

// printRatios prints the share of the service with everything on (without Redis: of the plain one) in the rate of each
// other server, and behind it the same by processor time, which other work on the machine disturbs less.
func printRatios(w io.Writer, all []outcome, whole string, others []*server) {
	head := []string{"case"}
	for _, s := range others {
		head = append(head, "to "+s.name)
	}
	fmt.Fprintf(w, "%s, its rate to that of the others, in brackets by processor time:\n\n", whole)
	heading(w, 1, head...)
	for _, o := range all {
		ours, cells := o.of(whole), []string{o.name}
		for _, s := range others {
			cell := "–"
			if r := o.of(s.name); r != nil && ours != nil {
				cell = fmt.Sprintf("%.2f (%.2f)", median(ours.rates)/median(r.rates), r.cost()/ours.cost())
			}
			cells = append(cells, cell)
		}
		line(w, cells...)
	}
	fmt.Fprintln(w)
}

// cost is the processor time of the server for one request, in µs.
func (r *result) cost() float64 {
	return float64(r.processor) / float64(time.Microsecond) / float64(max(r.requests, 1))
}

func micro(d time.Duration) string { return fmt.Sprintf("%.0f", float64(d)/float64(time.Microsecond)) }
