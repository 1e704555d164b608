package revocation_test

import (
	"bytes"
	"context"
	"log/slog"
	"strings"
	"testing"

	"github.com/alicebob/miniredis/v2"
	"github.com/alicebob/miniredis/v2/server"
	"github.com/google/go-cmp/cmp"
	"github.com/redis/go-redis/v9"

	"endfloat/specdb/revocation"
)

func open(t *testing.T, addr string) *revocation.List {
	t.Helper()
	l := revocation.Open(&redis.UniversalOptions{Addrs: []string{addr}})
	t.Cleanup(func() { _ = l.Close() })
	return l
}

func TestWhatOneAddsAnotherReads(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	one, other := open(t, m.Addr()), open(t, m.Addr())
	if ids, err := other.Read(t.Context()); err != nil || len(ids) != 0 {
		t.Fatalf("%v %v", ids, err)
	}
	for _, ids := range [][]string{{"bbbbbbbbbb"}, {"aaaaaaaaaa", "bbbbbbbbbb"}} {
		if err := one.Add(t.Context(), ids...); err != nil {
			t.Fatal(err)
		}
	}
	ids, err := other.Read(t.Context())
	if err != nil || cmp.Diff([]string{"aaaaaaaaaa", "bbbbbbbbbb"}, ids) != "" {
		t.Errorf("%v %v", ids, err)
	}
}

func TestFollowersHearOfItAndKeepItWhileRedisIsAway(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	l := open(t, m.Addr())
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	heard, ended := make(chan []string, 10), make(chan struct{})
	var log bytes.Buffer
	go func() {
		defer close(ended)
		l.Follow(ctx, func(ids []string) { heard <- ids }, slog.New(slog.NewTextHandler(&log, nil)))
	}()
	if err := l.Add(ctx, "aaaaaaaaaa"); err != nil {
		t.Fatal(err)
	}
	if got := <-heard; cmp.Diff([]string{"aaaaaaaaaa"}, got) != "" {
		t.Errorf("%v", got)
	}
	asked := make(chan bool, 100)
	m.Server().SetPreHook(func(p *server.Peer, _ string, _ ...string) bool {
		p.WriteError("LOADING Redis is loading the dataset in memory")
		asked <- true
		return true
	})
	for range 2 { // in vain
		select {
		case got := <-heard:
			t.Errorf("nothing is known, and yet %v", got)
		case <-asked:
		}
	}
	m.Server().SetPreHook(nil)
	if err := l.Add(ctx, "bbbbbbbbbb"); err != nil {
		t.Fatal(err)
	}
	if got := <-heard; cmp.Diff([]string{"aaaaaaaaaa", "bbbbbbbbbb"}, got) != "" {
		t.Errorf("%v", got)
	}
	stop()
	<-ended
	if strings.Count(log.String(), "WARN") != 1 || strings.Count(log.String(), "says again") != 1 {
		t.Errorf("%s", &log)
	}
}
