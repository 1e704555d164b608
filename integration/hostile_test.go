//go:build integration

package integration_test

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// bystander is a caller who asks for the same thing every few milliseconds, on a connection that stays open, whatever
// others do meanwhile.
type bystander struct {
	took []time.Duration
	errs []error
}

// pacing is how often a bystander asks.
const pacing = 5 * time.Millisecond

// watch asks until ctx ends.
func (b *bystander) watch(ctx context.Context, base string) {
	client := &http.Client{Timeout: patience, Transport: &http.Transport{MaxIdleConnsPerHost: 1}}
	defer client.CloseIdleConnections()
	tick := time.NewTicker(pacing)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		began := time.Now()
		req, err := http.NewRequestWithContext(context.WithoutCancel(ctx), http.MethodGet, base+axialPlay, nil)
		if err != nil {
			b.errs = append(b.errs, err)
			return
		}
		res, err := client.Do(req)
		if err == nil {
			_, err = io.Copy(io.Discard, res.Body)
			_ = res.Body.Close()
			if err == nil && res.StatusCode != http.StatusOK {
				err = fmt.Errorf("status %d", res.StatusCode)
			}
		}
		if err != nil {
			b.errs = append(b.errs, err)
			continue
		}
		b.took = append(b.took, time.Since(began))
	}
}

func (b *bystander) quantile(q float64) time.Duration {
	if len(b.took) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(b.took))
	return sorted[min(len(sorted)-1, int(q*float64(len(sorted))))]
}

// beside watches a bystander while something is done.
func beside(t *testing.T, s *service, do func()) *bystander {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	b := &bystander{}
	var all sync.WaitGroup
	all.Go(func() { b.watch(ctx, s.URL) })
	do()
	cancel()
	all.Wait()
	for _, err := range b.errs {
		t.Errorf("a bystander was hurt: %v", err)
	}
	return b
}

// memory is what a process holds and the most that it held, in bytes (proc(5)).
func memory(t *testing.T, s *service) (now, peak int64) {
	t.Helper()
	text, err := os.ReadFile("/proc/" + strconv.Itoa(s.cmd.Process.Pid) + "/status")
	if err != nil {
		t.Fatal(err)
	}
	value := func(name string) int64 {
		m := regexp.MustCompile(name + `:\s+(\d+) kB`).FindSubmatch(text)
		if m == nil {
			t.Fatalf("no %s in %s", name, text)
		}
		n, err := strconv.ParseInt(string(m[1]), 10, 64)
		if err != nil {
			t.Fatal(err)
		}
		return n << 10
	}
	return value("VmRSS"), value("VmHWM")
}

// siege runs an attack on a service of its own and holds the harm to others within bounds: the 99th percentile of a
// bystander, and the memory that the service holds at most. Before and afterwards the bystander is watched alone, and
// at the end nothing of the attack is left in the service.
type siege struct {
	args   []string
	slow   time.Duration // that the 99th percentile may reach; other work on the machine counts too
	memory int64         // more than before, at most
}

func (g siege) run(t *testing.T, attack func(s *service, own string)) {
	t.Helper()
	s, own := beginPrivate(t, nil, g.args...)
	quiet := func() *bystander {
		return beside(t, s, func() { <-time.After(time.Second) })
	}
	before := quiet()
	held, _ := memory(t, s)
	during := beside(t, s, func() { attack(s, own) })
	_, peak := memory(t, s)
	after := quiet()
	t.Logf("bystander p50 %v → %v → %v, p99 %v → %v → %v (before, during, after; %d asked during); memory %d MiB, at most %d MiB",
		before.quantile(.5), during.quantile(.5), after.quantile(.5), before.quantile(.99), during.quantile(.99), after.quantile(.99),
		len(during.took), held>>20, peak>>20)
	if p99 := during.quantile(.99); p99 > g.slow || len(during.took) == 0 {
		t.Errorf("others waited: p99 %v of %d", p99, len(during.took))
	}
	if peak-held > g.memory {
		t.Errorf("memory grew by %d MiB", (peak-held)>>20)
	}
	for until := time.Now().Add(patience); ; <-time.After(50 * time.Millisecond) {
		left := metric(t, own, "endfloat_body_bytes_held")
		for _, class := range []string{"judge", "plan", "sheet", "lookup"} {
			left += metric(t, own, `endfloat_http_in_flight{class="`+class+`"}`)
		}
		if left == 0 {
			break
		}
		if time.Now().After(until) {
			t.Fatalf("something of it is left in the service: %v", left)
		}
	}
	if code := s.end(t, syscall.SIGTERM); code != 0 {
		t.Errorf("exit code %d\n%s", code, s.log)
	}
	if strings.Contains(s.log.String(), "panic") {
		t.Error(s.log)
	}
}

// dials opens many connections and closes them with the test.
func dials(t *testing.T, s *service, n int) []net.Conn {
	t.Helper()
	var all []net.Conn
	t.Cleanup(func() {
		for _, c := range all {
			_ = c.Close()
		}
	})
	for range n {
		c, err := net.Dial("tcp", strings.TrimPrefix(s.URL, "http://"))
		if err != nil {
			t.Fatalf("after %d: %v", len(all), err)
		}
		if err := c.SetDeadline(time.Now().Add(2 * patience)); err != nil {
			t.Fatal(err)
		}
		all = append(all, c)
	}
	return all
}

// files is how many connections a test may open at both ends on this machine, at most most.
func files(t *testing.T, most int) int {
	t.Helper()
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit); err != nil {
		t.Fatal(err)
	}
	if n := int(min(limit.Max, 1<<30)) - 2000; n < most {
		t.Logf("only %d connections: the machine gives a process %d files", n, limit.Max)
		return n
	}
	return most
}

// answered reads one answer from a connection and returns its status; 0 where the connection was closed instead.
func answered(c net.Conn) (status int, retry string) {
	res, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0, ""
	}
	defer func() { _ = res.Body.Close() }()
	_, _ = io.Copy(io.Discard, res.Body) // its status is what counts
	return res.StatusCode, res.Header.Get("Retry-After")
}
