package main

import (
	"math"
	"runtime/debug"
	"testing"
)

func TestTheCollectorKeepsThePaceOfTheCatalogue(t *testing.T) { //nolint:paralleltest // the collector is that of the whole process
	percent, memory := debug.SetGCPercent(100), debug.SetMemoryLimit(-1)
	defer debug.SetGCPercent(percent)
	defer debug.SetMemoryLimit(memory)
	for _, row := range []struct {
		name           string
		gogc, limit    string
		specs, percent int
		memory         int64
	}{
		{"small", "", "", 50_000, 400, 512 << 20},
		{"large", "", "", 50_001, 100, math.MaxInt64},
		{"small again", "", "", 1, 400, 512 << 20},
		{"GOGC is said", "50", "", 1, 77, 512 << 20},
		{"GOMEMLIMIT is said", "", "1GiB", 1, 400, 99 << 20},
	} {
		t.Setenv("GOGC", row.gogc)
		t.Setenv("GOMEMLIMIT", row.limit)
		debug.SetGCPercent(77)
		debug.SetMemoryLimit(99 << 20)
		paceCollector(row.specs)
		if got := debug.SetGCPercent(100); got != row.percent {
			t.Errorf("%s: %d %%", row.name, got)
		}
		if got := debug.SetMemoryLimit(-1); got != row.memory {
			t.Errorf("%s: %d bytes", row.name, got)
		}
	}
}
