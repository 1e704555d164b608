// Package redisquota counts what callers ask for in Redis, for several services at once.
//
// It decides that a count is one round trip, when Redis is taken for gone, and how many services share it. It refuses to
// know who a caller is and how much they may have: those come as a name and two times. What is counted is a debt that
// runs off evenly; Redis keeps the moment at which it has, by its own clock, and forgets it then.
//
// Nobody waits twice in vain: the first count that fails, or a row of slow ones, ends the asking, and only a heartbeat in
// the background, once a second, begins it again. Meanwhile Take answers at once that nothing is known.
//
//	ledger := redisquota.Open(target.Options(), redisquota.Patience{}, log)
//	go ledger.Run(ctx)
//	debt, ok, err := ledger.Take(ctx, "a:192.0.2.1", 50*time.Millisecond, time.Minute)
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
	slowTake = 10 * time.Millisecond
	slowRow  = 5
	beat     = time.Second
	silence  = 5 * time.Second // after which a service is no longer one of those that share

	connections = 64 // at most, to each node
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
	Wait time.Duration // for one count, one heartbeat, a connection, before Redis is gone; 0: 50 ms
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
		p.Slow = slowTake
	}
	o.ContextTimeoutEnabled = true
	o.DialTimeout, o.ReadTimeout, o.WriteTimeout, o.PoolTimeout = max(dialTime, p.Wait), p.Wait, p.Wait, p.Wait
	o.MaxRetries, o.DialerRetries, o.PoolSize = -1, 1, connections
	o.DisableIdentity = true
	return &Ledger{patience: p, client: redis.NewUniversalClient(o), log: log, name: rand.Text()}
}

// Close ends every connection. Take answers ErrAway after it.
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

// Take adds span to the debt of a caller unless it would grow over window, and gives the debt as it is then. It asks Redis
// once at most and gives up after Patience.Wait; ErrAway says that nothing is known.
func (l *Ledger) Take(ctx context.Context, caller string, span, window time.Duration) (debt time.Duration, ok bool, err error) {
	if !l.up.Load() {
		return 0, false, ErrAway
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), l.patience.Wait) // a caller who hangs up is no fault of Redis
	defer cancel()
	began := time.Now()
	answer, err := l.client.EvalSha(ctx, takeSum, []string{prefix + caller}, span.Microseconds(), window.Microseconds()).Int64Slice()
	if err == nil && (len(answer) != 2 || answer[1] < 0 || answer[0] != 0 && answer[0] != 1) {
		err = errors.New("it answered what the script does not")
	}
	if err != nil {
		l.lost(ctx, err)
		return 0, false, ErrAway
	}
	if time.Since(began) < l.patience.Slow {
		l.slow.Store(0)
	} else if l.slow.Add(1) >= slowRow {
		l.lost(ctx, errors.New("it is slow"))
	}
	return time.Duration(answer[1]) * time.Microsecond, answer[0] == 1, nil
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
