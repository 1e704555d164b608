package redisquota_test

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/alicebob/miniredis/v2"
	"github.com/alicebob/miniredis/v2/server"
	"github.com/redis/go-redis/v9"

	"endfloat/specdb/redisquota"
)

func ledger(t *testing.T, addr string, log *bytes.Buffer) *redisquota.Ledger {
	t.Helper()
	l := redisquota.Open(&redis.UniversalOptions{Addrs: []string{addr}}, redisquota.Patience{Wait: time.Minute, Slow: time.Minute}, slog.New(slog.NewTextHandler(log, nil)))
	t.Cleanup(func() { _ = l.Close() })
	return l
}

// take makes one claim on a caller.
func take(ctx context.Context, l *redisquota.Ledger, caller string, span, window time.Duration) (debt time.Duration, ok bool, err error) {
	answers := make([]redisquota.Answer, 1)
	err = l.Count(ctx, []redisquota.Claim{{Caller: caller, Span: span, Window: window}}, answers)
	return answers[0].Debt, answers[0].OK, err
}

// begin sends heartbeats until one is quick enough: the first may wait for a connection.
func begin(t *testing.T, l *redisquota.Ledger) {
	t.Helper()
	for range 100 {
		failed := l.Failed()
		if l.Beat(t.Context()); l.Up() && l.Failed() == failed {
			return
		}
	}
	t.Fatal("no heartbeat of 100 was quick enough")
}

func TestADebtRunsOffByTheClockOfRedis(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	now := time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC)
	m.SetTime(now)
	var log bytes.Buffer
	l := ledger(t, m.Addr(), &log)
	if _, _, err := take(t.Context(), l, "a:192.0.2.1", time.Second, time.Minute); !errors.Is(err, redisquota.ErrAway) || l.Up() {
		t.Fatalf("nothing is asked before the first heartbeat: %v", err)
	}
	begin(t, l)
	if l.Replicas() != 1 {
		t.Fatalf("up %v, %d replicas\n%s", l.Up(), l.Replicas(), &log)
	}
	for _, row := range []struct {
		name   string
		after  time.Duration
		caller string
		span   time.Duration
		debt   time.Duration
		ok     bool
	}{
		{"first", 0, "a:192.0.2.1", 40 * time.Second, 40 * time.Second, true},
		{"one microsecond too much", 0, "a:192.0.2.1", 20*time.Second + time.Microsecond, 40 * time.Second, false},
		{"exactly the rest", 0, "a:192.0.2.1", 20 * time.Second, time.Minute, true},
		{"nothing left", 0, "a:192.0.2.1", time.Microsecond, time.Minute, false},
		{"somebody else", 0, "a:192.0.2.2", time.Second, time.Second, true},
		{"when it has run off a little", time.Second, "a:192.0.2.1", time.Second, time.Minute, true},
		{"nothing costs nothing", 0, "k:dealer", 0, 0, true},
		{"long after", time.Hour, "a:192.0.2.1", time.Second, time.Second, true},
	} {
		now = now.Add(row.after)
		m.SetTime(now)
		debt, ok, err := take(t.Context(), l, row.caller, row.span, time.Minute)
		if err != nil || debt != row.debt || ok != row.ok {
			t.Errorf("%s: %v %v %v", row.name, debt, ok, err)
		}
	}
	if ttl := m.TTL("endfloat:quota:a:192.0.2.1"); ttl <= 0 || ttl > time.Minute+time.Second {
		t.Errorf("it is kept for %v", ttl)
	}
}

// Claims come with what is known and what is owed; those of one round trip are made one after the other.
func TestWhatIsOwedIsAddedWhateverThereIs(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	m.SetTime(time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC))
	l := ledger(t, m.Addr(), &bytes.Buffer{})
	begin(t, l)
	const window = time.Minute
	rows := []struct {
		name  string
		claim redisquota.Claim
		want  redisquota.Answer
	}{
		{"nothing is known of anybody", redisquota.Claim{Caller: "a"}, redisquota.Answer{Debt: 0, OK: true}},
		{"at least what is known", redisquota.Claim{Caller: "a", Least: 10 * time.Second}, redisquota.Answer{Debt: 10 * time.Second, OK: true}},
		{"the same again changes nothing", redisquota.Claim{Caller: "a", Least: 10 * time.Second}, redisquota.Answer{Debt: 10 * time.Second, OK: true}},
		{"less is known", redisquota.Claim{Caller: "a", Least: time.Second, Owed: 20 * time.Second}, redisquota.Answer{Debt: 30 * time.Second, OK: true}},
		{"exactly the rest", redisquota.Claim{Caller: "a", Owed: 10 * time.Second, Span: 20 * time.Second}, redisquota.Answer{Debt: time.Minute, OK: true}},
		{"over the limit, and refused", redisquota.Claim{Caller: "a", Owed: 15 * time.Second, Span: time.Second}, redisquota.Answer{Debt: 75 * time.Second}},
		{"two windows at most", redisquota.Claim{Caller: "a", Owed: time.Hour}, redisquota.Answer{Debt: 2 * time.Minute}},
		{"somebody else", redisquota.Claim{Caller: "b", Least: time.Second, Owed: time.Second, Span: time.Second}, redisquota.Answer{Debt: 3 * time.Second, OK: true}},
	}
	claims, answers := make([]redisquota.Claim, len(rows)), make([]redisquota.Answer, len(rows))
	for i, row := range rows {
		claims[i] = row.claim
		claims[i].Window = window
	}
	if err := l.Count(t.Context(), claims, answers); err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		if answers[i] != row.want {
			t.Errorf("%s: %+v", row.name, answers[i])
		}
	}
}

