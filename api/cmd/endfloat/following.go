package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"sync"
	"time"

	"endfloat/api/metrics"
	"endfloat/specdb"
	"endfloat/specdb/redislink"
	"endfloat/specdb/redisstore"
	"endfloat/specdb/snapshot"
)

// stale is how long Redis may say nothing before that is worth a warning: polls come every few seconds.
const stale = 3 * redisstore.DefaultEvery

// following keeps the catalogue the same as the one that is published in Redis.
type following struct {
	follower *redisstore.Follower
	shared   *redisstore.Store
	store    *specdb.Store
	first    snapshot.Content
	copies   *os.Root // nil: none
	began    time.Time
	log      *slog.Logger
}

// openShared opens what is published in Redis, else the last good copy in the archive, else what cfg names without Redis.
// Errors: a catalogue or an archive that cannot be used; none for a Redis that is away.
func openShared(ctx context.Context, cfg *config, log *slog.Logger) (*specdb.Store, *following, error) {
	redislink.Quiet(log)
	f := &following{shared: redisstore.Open(cfg.redis), began: time.Now(), log: log}
	if cfg.archive != "" {
		var err error
		if f.copies, err = os.OpenRoot(cfg.archive); err != nil {
			return nil, nil, fmt.Errorf("archive: %w", err)
		}
	}
	f.follower = redisstore.Follow(f.shared, redisstore.Following{Trusted: cfg.publisher, Copy: f.copies, Told: f.told})
	var store *specdb.Store
	var err error
	if f.first, err = f.follower.First(ctx); err == nil {
		store, err = specdb.Hold(f.first, specdb.Options{Archive: cfg.archive})
	} else {
		log.Warn("what is published cannot be had", slog.Any("redis", cfg.redis), slog.String("cause", err.Error()))
		store, err = instead(cfg)
	}
	if err != nil {
		f.close()
		return nil, nil, err
	}
	log.Info("following", slog.Any("redis", cfg.redis), slog.String("begins_with", source(f.follower.State())), slog.Int("publisher_keys", len(cfg.publisher)))
	f.store = store
	return store, f, nil
}

// instead is what serves until something published can be had.
func instead(cfg *config) (*specdb.Store, error) {
	if cfg.catalogue == "" {
		return specdb.EmbeddedWith(specdb.Options{Archive: cfg.archive})
	}
	content, err := specdb.ReadPath(cfg.catalogue, nil)
	if err != nil {
		return nil, err
	}
	return specdb.Hold(content, specdb.Options{Archive: cfg.archive})
}

// close ends the use of Redis and of the disk; that of nothing ends nothing.
func (f *following) close() {
	if f == nil {
		return
	}
	_ = f.shared.Close() // nothing is under way by then
	if f.copies != nil {
		_ = f.copies.Close() // nothing is written by then
	}
}

// run follows until ctx ends, and polls whenever somebody asks.
func (f *following) run(ctx context.Context, asked <-chan os.Signal) {
	var all sync.WaitGroup
	defer all.Wait()
	all.Go(func() { f.follower.Run(ctx, f.store, f.first) })
	for {
		select {
		case <-ctx.Done():
			return
		case <-asked:
			f.log.Info("asking Redis")
			f.follower.Ask()
		}
	}
}

func (f *following) told(e redisstore.Event) {
	attrs := []any{slog.String("revision", e.Revision)}
	if e.Err != nil {
		attrs = append(attrs, slog.String("cause", e.Err.Error()))
	}
	switch e.What {
	case redisstore.Staged:
		f.log.Info("a staged revision is ready", attrs...)
	case redisstore.Swapped:
		paceCollector(len(f.store.Current().SpecKeys()))
		f.log.Info("another revision is in use", attrs...)
	case redisstore.Refused:
		f.log.Error("a published revision is refused; the one in use stays", attrs...)
	case redisstore.Away:
		f.log.Warn("Redis does not answer; the revision in use stays", attrs...)
	case redisstore.Back:
		f.log.Info("Redis answers again", attrs...)
	case redisstore.NoCopy:
		f.log.Error("the last good copy could not be written", attrs...)
	}
}

// source says where the revision in use came from.
func source(s redisstore.State) string {
	switch s.Source {
	case redisstore.Redis:
		return "redis"
	case redisstore.Copy:
		return "copy"
	}
	return "own"
}

// warnings are what /readyz says about it.
func (f *following) warnings() []string {
	s := f.follower.State()
	all := []string{}
	switch {
	case errors.Is(s.Err, redisstore.ErrNothing) || s.Empty:
		all = append(all, "No revision is published in Redis.")
	case s.Err != nil:
		all = append(all, "What is published in Redis cannot be used; the revision in use stays: "+s.Err.Error())
	case time.Since(f.heard(s)) > stale:
		all = append(all, fmt.Sprintf("Redis has not answered for %v; the revision in use stays.", time.Since(f.heard(s)).Round(time.Second)))
	}
	switch s.Source {
	case redisstore.Copy:
		all = append(all, "The last good copy on disk serves.")
	case redisstore.Other:
		all = append(all, "The service's own catalogue serves, not a published one.")
	}
	if s.Err == nil && s.BeatErr != nil {
		all = append(all, "Publishers cannot be told what is ready here: "+s.BeatErr.Error())
	}
	if s.CopyErr != nil {
		all = append(all, "The last good copy could not be written: "+s.CopyErr.Error())
	}
	return all
}

// heard is when Redis answered last, or when the wait for it began.
func (f *following) heard(s redisstore.State) time.Time {
	if s.Polled.IsZero() {
		return f.began
	}
	return s.Polled
}

// counted shows it to whoever counts.
func (f *following) counted(set *metrics.Set) {
	if f == nil {
		return
	}
	state := f.follower.State
	set.Gauge("catalogue_redis_up", "1 while Redis answers and what is published there can be used.", func() float64 {
		if state().Err == nil {
			return 1
		}
		return 0
	})
	set.Gauge("catalogue_redis_silent_seconds", "Since Redis answered last.", func() float64 { return time.Since(f.heard(state())).Seconds() })
	set.Gauge("catalogue_redis_sequence", "Moves of the pointer, as it was read last.", func() float64 { return float64(state().Sequence) })
	set.Counter("catalogue_redis_swaps_total", "Published revisions put in use.", func() float64 { return float64(state().Swaps) })
	set.Counter("catalogue_redis_refused_total", "Published revisions refused.", func() float64 { return float64(state().Refusals) })
	for _, s := range []string{"redis", "copy", "own"} {
		set.Gauge("catalogue_source", "Where the revision in use came from.", func() float64 {
			if source(state()) == s {
				return 1
			}
			return 0
		}, metrics.Label{Name: "source", Value: s})
	}
}
