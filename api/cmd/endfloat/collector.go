package main

import (
	"os"
	"runtime/debug"
)

// A small catalogue lives in a few megabytes, and answers are short-lived: collecting at twice that would be done many
// times a second. A large one keeps Go's own pace, and GOGC in the environment goes before both.
const (
	smallCatalogue = 50_000 // specs
	smallPercent   = 400
)

// paceCollector lets the heap of a small catalogue grow further before it is collected.
func paceCollector(specs int) {
	if specs <= smallCatalogue && os.Getenv("GOGC") == "" {
		debug.SetGCPercent(smallPercent)
	}
}
