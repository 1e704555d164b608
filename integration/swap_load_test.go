//go:build integration

package integration_test

import (
	"strings"
	"sync"
	"testing"
	"time"
)

// While a revision is published three times a second, who follows answers every question, and as fast as a service beside
// it that follows nothing: what the publisher takes of the machine slows both. It is a load, and runs beside nothing.
//
//	go test -tags integration -run TestASwapIsSeenByNobody -v ./integration
func TestASwapIsSeenByNobody(t *testing.T) { //nolint:paralleltest // it is a load
	r := newRedis(t)
	url := "redis://" + r.addr
	revisions := []string{"../specdb/data", demoOf(t, "PL-85 in other words")}
	publishes(t, url, revisions[0])
	s, alone := follower(t, url, "--log-level", "error"), start(t)
	lists := [][]errand{errands(t, s.URL), errands(t, alone.URL)}
	for i := range lists[0] {
		lists[0][i].want = nil // it says which revision it is of
	}
	var said strings.Builder
	during := func(name string) {
		until := time.Now().Add(3 * time.Second)
		var both sync.WaitGroup
		var seen [2]*driven
		for i, base := range []string{s.URL, alone.URL} {
			both.Go(func() {
				pace := time.NewTicker(time.Millisecond) // less than the machine can
				defer pace.Stop()
				seen[i] = drive(base, 2, lists[i], func(int64) bool { return (<-pace.C).After(until) })
			})
		}
		both.Wait()
		seen[0].line(&said, name)
		seen[1].line(&said, "  beside it")
		for _, d := range seen {
			if d.fails > 0 {
				t.Errorf("%s: %d of %d failed: %q", name, d.fails, len(d.took["all"]), d.failed)
			}
		}
	}
	during("calm")
	published := make(chan int)
	stop := make(chan struct{})
	go func() {
		n, beat := 0, time.NewTicker(300*time.Millisecond)
		defer beat.Stop()
		defer func() { published <- n }()
		for {
			select {
			case <-stop:
				return
			case <-beat.C:
				n++
				publishes(t, url, revisions[n%2])
			}
		}
	}()
	for range 3 {
		during("while revisions come")
	}
	close(stop)
	n := <-published
	during("calm")
	t.Logf("%d publications; milliseconds, p50 and p99 of a class:\n%s", n, said.String())
	if n == 0 {
		t.Error("nothing was published")
	}
}
