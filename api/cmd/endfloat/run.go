package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	"go.opentelemetry.io/otel"

	"endfloat/api"
	"endfloat/api/metrics"
	"endfloat/api/tracing/export"
	"endfloat/specdb"
)

// every is how often the files of the catalogue are looked at.
const every = 2 * time.Second

// untraceTime is how long a collector has for the last spans.
const untraceTime = 3 * time.Second

// run serves until ctx ends: catalogue, server, serve, drain.
func run(ctx context.Context, cfg *config, log *slog.Logger, out io.Writer) error {
	asked := make(chan os.Signal, 1)
	signal.Notify(asked, syscall.SIGHUP) // before anybody can think that the service runs
	defer signal.Stop(asked)
	store, err := open(cfg)
	if err != nil {
		return fmt.Errorf("catalogue: %w", err)
	}
	defer func() { _ = store.Close() }() // the archive is only read by then
	var draining atomic.Bool
	counted := metrics.New(version())
	counted.Catalogue(store)
	tracer, untrace, err := traced(ctx, log)
	if err != nil {
		return err
	}
	defer untrace()
	handler, err := api.New(
		api.Deps{Catalogue: store, Log: log, Metrics: counted, Tracer: tracer, Version: version(), Signing: cfg.signing, Draining: draining.Load, Warnings: warnings(store)},
		api.Config{TrustedProxies: cfg.proxies, PublicURL: cfg.publicURL, SecurityContact: cfg.contact, Slow: cfg.slow})
	if err != nil {
		return err
	}
	f := &front{cfg, log, counted, &draining}
	public, own, err := f.listen(ctx)
	if err != nil {
		return err
	}
	rev := store.Current()
	paceCollector(len(rev.SpecKeys()))
	log.Info("serving", slog.String("addr", public.Addr().String()), slog.String("catalogue", cfg.catalogue), slog.String("revision", rev.Name),
		slog.Int("families", len(rev.Families)), slog.Int("specs", len(rev.SpecKeys())), slog.String("version", version()))
	fmt.Fprintf(out, "endfloat: serving on http://%s\n", public.Addr())
	if own != nil {
		fmt.Fprintf(out, "endfloat: metrics on http://%s/metrics\n", own.Addr())
	}
	keeping, stop := context.WithCancel(ctx)
	var all sync.WaitGroup
	defer all.Wait()
	defer stop()
	all.Go(func() { keep(keeping, store, asked, log) })
	return f.serve(ctx, handler, public, own)
}

// traced begins to record requests where the environment names a collector; untrace sends what is left.
func traced(ctx context.Context, log *slog.Logger) (t api.Tracer, untrace func(), err error) {
	if !export.Wanted(os.Getenv) {
		return nil, func() {}, nil
	}
	tracer, err := export.New(ctx, version())
	if err != nil {
		return nil, nil, fmt.Errorf("tracing: %w", err)
	}
	otel.SetErrorHandler(otel.ErrorHandlerFunc(func(err error) { log.Warn("tracing", slog.String("cause", err.Error())) }))
	return tracer, func() {
		limit, cancel := context.WithTimeout(context.WithoutCancel(ctx), untraceTime)
		defer cancel()
		_ = tracer.Close(limit) // the handler above has said why not
	}, nil
}

func open(cfg *config) (*specdb.Store, error) {
	if cfg.catalogue == "" {
		return specdb.Embedded()
	}
	return specdb.OpenWith(specdb.Options{Path: cfg.catalogue, Archive: cfg.archive})
}

// keep reads the catalogue again when its files change or somebody asks for it, until ctx ends.
func keep(ctx context.Context, store *specdb.Store, asked <-chan os.Signal, log *slog.Logger) {
	var all sync.WaitGroup
	defer all.Wait()
	all.Go(func() { store.Watch(ctx, every, func(st specdb.Status) { told(store, st, log) }) })
	for {
		select {
		case <-ctx.Done():
			return
		case <-asked:
			_, _ = store.Reload() // the status says how it went
			told(store, store.Status(), log)
		}
	}
}

func told(store *specdb.Store, st specdb.Status, log *slog.Logger) {
	revision := slog.String("revision", store.Current().Name)
	switch {
	case st.Err != nil:
		log.Error("the catalogue cannot be used; the revision before it stays", revision, slog.String("cause", st.Err.Error()))
	case st.Changed:
		log.Info("another revision is in use", revision)
	default:
		log.Info("the catalogue says the same as before", revision)
	}
}

// warnings are what /readyz says although the service is ready.
func warnings(store *specdb.Store) func() []string {
	return func() []string {
		if err := store.Status().Err; err != nil {
			return []string{"The files of the catalogue cannot be used; the revision before them stays in use: " + err.Error()}
		}
		return []string{}
	}
}
