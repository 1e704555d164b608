package redisstore_test

import (
	"context"
	"net"
	"slices"
	"sync"
	"testing"
	"time"

	"endfloat/specdb"
	"endfloat/specdb/redisstore"
)

// follower is one that runs, with what it holds and what it told.
type follower struct {
	*redisstore.Follower
	held   *specdb.Store
	lock   sync.Mutex
	events []redisstore.Event
	ended  chan struct{}
	end    context.CancelFunc
}

func (f *follower) told(what redisstore.What) []redisstore.Event {
	f.lock.Lock()
	defer f.lock.Unlock()
	return slices.DeleteFunc(slices.Clone(f.events), func(e redisstore.Event) bool { return e.What != what })
}

// await polls a condition; it fails the test where that does not come true.
func await(t testing.TB, what string, ok func() bool) {
	t.Helper()
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	for until := time.Now().Add(patience); !ok(); <-tick.C {
		if time.Now().After(until) {
			t.Fatalf("%s did not come", what)
		}
	}
}

// follow starts a follower. Without anything to start with it serves the demo.
func follow(t testing.TB, addr string, how redisstore.Following) *follower {
	t.Helper()
	f := &follower{ended: make(chan struct{})}
	how.Told = func(e redisstore.Event) {
		f.lock.Lock()
		defer f.lock.Unlock()
		f.events = append(f.events, e)
	}
	if how.Every == 0 {
		how.Every = 20 * time.Millisecond
	}
	f.Follower = redisstore.Follow(open(t, addr), how)
	first, err := f.First(t.Context())
	if err == nil {
		f.held, err = specdb.Hold(first, specdb.Options{})
	} else {
		f.held, err = specdb.Embedded()
	}
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	f.end = cancel
	go func() {
		defer close(f.ended)
		f.Run(ctx, f.held, first)
	}()
	t.Cleanup(func() {
		cancel()
		<-f.ended
	})
	return f
}

func (f *follower) awaits(t testing.TB, name string) {
	t.Helper()
	await(t, name, func() bool { return f.held.Current().Name == name })
}

// hung is the address of something that takes connections and never says a word.
func hung(t testing.TB) string {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	var open []net.Conn
	go func() {
		defer close(ended)
		for {
			c, err := ln.Accept()
			if err != nil {
				return
			}
			open = append(open, c)
		}
	}()
	t.Cleanup(func() {
		_ = ln.Close()
		<-ended
		for _, c := range open {
			_ = c.Close()
		}
	})
	return ln.Addr().String()
}
