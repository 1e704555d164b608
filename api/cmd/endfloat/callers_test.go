package main

import (
	"bytes"
	"context"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/alicebob/miniredis/v2"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/api"
	"endfloat/api/quota"
	"endfloat/service/spec"
	"endfloat/specdb/keyfile"
	"endfloat/specdb/redislink"
	"endfloat/specdb/redisquota"
)

func TestAKeyOfTheFileBringsItsQuotaAndPolicy(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	plain, _ := issues(t, file, "--name", "plain")
	strict, _ := issues(t, file, "--name", "dealer", "--quota", "100/1m", "--policy", "strict", "--rule", "guarded", "--guard", "U", "--min-probability", "0.99", "--require-uncertainty")
	free, _ := issues(t, file, "--name", "friend", "--quota", "off", "--policy", "loose", "--rule", "simple")
	c, err := openCallers(&config{calling: calling{keys: file}}, slog.New(slog.DiscardHandler), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer c.close()
	for secret, want := range map[string]api.Key{
		plain: {Name: "plain"},
		strict: {Name: "dealer", Quota: quota.Quota{Units: 100, Window: time.Minute}, Policy: &spec.JudgePolicy{Name: "strict", Rule: "guarded", Guard: "U",
			MinProbability: 0.99, HasMinProbability: true, RequireUncertainty: true}},
		free: {Name: "friend", Quota: quota.None(), Policy: &spec.JudgePolicy{Name: "loose", Rule: "simple"}},
	} {
		got, ok := c.known().Find(secret)
		if diff := cmp.Diff(want, got); !ok || diff != "" {
			t.Errorf("%s %v (-want +got)\n%s", want.Name, ok, diff)
		}
	}
	if _, ok := c.known().Find("ef_none"); ok {
		t.Error("a key that was never issued")
	}
}

// Nothing but the signal asks here: no time passes, so that the file is never looked at by itself.
func TestKeysAreReadAgainOnSIGHUP(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		file := filepath.Join(t.TempDir(), "keys.json")
		first, id := issues(t, file, "--name", "dealer")
		var said bytes.Buffer
		store, err := keyfile.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		c := &callers{keys: store, asked: make(chan os.Signal, 1), cfg: &calling{keys: file}, log: slog.New(slog.NewTextHandler(&said, nil))}
		ctx, cancel := context.WithCancel(t.Context())
		var keeping sync.WaitGroup
		keeping.Go(func() { c.keep(ctx) })
		defer keeping.Wait()
		defer cancel()
		hangUp := func() {
			c.asked <- syscall.SIGHUP
			synctest.Wait()
		}
		good := func(secret string) bool {
			_, ok := c.known().Find(secret)
			return ok
		}
		second, _ := issues(t, file, "--replaces", id)
		if good(second) {
			t.Error("it was read before anybody asked")
		}
		if hangUp(); !good(first) || !good(second) || !strings.Contains(said.String(), "keys were read again") {
			t.Errorf("first %v, second %v\n%s", good(first), good(second), &said)
		}
		sound, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, garbage := range []string{"", "\x00\xff", `{"keys":`, `{"keys":null}`, `{"keys":[{"id":"x"}]}`, string(sound) + "x"} {
			if err := os.WriteFile(file, []byte(garbage), 0o600); err != nil {
				t.Fatal(err)
			}
			if hangUp(); !good(first) || !good(second) || len(c.warnings()) != 1 {
				t.Errorf("%q: first %v, second %v, %q", garbage, good(first), good(second), c.warnings())
			}
		}
		if err := os.WriteFile(file, []byte(`{"keys":[]}`), 0o600); err != nil {
			t.Fatal(err)
		}
		if hangUp(); good(first) || good(second) || len(c.warnings()) != 0 {
			t.Errorf("all are gone: first %v, second %v, %q", good(first), good(second), c.warnings())
		}
	})
}

