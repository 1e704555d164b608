//go:build integration

package integration_test

import (
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

const (
	mib        = 1 << 20
	calm       = 10 * time.Second // that the 99th percentile of a bystander may reach on a machine with other work
	headerTime = 5 * time.Second  // in which the head of a request must have come
)

// ended waits until the service has closed all connections, which it must do in time.
func ended(t *testing.T, all []net.Conn, within time.Duration) {
	t.Helper()
	began := time.Now()
	for _, c := range all {
		if err := c.SetReadDeadline(began.Add(within)); err != nil {
			t.Fatal(err)
		}
		if _, err := io.Copy(io.Discard, c); err != nil {
			if timeout, ok := err.(net.Error); ok && timeout.Timeout() {
				t.Errorf("a connection is open after %v", time.Since(began))
				return
			}
		}
	}
}

func TestHeadersThatDripAreCutOff(t *testing.T) {
	t.Parallel()
	siege{slow: calm, memory: 64 * mib}.run(t, func(s *service, _ string) {
		all := dials(t, s, 500)
		var drips sync.WaitGroup
		for _, c := range all {
			drips.Go(func() {
				_, _ = io.WriteString(c, "GET /v1 HTTP/1.1\r\nHost: a.example\r\n") // then a little at a time, until it is closed
				for range 100 {
					if _, err := io.WriteString(c, "X-A: b\r\n"); err != nil {
						return
					}
					<-time.After(100 * time.Millisecond)
				}
			})
		}
		ended(t, all, headerTime+patience)
		drips.Wait()
	})
}

func TestConnectionsThatSayNothingAreClosed(t *testing.T) {
	t.Parallel()
	siege{slow: calm, memory: 64 * mib}.run(t, func(s *service, _ string) {
		ended(t, dials(t, s, 500), headerTime+patience)
	})
}

func TestTenThousandIdleConnections(t *testing.T) { //nolint:paralleltest // it takes the files of the whole process
	n := files(t, 10_000)
	siege{slow: calm, memory: int64(n) * 64 << 10}.run(t, func(s *service, own string) {
		all := dials(t, s, n)
		for i, c := range all {
			if _, err := io.WriteString(c, "GET "+axialPlay+" HTTP/1.1\r\nHost: a.example\r\n\r\n"); err != nil {
				t.Fatalf("%d: %v", i, err)
			}
			if status, _ := answered(c); status != http.StatusOK {
				t.Fatalf("%d: %d", i, status)
			}
		}
		if open := metric(t, own, "endfloat_connections_open"); open < float64(n) {
			t.Errorf("%v are open", open)
		}
		for i := 0; i < n; i += 997 { // they are still good
			if _, err := io.WriteString(all[i], "GET /v1 HTTP/1.1\r\nHost: a.example\r\n\r\n"); err != nil {
				t.Fatalf("%d: %v", i, err)
			}
			if status, _ := answered(all[i]); status != http.StatusOK {
				t.Errorf("%d: %d", i, status)
			}
		}
	})
}

// With no place left, connections that do nothing make room: somebody who asks gets in.
func TestIdleConnectionsKeepNobodyOut(t *testing.T) {
	t.Parallel()
	s, own := beginPrivate(t, nil, "--max-connections", "100")
	for _, c := range dials(t, s, 1000) {
		if _, err := io.WriteString(c, "GET /v1 HTTP/1.1\r\nHost: a.example\r\n\r\n"); err == nil {
			_, _ = answered(c) // some find no place
		}
	}
	if refused := metric(t, own, "endfloat_connections_refused_total"); refused == 0 {
		t.Error("none of 1000 was refused where there are 100 places")
	}
	client := &http.Client{Timeout: patience, Transport: &http.Transport{DisableKeepAlives: true}}
	in := 0
	for until := time.Now().Add(patience); in < 20 && time.Now().Before(until); {
		if res, err := client.Get(s.URL + "/v1"); err == nil {
			_ = res.Body.Close()
			in++
		}
	}
	if in < 20 {
		t.Errorf("%d got in", in)
	}
}

// Requests without end whose answers nobody reads: the service stops reading, and holds no more than what is on its way.
func TestPipelinedRequestsWhoseAnswersNobodyReads(t *testing.T) {
	t.Parallel()
	siege{slow: calm, memory: 64 * mib}.run(t, func(s *service, _ string) {
		many := strings.Repeat("GET "+axialPlay+" HTTP/1.1\r\nHost: a.example\r\n\r\n", 10_000)
		var sent atomic.Int64
		var all sync.WaitGroup
		for _, c := range dials(t, s, 20) {
			if err := c.SetWriteDeadline(time.Now().Add(3 * time.Second)); err != nil {
				t.Fatal(err)
			}
			all.Go(func() {
				for {
					n, err := io.WriteString(c, many)
					sent.Add(int64(n))
					if err != nil {
						_ = c.Close()
						return
					}
				}
			})
		}
		all.Wait()
		if sent.Load() > 20*32*mib {
			t.Errorf("%d MiB were taken", sent.Load()/mib)
		}
		if sent.Load() == 0 {
			t.Error("nothing was sent")
		}
	})
}

// Bodies that are announced large and drip: what is held is what came, not what was announced.
func TestBodiesThatDripHoldLittle(t *testing.T) {
	t.Parallel()
	siege{slow: calm, memory: 64 * mib}.run(t, func(s *service, _ string) {
		var all sync.WaitGroup
		for _, c := range dials(t, s, 300) {
			all.Go(func() {
				_, _ = io.WriteString(c, "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nContent-Length: 8388608\r\n\r\n{")
				for range 20 {
					if _, err := io.WriteString(c, " "); err != nil {
						break
					}
					<-time.After(100 * time.Millisecond)
				}
				_ = c.Close()
			})
		}
		all.Wait()
	})
}

// Bodies that are nearly whole and stop: past what may be held at once the next are answered at once, with 503.
func TestManyLargeBodiesAreRefusedInTime(t *testing.T) {
	t.Parallel()
	siege{slow: calm, memory: 700 * mib}.run(t, func(s *service, _ string) {
		piece := strings.Repeat(" ", 7*mib)
		var refused atomic.Int64
		var all sync.WaitGroup
		for _, c := range dials(t, s, 60) {
			all.Go(func() {
				_, _ = io.WriteString(c, "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nContent-Length: 8388608\r\n\r\n"+piece)
				if err := c.SetReadDeadline(time.Now().Add(3 * time.Second)); err != nil {
					return
				}
				if status, retry := answered(c); status == http.StatusServiceUnavailable && retry != "" {
					refused.Add(1)
				}
				_ = c.Close()
			})
		}
		all.Wait()
		t.Logf("%d of 60 were told to come again", refused.Load())
		if refused.Load() == 0 {
			t.Error("420 MiB of bodies were all taken in")
		}
	})
}
