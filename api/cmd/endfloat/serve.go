package main

import (
	"context"
	"errors"
	"fmt"
	"log"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"endfloat/api/metrics"
	"endfloat/api/private"
)

// Times of the connection side. Bodies are bounded by the routes, slow ones by these.
const (
	headerTime   = 5 * time.Second
	readTime     = 30 * time.Second
	writeTime    = 60 * time.Second
	idleTime     = 120 * time.Second
	shutdownTime = 15 * time.Second
	headerBytes  = 32 << 10

	privateWriteTime = 5 * time.Minute // a profile may take that long
)

// front is everything that listens.
type front struct {
	cfg      *config
	log      *slog.Logger
	counted  *metrics.Set
	draining *atomic.Bool
}

// listen opens both listeners; the private one is nil where it is off. Errors: an address that cannot be had.
func (f *front) listen(ctx context.Context) (public *bounded, private net.Listener, err error) {
	var listen net.ListenConfig
	ln, err := listen.Listen(ctx, "tcp", f.cfg.addr)
	if err != nil {
		return nil, nil, err
	}
	if f.cfg.privateAddr != "" {
		if private, err = listen.Listen(ctx, "tcp", f.cfg.privateAddr); err != nil {
			_ = ln.Close() // nothing was served on it
			return nil, nil, fmt.Errorf("private listener: %w", err)
		}
	}
	public = newBounded(ln, f.cfg.maxConnections)
	f.counted.Gauge("connections_open", "Connections to the public listener.", func() float64 { return float64(public.open.Load()) })
	f.counted.Gauge("connections_most", "Connections to the public listener that are let in at once.", func() float64 { return float64(public.most) })
	f.counted.Counter("connections_refused_total", "Connections that found no place.", func() float64 { return float64(public.refused.Load()) })
	f.counted.Gauge("draining", "1 while the service is about to stop.", func() float64 {
		if f.draining.Load() {
			return 1
		}
		return 0
	})
	return public, private, nil
}

// serve answers until ctx ends, then drains: readiness fails, answers close their connections, and after the drain delay
// the listener closes and what has begun is ended. A second signal ends the delay, a third one what has begun.
func (f *front) serve(ctx context.Context, handler http.Handler, public *bounded, own net.Listener) error {
	srv := f.server(f.closing(handler), writeTime)
	public.room = func() { srv.SetKeepAlivesEnabled(false); srv.SetKeepAlivesEnabled(true) } // the first closes what is idle
	var all sync.WaitGroup
	defer all.Wait()
	failed := make(chan error, 2)
	start := func(s *http.Server, ln net.Listener) {
		all.Go(func() {
			if err := s.Serve(ln); !errors.Is(err, http.ErrServerClosed) {
				failed <- err
			}
		})
	}
	if own != nil {
		inner := f.server(private.New(private.Settings{Metrics: f.counted.Handler(), Service: handler, Version: version(), Loopback: loopback(own)}), privateWriteTime)
		start(inner, own)
		defer func() { _ = inner.Close() }() // last of all, so that probes see the drain
	}
	start(srv, public)
	select {
	case err := <-failed:
		_ = srv.Close() // the other reason is what counts
		return err
	case <-ctx.Done():
	}
	return f.drain(context.WithoutCancel(ctx), srv)
}

func (f *front) drain(ctx context.Context, srv *http.Server) error {
	f.draining.Store(true)
	again := make(chan os.Signal, 2)
	signal.Notify(again, os.Interrupt, syscall.SIGTERM)
	defer signal.Stop(again)
	f.log.Info("draining", slog.Duration("delay", f.cfg.drainDelay))
	delay := time.NewTimer(f.cfg.drainDelay)
	defer delay.Stop()
	select {
	case <-delay.C:
	case <-again:
	}
	limit, cancel := context.WithTimeout(ctx, shutdownTime)
	defer cancel()
	go func() {
		select {
		case <-again:
			cancel()
		case <-limit.Done():
		}
	}()
	if err := srv.Shutdown(limit); err != nil {
		_ = srv.Close() // what has not ended by now never does
		return fmt.Errorf("draining: %w", err)
	}
	return nil
}

// closing lets every answer close its connection once the service drains, so that callers come back to another replica
// before the listener closes.
func (f *front) closing(next http.Handler) http.Handler {
	last := []string{"close"}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if f.draining.Load() {
			w.Header()["Connection"] = last
		}
		next.ServeHTTP(w, r)
	})
}

func (f *front) server(handler http.Handler, write time.Duration) *http.Server {
	return &http.Server{Handler: handler, ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: write,
		IdleTimeout: idleTime, MaxHeaderBytes: headerBytes, ErrorLog: log.New(&seldom{to: f.log, began: time.Now()}, "", 0)}
}

func loopback(ln net.Listener) bool {
	addr, ok := ln.Addr().(*net.TCPAddr)
	return ok && addr.IP.IsLoopback()
}

// seldom logs what net/http says, which callers can provoke, at most once a second.
type seldom struct {
	to    *slog.Logger
	began time.Time
	next  atomic.Int64
}

// Write implements io.Writer.
func (s *seldom) Write(b []byte) (int, error) {
	now := time.Since(s.began)
	if next := s.next.Load(); int64(now) >= next && s.next.CompareAndSwap(next, int64(now+time.Second)) {
		s.to.Warn("server", slog.String("says", string(b[:min(len(b), 4096)])))
	}
	return len(b), nil
}
