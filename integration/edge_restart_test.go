//go:build integration

package integration_test

import (
	"os"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// replicas are three services, each on an address of its own that outlives it.
type replicas struct {
	addrs [3]string
	now   [3]*service
	env   []string
}

// startReplicas starts three with settings of the environment, in which REPLICA is the number of each; the quota is off
// unless they say otherwise.
func startReplicas(t *testing.T, settings ...string) *replicas {
	t.Helper()
	r := &replicas{env: append([]string{"ENDFLOAT_QUOTA=off"}, settings...)}
	for i := range r.now {
		r.addrs[i] = "127.0.0." + strconv.Itoa(11+i) + ":0"
		r.start(t, i)
		r.addrs[i] = strings.TrimPrefix(r.now[i].URL, "http://")
	}
	return r
}

// start begins a replica and returns once it listens.
func (r *replicas) start(t testing.TB, i int) {
	t.Helper()
	var env []string
	for _, setting := range r.env {
		env = append(env, strings.ReplaceAll(setting, "REPLICA", strconv.Itoa(i+1)))
	}
	r.now[i] = begin(t, env, "--addr", r.addrs[i], "--log-level", "warn")
	r.now[i].awaitAddress(t)
}

// restartRequests is how many requests a rolling restart is watched by: ENDFLOAT_RESTART_REQUESTS, or some tens of
// thousands.
func restartRequests(t *testing.T) int64 {
	t.Helper()
	text := os.Getenv("ENDFLOAT_RESTART_REQUESTS")
	if text == "" {
		return 40_000
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Replicas are stopped and started one after the other, over and over, while callers ask: none of them notices. The
// same holds where they die at once, without draining, but for answers that had begun to go out, which nobody can take
// back: one or two a death at most. It does not run beside other tests, which would only slow it.
//
//	ENDFLOAT_RESTART_REQUESTS=1000000 go test -tags integration -run TestNobodyNotices -v -timeout 60m ./integration
func TestNobodyNoticesARestart(t *testing.T) { //nolint:paralleltest // it is a load
	for _, row := range []struct { //nolint:paralleltest // it is a load
		name     string
		sig      syscall.Signal
		code     int
		requests int64
	}{
		{"that drains", syscall.SIGTERM, 0, restartRequests(t)},
		{"that does not", syscall.SIGKILL, -1, restartRequests(t) / 4},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := startReplicas(t)
			e := startEdge(t, r.addrs)
			list := errands(t, e.URL)
			calm := drive(e.URL, 16, list, func(asked int64) bool { return asked > row.requests/10 })
			began := time.Now()
			rolled, restarts := r.roll(t, row.sig, row.code, func(stop func(int64) bool) *driven {
				return drive(e.URL, 16, list, func(asked int64) bool { return asked > row.requests && stop(asked) })
			})
			var said strings.Builder
			calm.table(&said)
			rolled.table(&said)
			n := len(rolled.took["all"])
			t.Logf("%d requests and %d restarts in %v, %d failed, %d of them cut off; before, then during:\n%s", n, restarts, time.Since(began).Round(time.Millisecond), rolled.fails, rolled.cut, said.String())
			cut := 0 // what may be cut off
			if row.sig == syscall.SIGKILL {
				cut = min(rolled.cut, 2*int(restarts))
			}
			if calm.fails+rolled.fails > cut {
				t.Errorf("%d failed without a restart, %d of %d with: %q %q", calm.fails, rolled.fails, n, calm.failed, rolled.failed)
			}
		})
	}
}

// roll ends and starts replicas in turn with a signal while a load runs, at least two rounds.
func (r *replicas) roll(t *testing.T, sig syscall.Signal, code int, load func(stop func(int64) bool) *driven) (*driven, int64) {
	t.Helper()
	var restarts atomic.Int64
	done := make(chan *driven, 1)
	go func() { done <- load(func(int64) bool { return restarts.Load() >= 6 }) }()
	for i := 0; ; i = (i + 1) % len(r.now) {
		if got := r.now[i].end(t, sig); got != code {
			t.Errorf("replica %d: exit code %d\n%s", i, got, r.now[i].log)
		}
		r.start(t, i)
		restarts.Add(1)
		select {
		case d := <-done:
			return d, restarts.Load()
		case <-time.After(100 * time.Millisecond): // so that the one just started is asked, too
		}
	}
}

// A replica that takes connections and never answers costs those who asked it time, and nobody an answer.
func TestAReplicaThatHangsLosesNothing(t *testing.T) { //nolint:paralleltest // it is a load
	r := startReplicas(t)
	e := startEdge(t, r.addrs, "proxy_read_timeout 12s;", "proxy_read_timeout 2s;")
	list := errands(t, e.URL)
	if err := r.now[0].cmd.Process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	d := drive(e.URL, 8, list, func(asked int64) bool { return asked > 4000 })
	if err := r.now[0].cmd.Process.Signal(syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	d.table(&said)
	t.Logf("%d failed:\n%s", d.fails, said.String())
	longest := d.took["all"][len(d.took["all"])-1]
	if d.fails > 0 || longest < time.Second {
		t.Errorf("%d failed, the longest took %v: %q", d.fails, longest, d.failed)
	}
}
