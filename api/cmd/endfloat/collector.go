package main

import (
	"os"
	"runtime/debug"
)

// A small catalogue lives in a few megabytes, and answers are short-lived: collecting at twice that would be done many
// times a second. So the heap may grow further, until it is no longer small; then it is collected as often as it takes.
// A large catalogue keeps Go's own pace, and GOGC and GOMEMLIMIT in the environment go before both.
const (
	smallCatalogue = 50_000 // specs
	smallPercent   = 400
	largePercent   = 100       // Go's own
	smallMemory    = 512 << 20 // bytes; bodies at their limits and what is made of them take less
)

// paceCollector lets the heap of a small catalogue grow further before it is collected. It is asked whenever another
// revision comes into use, since a large one may follow a small one.
func paceCollector(specs int) {
	if os.Getenv("GOGC") != "" {
		return
	}
	percent := smallPercent
	if specs > smallCatalogue {
		percent = largePercent
	}
	debug.SetGCPercent(percent)
}
