package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"endfloat/api"
	"endfloat/service/catalogue"
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

// run serves until ctx ends: catalogue, server, serve, drain.
func run(ctx context.Context, cfg *config, log *slog.Logger, out io.Writer) error {
	source, err := open(cfg.catalogue)
	if err != nil {
		return fmt.Errorf("catalogue: %w", err)
	}
	var draining atomic.Bool
	handler, err := api.New(api.Deps{Catalogue: source, Log: log, Version: version(), Draining: draining.Load},
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
	rev := source.Current()
	paceCollector(len(rev.SpecKeys()))
	log.Info("serving", "addr", ln.Addr().String(), "catalogue", cfg.catalogue, "revision", rev.Name,
		"families", len(rev.Families), "specs", len(rev.SpecKeys()), "version", version())
	fmt.Fprintf(out, "endfloat: serving on http://%s\n", ln.Addr())
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

func open(dir string) (catalogue.Source, error) {
	if dir == "" {
		return specdb.Embedded()
	}
	return specdb.Open(dir)
}
