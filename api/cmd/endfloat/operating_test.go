package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"endfloat/api/metrics"
)

// withPrivate starts the command with a private listener and returns both addresses.
func withPrivate(t *testing.T, args ...string) (signal func(os.Signal), wait func() error, base, own string) {
	t.Helper()
	cmd, out, base := starting(t, nil, append([]string{"--addr", "127.0.0.1:0", "--private-addr", "127.0.0.1:0"}, args...)...)
	line, err := out.ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	own = strings.TrimSuffix(strings.TrimSpace(strings.TrimPrefix(line, "endfloat: metrics on ")), "/metrics")
	return func(s os.Signal) {
		t.Helper()
		if err := cmd.Process.Signal(s); err != nil {
			t.Fatal(err)
		}
	}, cmd.Wait, base, own
}

func TestThePrivateListenerAndWhatThePublicOneNeverSays(t *testing.T) {
	t.Parallel()
	signal, wait, base, own := withPrivate(t)
	body(t, base+"/v1")
	for path, says := range map[string]string{"/metrics": `endfloat_http_requests_total{code="200",method="GET",route="/v1"} 1`, "/readyz": "ready", "/livez": "",
		"/build": `"path":"github.com/gin-gonic/gin"`, "/debug/pprof/goroutine?debug=1": "goroutine profile"} {
		if status, text := body(t, own+path); status != http.StatusOK || !strings.Contains(text, says) {
			t.Errorf("private %s: %d %.300s", path, status, text)
		}
	}
	for _, path := range []string{"/metrics", "/build", "/debug/pprof/", "/debug/pprof/heap", "/debug/vars"} {
		if status, _ := body(t, base+path); status != http.StatusNotFound {
			t.Errorf("public %s: %d", path, status)
		}
	}
	signal(syscall.SIGTERM)
	if err := wait(); err != nil {
		t.Error(err)
	}
}

func TestReadinessFailsFirstAndASecondSignalEndsTheDelay(t *testing.T) {
	t.Parallel()
	signal, wait, base, own := withPrivate(t, "--drain-delay", "5m")
	signal(syscall.SIGTERM)
	for deadline := time.Now().Add(time.Minute); ; {
		if status, _ := body(t, own+"/readyz"); status == http.StatusServiceUnavailable {
			break
		}
		if time.Now().After(deadline) {
			t.Fatal("ready all the same")
		}
	}
	resp, err := http.Get(base + "/v1") // a new connection
	if err != nil {
		t.Fatal(err)
	}
	_ = resp.Body.Close()
	if resp.StatusCode != http.StatusOK || !resp.Close {
		t.Errorf("while draining: %s, close %v", resp.Status, resp.Close)
	}
	if status, _ := body(t, base+"/livez"); status != http.StatusOK {
		t.Errorf("livez: %d", status)
	}
	if _, text := body(t, own+"/metrics"); !strings.Contains(text, "endfloat_draining 1") {
		t.Error("the metrics do not say that it drains")
	}
	signal(syscall.SIGTERM)
	if err := wait(); err != nil {
		t.Error(err)
	}
}

