package api_test

import (
	"syscall"
	"testing"
	"time"
)

// processor is the time that this process has spent on processors (getrusage, POSIX): what work costs on a machine that
// others use as well.
func processor() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// perProcessor reports how many of the requests of a benchmark, each of so many parts, one processor answers in a second,
// and what a part costs it, from the time it returns to the end.
func perProcessor(b *testing.B, parts int) func() {
	before := processor()
	return func() {
		if spent := (processor() - before).Seconds(); spent > 0 {
			b.ReportMetric(float64(b.N)/spent, "answers/s")
			b.ReportMetric(spent/float64(b.N)/float64(parts)*1e6, "µs/part")
		}
	}
}
