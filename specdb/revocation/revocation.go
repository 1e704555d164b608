// Package revocation tells every service within seconds which keys of callers were revoked, by a set in Redis.
//
// It decides where the set is and how often it is read. It can only take away: keys are granted by files alone, so that
// whoever can write to Redis can issue none. While Redis is away what was last read stands. It refuses to know what a key
// is.
//
//	list := revocation.Open(target.Options())
//	err := list.Add(ctx, "abcdefghij")
//	list.Follow(ctx, store.Withdraw, log)
package revocation

import (
	"context"
	"fmt"
	"log/slog"
	"slices"
	"time"

	"github.com/redis/go-redis/v9"
)

const (
	name    = "endfloat:keys:revoked"
	patient = time.Second // with one question
	every   = time.Second
	most    = 100_000 // ids that are read
)

// List is the set. It is safe for concurrent use.
type List struct{ client redis.UniversalClient }

// Open asks nothing yet. It changes the times of o, and nothing else that o says.
func Open(o *redis.UniversalOptions) *List {
	o.ContextTimeoutEnabled, o.DisableIdentity = true, true
	o.DialTimeout, o.ReadTimeout, o.WriteTimeout, o.PoolTimeout = patient, patient, patient, patient
	o.MaxRetries, o.DialerRetries, o.PoolSize = -1, 1, 2
	return &List{redis.NewUniversalClient(o)}
}

// Close ends every connection.
func (l *List) Close() error { return l.client.Close() }

// Add revokes keys everywhere.
func (l *List) Add(ctx context.Context, ids ...string) error {
	ctx, cancel := context.WithTimeout(ctx, patient)
	defer cancel()
	all := make([]any, len(ids))
	for i, id := range ids {
		all[i] = id
	}
	return l.client.SAdd(ctx, name, all...).Err()
}

// Read is every id that was revoked, sorted.
func (l *List) Read(ctx context.Context) ([]string, error) {
	ctx, cancel := context.WithTimeout(ctx, patient)
	defer cancel()
	n, err := l.client.SCard(ctx, name).Result()
	if err != nil {
		return nil, err
	}
	if n > most {
		return nil, fmt.Errorf("%d ids were revoked, %d at most are read", n, most)
	}
	ids, err := l.client.SMembers(ctx, name).Result()
	slices.Sort(ids)
	return ids, err
}

// Follow reads the list at once and every second until ctx ends, and calls use whenever it is another one. It says once
// when Redis stops to answer and once when it answers again.
func (l *List) Follow(ctx context.Context, use func([]string), log *slog.Logger) {
	tick := time.NewTicker(every)
	defer tick.Stop()
	var had []string
	away := false
	for {
		ids, err := l.Read(ctx)
		switch {
		case ctx.Err() != nil:
			return
		case err != nil && !away:
			log.WarnContext(ctx, "redis does not say which keys were revoked; what it said before stands", slog.String("cause", err.Error()))
		case err == nil && away:
			log.InfoContext(ctx, "redis says again which keys were revoked")
		}
		if away = err != nil; !away && !slices.Equal(ids, had) {
			use(ids)
			had = ids
		}
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}