func TestWhatIsOpenedForCallers(t *testing.T) {
	t.Parallel()
	target, err := redislink.Parse("redis://127.0.0.1:1")
	if err != nil {
		t.Fatal(err)
	}
	limited := quota.Quota{Units: 1, Window: time.Minute}
	for _, row := range []struct {
		name                     string
		cfg                      config
		keys, limits, shared, rv bool
	}{
		{"nothing", config{}, false, false, false, false},
		{"all off, with Redis", config{redis: target, calling: calling{perAddress: quota.None(), perKey: limited}}, false, false, false, false},
		{"a quota", config{calling: calling{perAddress: limited}}, false, true, false, false},
		{"a quota with Redis", config{redis: target, calling: calling{perAddress: limited}}, false, true, true, false},
		{"look-ups alone, with Redis", config{redis: target, calling: calling{perAddress: quota.None(), lookUps: limited}}, false, true, false, false},
		{"keys with Redis", config{redis: target, calling: calling{keys: "x"}}, true, true, true, true},
	} {
		if row.keys {
			row.cfg.calling.keys = filepath.Join(t.TempDir(), "keys.json")
			issues(t, row.cfg.calling.keys, "--name", "dealer")
		}
		c, err := openCallers(&row.cfg, slog.New(slog.DiscardHandler), nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := [4]bool{c.known() != nil, c.limiter != nil, c.ledger != nil, c.revoked != nil}; got != [4]bool{row.keys, row.limits, row.shared, row.rv} {
			t.Errorf("%s: %v", row.name, got)
		}
		if warns := len(c.warnings()) > 0; warns != row.shared {
			t.Errorf("%s: %q", row.name, c.warnings())
		}
		c.close()
	}
	if _, err := openCallers(&config{calling: calling{keys: filepath.Join(t.TempDir(), "none")}}, slog.New(slog.DiscardHandler), nil); err == nil || !strings.HasPrefix(err.Error(), "keys: ") {
		t.Errorf("a file that is not there: %v", err)
	}
}

// What Redis counts and what a service counts by itself come out the same.
func TestBothCountsAgree(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	now := time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC)
	m.SetTime(now)
	var log bytes.Buffer
	target, err := redislink.Parse("redis://" + m.Addr())
	if err != nil {
		t.Fatal(err)
	}
	ledger := redisquota.Open(target.Options(), redisquota.Patience{Wait: time.Minute, Slow: time.Minute}, slog.New(slog.NewTextHandler(&log, nil)))
	defer ledger.Close()
	round := 0
	rapid.Check(t, func(rt *rapid.T) {
		for range 100 {
			if ledger.Up() {
				break
			}
			ledger.Beat(t.Context())
		}
		round++
		q := quota.Quota{Units: rapid.Int64Range(1, 1000).Draw(rt, "units"), Window: time.Duration(rapid.Int64Range(1, 24).Draw(rt, "hours")) * time.Hour}
		shared, alone := quota.New(quota.Options{Shared: joint{ledger}, Wait: time.Minute}), quota.New(quota.Options{})
		ctx, cancel := context.WithCancel(t.Context())
		var running sync.WaitGroup
		running.Go(func() { shared.Run(ctx) })
		defer running.Wait()
		defer cancel()
		for i, cost := range rapid.SliceOfN(rapid.Int64Range(0, q.Units+1), 1, 20).Draw(rt, "costs") {
			owner := strings.Repeat("k", round)
			a, b := shared.Charge(shared.Key(owner, q), cost), alone.Charge(alone.Key(owner, q), cost)
			if a.Allowed != b.Allowed || a.Remaining != b.Remaining || (a.Retry-b.Retry).Abs() > 3*time.Second { // the clock of Redis stands still here
				rt.Fatalf("%d: %s, step %d of cost %d: shared %+v, alone %+v\n%s", round, q, i, cost, a, b, &log)
			}
		}
	})
}