func TestWhatStandsThereAlreadyIsPutRight(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	l := ledger(t, m.Addr(), &bytes.Buffer{})
	begin(t, l)
	for value, debt := range map[string]time.Duration{"garbage": time.Second, "-5": time.Second, "": time.Second, "9999999999999999": 2 * time.Minute} {
		if err := m.Set("endfloat:quota:k:x", value); err != nil {
			t.Fatal(err)
		}
		got, ok, err := take(t.Context(), l, "k:x", time.Second, time.Minute)
		if err != nil || got != debt || ok != (debt < time.Minute) {
			t.Errorf("%q: %v %v %v", value, got, ok, err)
		}
	}
}

func TestServicesCountEachOther(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	now := time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC)
	m.SetTime(now)
	var all []*redisquota.Ledger
	for range 3 {
		all = append(all, ledger(t, m.Addr(), &bytes.Buffer{}))
	}
	for range 2 { // the last of the first round is the first to know
		for _, l := range all {
			begin(t, l)
		}
	}
	for _, l := range all {
		if l.Replicas() != 3 {
			t.Errorf("%d", l.Replicas())
		}
	}
	m.SetTime(now.Add(6 * time.Second))
	begin(t, all[0])
	if n := all[0].Replicas(); n != 1 {
		t.Errorf("two are silent, and yet %d", n)
	}
}

func TestOneFaultEndsTheAskingAndAHeartbeatBeginsItAgain(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, fault, logged string }{
		{"out of memory", "OOM command not allowed when used memory > 'maxmemory'.", "no memory left"},
		{"not let in", "NOAUTH Authentication required.", "does not let this service in"},
		{"loading", "LOADING Redis is loading the dataset in memory", "LOADING"},
		{"started anew", "NOSCRIPT No matching script. Please use EVAL.", "NOSCRIPT"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			m := miniredis.RunT(t)
			var log bytes.Buffer
			l := ledger(t, m.Addr(), &log)
			begin(t, l)
			failed := l.Failed()
			var asked atomic.Int64
			m.Server().SetPreHook(func(p *server.Peer, cmd string, _ ...string) bool {
				if cmd == "EVALSHA" {
					asked.Add(1)
				}
				p.WriteError(row.fault)
				return true
			})
			for i := range 50 {
				if _, ok, err := take(t.Context(), l, "k:x", time.Second, time.Minute); err == nil || ok {
					t.Fatalf("count %d: %v %v", i, ok, err)
				}
			}
			if n := asked.Load(); n != 1 {
				t.Errorf("Redis was asked %d times", n)
			}
			l.Beat(t.Context())
			if l.Up() || !strings.Contains(log.String(), row.logged) || strings.Count(log.String(), "WARN") != 1 || l.Failed() != failed+2 {
				t.Errorf("up %v, %d failed\n%s", l.Up(), l.Failed(), &log)
			}
			m.Server().SetPreHook(nil)
			begin(t, l)
			if _, ok, err := take(t.Context(), l, "k:x", time.Second, time.Minute); err != nil || !ok {
				t.Errorf("back again: %v %v", ok, err)
			}
		})
	}
}

func TestACallerWhoHangsUpIsNoFaultOfRedis(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	l := ledger(t, m.Addr(), &bytes.Buffer{})
	begin(t, l)
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	if _, ok, err := take(gone, l, "k:x", time.Second, time.Minute); err != nil || !ok || !l.Up() {
		t.Errorf("%v %v, up %v", ok, err, l.Up())
	}
}

func TestAServerThatIsNotThere(t *testing.T) {
	t.Parallel()
	m := miniredis.RunT(t)
	addr := m.Addr()
	m.Close()
	var log bytes.Buffer
	l := ledger(t, addr, &log)
	l.Beat(t.Context())
	if l.Up() || l.Replicas() != 0 || l.Failed() != 1 {
		t.Errorf("up %v, %d replicas, %d failed\n%s", l.Up(), l.Replicas(), l.Failed(), &log)
	}
}
