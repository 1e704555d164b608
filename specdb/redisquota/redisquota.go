// Package redisquota counts what callers ask for in Redis, for several services at once.
//
// It decides that counts are one round trip, when Redis is taken for gone, and how many services share it. It refuses to
// know who a caller is and how much they may have: those come as a name and some times. What is counted is a debt that
// runs off evenly; Redis keeps the moment at which it has, by its own clock, and forgets it then.
//
// Nobody waits twice in vain: the first count that fails, or a row of slow ones, ends the asking, and only a heartbeat in
// the background, once a second, begins it again. Meanwhile Count answers at once that nothing is known.
//
//	ledger := redisquota.Open(target.Options(), redisquota.Patience{}, log)
//	go ledger.Run(ctx)
//	answers := make([]redisquota.Answer, 1)
//	err := ledger.Count(ctx, []redisquota.Claim{{Caller: "a:192.0.2.1", Span: 50 * time.Millisecond, Window: time.Minute}}, answers)
package redisquota

import (
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"strings"
	"sync/atomic"
	"time"

	"github.com/redis/go-redis/v9"
)

// Times. slowRow slow counts in a row are as good as none.
const (
	dialTime = 100 * time.Millisecond
	waitTime = 50 * time.Millisecond
	slowTime = 10 * time.Millisecond
	slowRow  = 5
	beat     = time.Second
	silence  = 5 * time.Second // after which a service is no longer one of those that share

	connections = 4 // to each node: counts come one round trip after the other, and there is the heartbeat
)

// Names in Redis. One name holds one value, so that a Cluster spreads callers over its nodes.
const (
	prefix   = "endfloat:quota:"
	replicas = prefix + "replicas"
)

// ErrAway says that nothing is known of the count.
var ErrAway = errors.New("the shared count does not answer")

// Patience is how long Redis may take. The zero value is that of a service.
type Patience struct {
	Wait time.Duration // for one round trip, one heartbeat, a connection, before Redis is gone; 0: 50 ms
	Slow time.Duration // from which on an answer is slow; 0: 10 ms
}

// Ledger is the count. It is safe for concurrent use.
type Ledger struct {
	patience Patience

	client redis.UniversalClient
	log    *slog.Logger
	name   string // of this service among the others

	up     atomic.Bool
	loaded atomic.Bool // Redis was given the script
	slow   atomic.Int32
	shared atomic.Int64
	failed atomic.Uint64
}

// Open makes a ledger that asks nothing before Run does. It changes the times of o, and nothing else that o says.
func Open(o *redis.UniversalOptions, p Patience, log *slog.Logger) *Ledger {
	if p.Wait <= 0 {
		p.Wait = waitTime
	}
	if p.Slow <= 0 {
		p.Slow = slowTime
	}
	o.ContextTimeoutEnabled = true
	o.DialTimeout, o.ReadTimeout, o.WriteTimeout, o.PoolTimeout = max(dialTime, p.Wait), p.Wait, p.Wait, p.Wait
	o.MaxRetries, o.DialerRetries, o.PoolSize = -1, 1, connections
	o.DisableIdentity = true
	return &Ledger{patience: p, client: redis.NewUniversalClient(o), log: log, name: rand.Text()}
}

// Close ends every connection. Count answers ErrAway after it.
func (l *Ledger) Close() error {
	l.up.Store(false)
	return l.client.Close()
}

// Up reports whether Redis is asked at present.
func (l *Ledger) Up() bool { return l.up.Load() }

// Failed is how many counts and heartbeats Redis did not answer.
func (l *Ledger) Failed() uint64 { return l.failed.Load() }

// Replicas is how many services shared the count when Redis last said so; 0 when it never has.
func (l *Ledger) Replicas() int { return int(l.shared.Load()) }

// Claim is what is counted of one caller.
type Claim struct {
	Caller string
	Least  time.Duration // the debt is at least that
	Owed   time.Duration // is added to it whatever there is, up to two windows
	Span   time.Duration // is added unless the debt would grow over Window
	Window time.Duration
}

// Answer is what Redis says to a claim.
type Answer struct {
	Debt time.Duration // as it is then
	OK   bool          // Span was added
}

// Count makes claims in one round trip and gives as many answers. It gives up after Patience.Wait, whatever becomes of
// ctx; an error says that nothing is known, neither whether something was counted.
func (l *Ledger) Count(ctx context.Context, claims []Claim, answers []Answer) error {
	if !l.up.Load() {
		return ErrAway
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), l.patience.Wait) // whoever hangs up is no fault of Redis
	defer cancel()
	began := time.Now()
	if err := l.count(ctx, claims, answers); err != nil {
		l.lost(ctx, err)
		return ErrAway
	}
	if time.Since(began) < l.patience.Slow {
		l.slow.Store(0)
	} else if l.slow.Add(1) >= slowRow {
		l.lost(ctx, errors.New("it is slow"))
	}
	return nil
}

func (l *Ledger) count(ctx context.Context, claims []Claim, answers []Answer) error {
	pipe := l.client.Pipeline()
	said := make([]*redis.Cmd, len(claims))
	for i, c := range claims {
		said[i] = pipe.EvalSha(ctx, countSum, []string{prefix + c.Caller}, c.Least.Microseconds(), c.Owed.Microseconds(), c.Span.Microseconds(), c.Window.Microseconds())
	}
	if _, err := pipe.Exec(ctx); err != nil {
		return err
	}
	for i, s := range said {
		pair, err := s.Int64Slice()
		if err == nil && (len(pair) != 2 || pair[1] < 0 || pair[0] != 0 && pair[0] != 1) {
			err = errors.New("it answered what the script does not")
		}
		if err != nil {
			return err
		}
		answers[i] = Answer{time.Duration(pair[1]) * time.Microsecond, pair[0] == 1}
	}
	return nil
}

// lost ends the asking until a heartbeat is answered again.
func (l *Ledger) lost(ctx context.Context, why error) {
	l.failed.Add(1)
	l.slow.Store(0)
	l.loaded.Store(false) // it may come back as another one
	if l.up.Swap(false) {
		l.log.WarnContext(ctx, "redis does not count quotas; each service counts its part", slog.String("cause", cause(why)))
	}
}

// cause is the text of an error, short and without what a server may have put into it.
func cause(err error) string {
	var net interface{ Timeout() bool }
	switch {
	case errors.As(err, &net) && net.Timeout():
		return "it did not answer in time"
	case strings.HasPrefix(err.Error(), "OOM "):
		return "it has no memory left"
	case strings.HasPrefix(err.Error(), "NOPERM"), strings.HasPrefix(err.Error(), "NOAUTH"), strings.HasPrefix(err.Error(), "WRONGPASS"):
		return "it does not let this service in"
	}
	return strings.ToValidUTF8(err.Error()[:min(120, len(err.Error()))], "?")
}
