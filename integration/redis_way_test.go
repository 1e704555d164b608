//go:build integration

package integration_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"net"
	"strings"
	"testing"
	"time"

	toxiproxy "github.com/Shopify/toxiproxy/v2"
	"github.com/redis/go-redis/v9"
	"github.com/rs/zerolog"
)

// mishap is something that befalls Redis or the way to it, until mend ends it.
type mishap struct {
	name  string
	spoil func() error
	mend  func() error
}

// way is the way from a service to its Redis, with a proxy on it that can spoil it.
type way struct {
	proxy *toxiproxy.Proxy
	redis *redisd
	desk  *redis.Client
	noise net.Listener
}

func newWay(t *testing.T) *way {
	t.Helper()
	w := &way{redis: newRedis(t)}
	w.desk = w.redis.desk(t)
	server := toxiproxy.NewServer(toxiproxy.NewMetricsContainer(nil), zerolog.Nop())
	w.proxy = toxiproxy.NewProxy(server, "redis", "127.0.0.1:0", w.redis.addr)
	if err := w.proxy.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(w.proxy.Stop)
	var err error
	if w.noise, err = net.Listen("tcp", "127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = w.noise.Close() })
	go babble(w.noise)
	return w
}

// babble answers whatever it reads with bytes that mean nothing.
func babble(ln net.Listener) {
	for {
		c, err := ln.Accept()
		if err != nil {
			return
		}
		go func() {
			defer func() { _ = c.Close() }()
			dice, heard := rand.New(rand.NewPCG(20261101, 2)), make([]byte, 4096)
			for {
				if _, err := c.Read(heard); err != nil {
					return
				}
				said := make([]byte, 1+dice.IntN(300))
				for i := range said {
					said[i] = byte(dice.Uint32())
				}
				if _, err := c.Write(said); err != nil {
					return
				}
			}
		}()
	}
}

// to has the proxy lead somewhere, or nowhere.
func (w *way) to(upstream string, enabled bool) error {
	return w.proxy.Update(&toxiproxy.Proxy{Name: "redis", Listen: w.proxy.Listen, Upstream: upstream, Enabled: enabled})
}

func (w *way) poison(toxic string) error {
	_, err := w.proxy.Toxics.AddToxicJson(strings.NewReader(toxic))
	return err
}

func (w *way) clean() error {
	w.proxy.Toxics.ResetToxics(context.Background())
	return nil
}

// flap opens and shuts the way until the answer is called.
func (w *way) flap() func() error {
	stop, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		beat := time.NewTicker(60 * time.Millisecond)
		defer beat.Stop()
		for open := false; ; open = !open {
			_ = w.to(w.redis.addr, open) // whether it opens is what flaps
			select {
			case <-stop:
				return
			case <-beat.C:
			}
		}
	}()
	return func() error {
		close(stop)
		<-ended
		return w.to(w.redis.addr, true)
	}
}

func (w *way) faults() []mishap {
	var still func() error
	toxic := func(name, text string) mishap {
		return mishap{name, func() error { return w.poison(text) }, w.clean}
	}
	memory := func(size, policy string) error {
		ctx := context.Background()
		return errors.Join(w.desk.ConfigSet(ctx, "maxmemory-policy", policy).Err(), w.desk.ConfigSet(ctx, "maxmemory", size).Err())
	}
	return []mishap{
		{"stopped", func() error { return w.to(w.redis.addr, false) }, func() error { return w.to(w.redis.addr, true) }},
		toxic("hung: nothing comes back", `{"name":"a","type":"timeout","stream":"downstream","attributes":{"timeout":0}}`),
		toxic("hung: nothing arrives", `{"name":"a","type":"timeout","stream":"upstream","attributes":{"timeout":0}}`),
		toxic("slow: 200 ms", `{"name":"a","type":"latency","stream":"downstream","attributes":{"latency":200,"jitter":50}}`),
		toxic("slow: 20 ms", `{"name":"a","type":"latency","stream":"downstream","attributes":{"latency":20,"jitter":5}}`),
		toxic("a trickle", `{"name":"a","type":"slicer","stream":"downstream","attributes":{"average_size":1,"size_variation":0,"delay":20000}}`),
		toxic("reset", `{"name":"a","type":"reset_peer","stream":"downstream","attributes":{"timeout":1}}`),
		{"flapping", func() error { still = w.flap(); return nil }, func() error { return still() }},
		{"out of memory", func() error { return memory("1mb", "noeviction") }, func() error { return memory("0", "noeviction") }},
		{"garbage", func() error { return w.to(w.noise.Addr().String(), true) }, func() error { return w.to(w.redis.addr, true) }},
	}
}
