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
	store, follows, err := open(ctx, cfg, log)
	if err != nil {
		return fmt.Errorf("catalogue: %w", err)
	}
	defer func() { _ = store.Close() }() // the archive is only read by then
	defer follows.close()
	var draining atomic.Bool
	counted := metrics.New(version())
	counted.Catalogue(store)
	follows.counted(counted)
	tracer, untrace, err := traced(ctx, log)
	if err != nil {
		return err
	}
	defer untrace()
	asking, err := openCallers(cfg, log, counted)
	if err != nil {
		return err
	}
	defer asking.close()
	handler, err := api.New( //nolint:contextcheck // each request brings its own
		api.Deps{Catalogue: store, Log: log, Metrics: counted, Tracer: tracer, Version: version(), Signing: cfg.signing, Draining: draining.Load,
			Keys: asking.known(), Limiter: asking.limiter, Warnings: together(warnings(store, follows), asking.warnings)},
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
	counting, uncount := context.WithCancel(context.WithoutCancel(ctx)) // who asks while it drains is counted too
	var all sync.WaitGroup
	defer all.Wait()
	defer uncount()
	defer stop()
	all.Go(func() { keep(keeping, store, follows, asked, log) })
	all.Go(func() { asking.keep(counting) })
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

// open opens the catalogue. The second result is nil where no Redis is named.
func open(ctx context.Context, cfg *config, log *slog.Logger) (*specdb.Store, *following, error) {
	if !cfg.redis.IsZero() {
		return openShared(ctx, cfg, log)
	}
	if cfg.catalogue == "" {
		store, err := specdb.Embedded()
		return store, nil, err
	}
	store, err := specdb.Open(cfg.catalogue, specdb.Options{Archive: cfg.archive})
	return store, nil, err
}

// keep reads the catalogue again when its files change or somebody asks for it, until ctx ends.
func keep(ctx context.Context, store *specdb.Store, follows *following, asked <-chan os.Signal, log *slog.Logger) {
	if follows != nil {
		follows.run(ctx, asked)
		return
	}
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
		paceCollector(len(store.Current().SpecKeys()))
		log.Info("another revision is in use", revision)
	default:
		log.Info("the catalogue says the same as before", revision)
	}
}

// together joins what several say.
func together(parts ...func() []string) func() []string {
	return func() []string {
		all := []string{}
		for _, say := range parts {
			all = append(all, say()...)
		}
		return all
	}
}

// warnings are what /readyz says although the service is ready.
func warnings(store *specdb.Store, follows *following) func() []string {
	if follows != nil {
		return follows.warnings
	}
	return func() []string {
		if err := store.Status().Err; err != nil {
			return []string{"The files of the catalogue cannot be used; the revision before them stays in use: " + err.Error()}
		}
		return []string{}
	}
}
