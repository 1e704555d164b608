package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"slices"
)

// ground is everything that runs.
type ground struct {
	s   settings
	dir string
	out io.Writer

	cases  []*sample
	others []*server // that the service is held against
	whole  *server   // the service with everything that is here
	store  *redisd   // nil: no Redis here
	shelf  *shelf    // what the service follows; nil: no Redis here
	apart  *redisd   // that nobody follows
	other  *shelf    // in it
}

func (g *ground) clear() {
	for _, s := range g.others {
		s.stop()
	}
	g.whole.stop()
	g.store.stop()
	g.apart.stop()
}

// add keeps a server that was started; a nil one is left out.
func (g *ground) add(srv *server, err error) error {
	if srv != nil {
		g.others = append(g.others, srv)
	}
	return err
}

// lay starts all servers.
func (g *ground) lay(ctx context.Context) (err error) {
	plain, err := startService(ctx, g.s)
	if err != nil {
		return err
	}
	g.whole = plain
	if g.cases, err = capture(ctx, plain.addr, g.out); err != nil {
		return err
	}
	if g.store, err = startRedis(ctx, g.dir, g.out); err != nil {
		return err
	}
	if err := g.add(startBaseline(ctx, g.s, "bare net/http", baseline{Cases: g.cases})); err != nil {
		return err
	}
	if err := g.add(startBaseline(ctx, g.s, "bare, same header fields", baseline{Cases: g.cases, WithFields: true})); err != nil {
		return err
	}
	if err := g.add(startNginx(ctx, g.s, g.cases, g.dir, g.out)); err != nil {
		return err
	}
	if g.store == nil {
		return nil
	}
	if err := g.add(startBaseline(ctx, g.s, "bare, asks Redis each time", baseline{Cases: g.cases, Redis: g.store.url()})); err != nil {
		return err
	}
	g.others, g.whole = append(g.others, plain), nil
	if g.shelf, err = newShelf(g.s, g.store); err != nil {
		return err
	}
	if g.apart, err = startRedis(ctx, g.dir, g.out); err != nil {
		return err
	}
	if g.other, err = newShelf(g.s, g.apart); err != nil {
		return err
	}
	if err := g.shelf.publish(ctx); err != nil {
		return err
	}
	if g.whole, err = startWhole(ctx, g.s, g.store); err != nil {
		return err
	}
	g.whole.changes = true
	first := &sample{Method: g.cases[0].Method, Path: g.cases[0].Path, Sent: g.cases[0].Sent}
	err = first.ask(ctx, g.whole.addr)
	g.whole.tag = first.Header.Get("ETag")
	return err
}

// compare measures every case alone, then all of them mixed.
func (g *ground) compare(ctx context.Context) error {
	var all []outcome
	one := func(name string, cases []*sample) error {
		if !g.s.wants(name) {
			return nil
		}
		var servers []*server
		for _, s := range append(slices.Clip(g.others), g.whole) {
			if !s.gets || len(cases) == 1 && cases[0].Method == http.MethodGet {
				servers = append(servers, s)
			}
		}
		results, err := measure(ctx, g.s, cases, servers)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, outcome{name, results})
		return nil
	}
	for _, c := range g.cases {
		if err := one(c.Name, []*sample{c}); err != nil {
			return err
		}
	}
	if err := one("mixed", g.cases); err != nil {
		return err
	}
	if len(all) == 0 {
		return nil
	}
	printMeasured(g.out, all)
	printRatios(g.out, all, g.whole.name, g.others)
	return nil
}
