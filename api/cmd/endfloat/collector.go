package main

import (
	"math"
	"os"
	"runtime/debug"
)

// A small catalogue lives in a few megabytes, and answers are short-lived: collecting at twice that would be done many
// times a second. So the heap may grow further, until it is no longer small; then it is collected as often as it takes.
// A large catalogue keeps Go's own pace. What GOGC and GOMEMLIMIT in the environment say goes before it.
const (
	smallCatalogue = 50_000 // specs
	smallPercent   = 400
	largePercent   = 100       // Go's own
	smallMemory    = 512 << 20 // bytes; bodies at their limits and what is made of them take less
)

// paceCollector lets the heap of a small catalogue grow further before it is collected. It is asked whenever another
// revision comes into use, since a large one may follow a small one.
func paceCollector(specs int) {
	percent, memory := smallPercent, int64(smallMemory)
	if specs > smallCatalogue {
		percent, memory = largePercent, math.MaxInt64
	}
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(percent)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memory)
	}
}