// Past the bound nobody waits; when places are few, connections that do nothing make room for others.
func TestConnectionsAreBoundedAndIdleOnesMakeRoom(t *testing.T) {
	t.Parallel()
	inner, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	b := newBounded(inner, 16)
	srv := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) }))
	_ = srv.Listener.Close() // ours instead
	srv.Listener = b
	b.room = func() { srv.Config.SetKeepAlivesEnabled(false); srv.Config.SetKeepAlivesEnabled(true) }
	srv.Start()
	t.Cleanup(srv.Close)
	ask := func(c net.Conn) error {
		if _, err := io.WriteString(c, "GET / HTTP/1.1\r\nHost: x\r\n\r\n"); err != nil {
			return err
		}
		resp, err := http.ReadResponse(bufio.NewReader(c), nil)
		if err == nil {
			_ = resp.Body.Close()
		}
		return err
	}
	var idle []net.Conn
	for range 200 { // far more than there are places; each is left open
		c, err := net.Dial("tcp", inner.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		idle = append(idle, c)
		_ = ask(c) // some find no place
		if n := b.open.Load(); n > 16 {
			t.Fatalf("%d are open", n)
		}
	}
	t.Cleanup(func() {
		for _, c := range idle {
			_ = c.Close()
		}
	})
	if b.refused.Load() == 0 {
		t.Error("none was refused")
	}
	for deadline := time.Now().Add(time.Minute); ; {
		c, err := net.Dial("tcp", inner.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		err = ask(c)
		_ = c.Close()
		if err == nil {
			break
		}
		if time.Now().After(deadline) {
			t.Fatalf("idle connections keep everybody out: %v", err)
		}
	}
}

func TestWhatTheServerSaysIsLoggedSeldom(t *testing.T) {
	t.Parallel()
	var log bytes.Buffer
	s := &seldom{to: slog.New(slog.NewJSONHandler(&log, nil)), began: time.Now().Add(-time.Hour)}
	for range 100 {
		if n, err := s.Write([]byte("http: panic serving\n")); n != 20 || err != nil {
			t.Fatal(n, err)
		}
	}
	if n := strings.Count(log.String(), "panic serving"); n < 1 || n > 2 {
		t.Errorf("%d lines", n)
	}
}

func TestRunLeavesNothingBehind(t *testing.T) {
	t.Parallel()
	cfg, err := parse([]string{"--addr", "127.0.0.1:0", "--private-addr", "127.0.0.1:0", "--drain-delay", "1ms"}, func(string) string { return "" }, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	out, in := io.Pipe()
	var ended error
	var all sync.WaitGroup
	all.Go(func() {
		ended = run(ctx, cfg, slog.New(slog.DiscardHandler), in)
		_ = in.Close()
	})
	lines, addresses := bufio.NewScanner(out), []string{}
	for len(addresses) < 2 && lines.Scan() {
		addresses = append(addresses, lines.Text()[strings.LastIndex(lines.Text(), "http://"):])
	}
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	for _, address := range addresses {
		resp, err := client.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		_ = resp.Body.Close()
	}
	cancel()
	all.Wait() // TestMain looks for what still runs
	if ended != nil {
		t.Error(ended)
	}
}

func TestTheListenerIsShownInMetrics(t *testing.T) {
	t.Parallel()
	f := &front{cfg: &config{addr: "127.0.0.1:0", operating: operating{maxConnections: 100}}, counted: metrics.New("t"), draining: new(atomic.Bool)}
	public, own, err := f.listen(t.Context())
	if err != nil || own != nil {
		t.Fatal(err, own)
	}
	_ = public.Close()
	w := httptest.NewRecorder()
	f.counted.Handler().ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	if !strings.Contains(w.Body.String(), "endfloat_connections_most 100") {
		t.Error(w.Body)
	}
}

func TestOperatingFlags(t *testing.T) {
	t.Parallel()
	none := func(string) string { return "" }
	for _, row := range []struct {
		name string
		args []string
		says string // empty: it is taken
	}{
		{"all of them", []string{"--private-addr", "127.0.0.1:0", "--drain-delay", "5m", "--max-connections", "16", "--slow-request", "1ms"}, ""},
		{"private address without a port", []string{"--private-addr", "localhost"}, "--private-addr"},
		{"a delay over the limit", []string{"--drain-delay", "5m1s"}, "0s to 5m0s"},
		{"a delay that is none", []string{"--drain-delay", "5"}, "--drain-delay"},
		{"a delay back in time", []string{"--drain-delay", "-1s"}, "--drain-delay"},
		{"one connection too few", []string{"--max-connections", "15"}, "16 to 1048576"},
		{"one connection too many", []string{"--max-connections", "1048577"}, "16 to 1048576"},
		{"connections that are no number", []string{"--max-connections", "many"}, "--max-connections"},
		{"slow at once", []string{"--slow-request", "0s"}, "1ms to 1h"},
	} {
		c, err := parse(row.args, none, io.Discard)
		if row.says == "" {
			want := operating{privateAddr: "127.0.0.1:0", drainDelay: 5 * time.Minute, maxConnections: 16, slow: time.Millisecond}
			if err != nil || c.operating != want {
				t.Errorf("%s: %v", row.name, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v", row.name, err)
		}
	}
	c, err := parse(nil, none, io.Discard)
	if want := (operating{maxConnections: 16384, slow: time.Second}); err != nil || c.operating != want {
		t.Errorf("without any: %+v %v", c.operating, err)
	}
}
