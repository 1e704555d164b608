package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"sync/atomic"
	"syscall"
	"time"

	"endfloat/api"
	"endfloat/specdb"
)

// Times of the connection side. Bodies are bounded by the routes, slow ones by these.
const (
	headerTime   = 5 * time.Second
	readTime     = 30 * time.Second
	writeTime    = 60 * time.Second
	idleTime     = 120 * time.Second
	shutdownTime = 15 * time.Second
	headerBytes  = 32 << 10
)

// every is how often the files of the catalogue are looked at.
const every = 2 * time.Second

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
	handler, err := api.New(
		api.Deps{Catalogue: store, Log: log, Version: version(), Signing: cfg.signing, Draining: draining.Load, Warnings: warnings(store)},
		api.Config{TrustedProxies: cfg.proxies, PublicURL: cfg.publicURL, SecurityContact: cfg.contact})
	if err != nil {
		return err
	}
	var listen net.ListenConfig
	ln, err := listen.Listen(ctx, "tcp", cfg.addr)
	if err != nil {
		return err
	}
	srv := &http.Server{Handler: handler, ReadHeaderTimeout: headerTime, ReadTimeout: readTime, WriteTimeout: writeTime,
		IdleTimeout: idleTime, MaxHeaderBytes: headerBytes, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelDebug)}
	rev := store.Current()
	paceCollector(len(rev.SpecKeys()))
	log.Info("serving", slog.String("addr", ln.Addr().String()), slog.String("catalogue", cfg.catalogue), slog.String("revision", rev.Name),
		slog.Int("families", len(rev.Families)), slog.Int("specs", len(rev.SpecKeys())), slog.String("version", version()))
	fmt.Fprintf(out, "endfloat: serving on http://%s\n", ln.Addr())
	keeping, stop := context.WithCancel(ctx)
	defer stop()
	go keep(keeping, store, asked, log)
	ended := make(chan error, 1)
	go func() { ended <- srv.Serve(ln) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	draining.Store(true)
	log.Info("draining")
	limit, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTime)
	defer cancel()
	if err := srv.Shutdown(limit); err != nil {
		return fmt.Errorf("draining: %w", err)
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

func open(cfg *config) (*specdb.Store, error) {
	if cfg.catalogue == "" {
		return specdb.Embedded()
	}
	return specdb.OpenWith(specdb.Options{Path: cfg.catalogue, Archive: cfg.archive})
}

// keep reads the catalogue again when its files change or somebody asks for it, until ctx ends.
func keep(ctx context.Context, store *specdb.Store, asked <-chan os.Signal, log *slog.Logger) {
	go store.Watch(ctx, every, func(st specdb.Status) { told(store, st, log) })
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
