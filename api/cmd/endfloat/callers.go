package main

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"sync"
	"syscall"

	"endfloat/api"
	"endfloat/api/metrics"
	"endfloat/api/quota"
	"endfloat/service/spec"
	"endfloat/specdb/keyfile"
	"endfloat/specdb/redisquota"
	"endfloat/specdb/revocation"
)

// callers is who may ask, and how much: keys from their file, quotas, and what is shared through Redis.
type callers struct {
	keys    *keyfile.Store     // nil: none
	limiter *quota.Limiter     // nil: nothing is counted
	ledger  *redisquota.Ledger // nil: nothing is counted together
	revoked *revocation.List   // nil: the file alone says
	asked   chan os.Signal
	cfg     *calling
	log     *slog.Logger
}

// openCallers reads the file of keys and makes the limiter. Errors: a file that cannot be used. Redis is not asked yet.
func openCallers(cfg *config, log *slog.Logger, counted *metrics.Set) (*callers, error) {
	c := &callers{log: log, cfg: &cfg.calling, asked: make(chan os.Signal, 1)}
	if cfg.calling.keys != "" {
		store, err := keyfile.Open(cfg.calling.keys)
		if err != nil {
			return nil, fmt.Errorf("keys: %w", err)
		}
		c.keys = store
		signal.Notify(c.asked, syscall.SIGHUP)
		if !cfg.redis.IsZero() {
			c.revoked = revocation.Open(cfg.redis.Options())
		}
	}
	if !cfg.calling.counted() {
		return c, nil
	}
	o := quota.Options{Address: cfg.perAddress, Key: cfg.perKey, LookUp: cfg.lookUps}
	if !cfg.redis.IsZero() && cfg.calling.shared() {
		c.ledger = redisquota.Open(cfg.redis.Options(), redisquota.Patience{}, log)
		o.Shared = joint{c.ledger}
	}
	c.limiter = quota.New(o)
	c.show(counted)
	return c, nil
}

// show lets whoever measures read what is counted.
func (c *callers) show(to *metrics.Set) {
	count := func(name, help string, read func(quota.Counts) uint64) {
		to.Counter(name, help, func() float64 { return float64(read(c.limiter.Counts())) })
	}
	count("quota_allowed_total", "Questions that the quota let through.", func(q quota.Counts) uint64 { return q.Allowed })
	count("quota_refused_total", "Questions that were over the quota.", func(q quota.Counts) uint64 { return q.Refused })
	count("quota_waited_total", "Questions that waited for Redis to count them.", func(q quota.Counts) uint64 { return q.Waited })
	count("quota_alone_total", "Questions that this service counted by itself because Redis did not.", func(q quota.Counts) uint64 { return q.Alone })
	count("quota_spared_total", "Questions that were refused without asking Redis again.", func(q quota.Counts) uint64 { return q.Spared })
	count("quota_lookups_refused_total", "Look-ups that were over the quota.", func(q quota.Counts) uint64 { return q.LookUpsRefused })
	to.Gauge("quota_callers", "Callers whose count this service holds.", func() float64 { return float64(c.limiter.Counts().Callers) })
	if c.ledger == nil {
		return
	}
	to.Gauge("quota_redis_up", "1 while Redis counts quotas.", func() float64 {
		if c.ledger.Up() {
			return 1
		}
		return 0
	})
	to.Gauge("quota_replicas", "Services that share the quota, as Redis last said.", func() float64 { return float64(c.ledger.Replicas()) })
	to.Counter("quota_redis_failed_total", "Counts and heartbeats that Redis did not answer.", func() float64 { return float64(c.ledger.Failed()) })
}

// keep reads keys again when their file changes or somebody asks for it, follows what is revoked elsewhere, and keeps in
// touch with Redis, until ctx ends.
func (c *callers) keep(ctx context.Context) {
	c.log.Info("callers", slog.String("keys_file", c.cfg.keys), slog.String("quota", c.cfg.perAddress.String()), slog.String("key_quota", c.cfg.perKey.String()),
		slog.String("lookup_quota", c.cfg.lookUps.String()), slog.Bool("shared", c.ledger != nil))
	var all sync.WaitGroup
	defer all.Wait()
	if c.ledger != nil {
		all.Go(func() { c.ledger.Run(ctx) })
		all.Go(func() { c.limiter.Run(ctx) })
	}
	if c.revoked != nil {
		all.Go(func() { c.revoked.Follow(ctx, c.withdraw, c.log) })
	}
	if c.keys == nil {
		return
	}
	all.Go(func() { c.keys.Watch(ctx, every, c.told) })
	for {
		select {
		case <-ctx.Done():
			return
		case <-c.asked:
			_, err := c.keys.Reload()
			c.told(err)
		}
	}
}

func (c *callers) told(err error) {
	if err != nil {
		c.log.Error("the file of keys cannot be used; the keys before it stay", slog.String("cause", err.Error()))
		return
	}
	c.log.Info("keys were read again", slog.Int("keys", c.keys.Len()))
}

func (c *callers) withdraw(ids []string) {
	c.keys.Withdraw(ids)
	c.log.Info("keys are revoked by redis", slog.Int("ids", len(ids)))
}

func (c *callers) close() {
	signal.Stop(c.asked)
	if c.ledger != nil {
		_ = c.ledger.Close() // nothing is asked any more
	}
	if c.revoked != nil {
		_ = c.revoked.Close() // nothing is asked any more
	}
}

// warnings are what is wrong although the service is ready.
func (c *callers) warnings() []string {
	var list []string
	if c.keys != nil && c.keys.Err() != nil {
		list = append(list, "The file of keys cannot be used; the keys before it stay in use: "+c.keys.Err().Error())
	}
	if c.ledger != nil && !c.ledger.Up() {
		list = append(list, "Redis does not count quotas; each service counts its part.")
	}
	return list
}

// joint is the count in Redis as the limiter asks for it.
type joint struct{ *redisquota.Ledger }

// Count implements quota.Shared.
func (s joint) Count(ctx context.Context, claims []quota.Claim, answers []quota.Answer) error {
	put, got := make([]redisquota.Claim, len(claims)), make([]redisquota.Answer, len(claims))
	for i, c := range claims {
		put[i] = redisquota.Claim(c)
	}
	err := s.Ledger.Count(ctx, put, got)
	for i, a := range got {
		answers[i] = quota.Answer(a)
	}
	return err
}

// known is the keys as the service asks for them; nil where there are none.
func (c *callers) known() api.Keys {
	if c.keys == nil {
		return nil
	}
	return ring{c.keys}
}

type ring struct{ store *keyfile.Store }

// Find implements api.Keys.
func (r ring) Find(secret string) (api.Key, bool) {
	e, ok := r.store.Find(secret)
	if !ok {
		return api.Key{}, false
	}
	key := api.Key{Name: e.Name, Quota: quotaOf(e.Quota)}
	if p := e.Policy; p != nil {
		key.Policy = &spec.JudgePolicy{Name: p.Name, Rule: p.Rule, Guard: p.Guard, RequireUncertainty: p.RequireUncertainty}
		if p.MinProbability != nil {
			key.Policy.MinProbability, key.Policy.HasMinProbability = *p.MinProbability, true
		}
	}
	return key, true
}
