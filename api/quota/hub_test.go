package quota_test

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"endfloat/api/quota"
)

// state is what a hub does.
type state int

const (
	answers state = iota
	away          // and known to be
	deaf          // nothing arrives
	mute          // everything is counted and no answer comes
)

// hub is a shared count in this process, as slow as it is told to be.
type hub struct {
	replicas int
	takes    time.Duration // from a claim to its answer
	patience time.Duration // after which it counts as away

	mu    sync.Mutex
	free  map[string]time.Time
	state state

	asked atomic.Int64 // round trips
}

func newHub(replicas int) *hub {
	return &hub{replicas: replicas, takes: time.Millisecond, patience: 50 * time.Millisecond, free: map[string]time.Time{}}
}

func (h *hub) Replicas() int { return h.replicas }

func (h *hub) Up() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.state != away
}

// becomes changes what it does.
func (h *hub) becomes(s state) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.state = s
}

func (h *hub) Count(_ context.Context, claims []quota.Claim, said []quota.Answer) error {
	if !h.Up() {
		return errors.New("away")
	}
	pass(h.takes / 2)
	if !h.count(claims, said) {
		pass(h.patience - h.takes/2)
		h.becomes(away)
		return errors.New("it did not answer in time")
	}
	pass(h.takes - h.takes/2)
	return nil
}

func (h *hub) count(claims []quota.Claim, said []quota.Answer) (answered bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.asked.Add(1)
	if h.state == deaf {
		return false
	}
	now := time.Now()
	for i, c := range claims {
		debt := min(max(h.free[c.Caller].Sub(now), c.Least)+c.Owed, 2*c.Window)
		fits := debt+c.Span <= c.Window
		if fits {
			debt += c.Span
		}
		h.free[c.Caller] = now.Add(debt)
		said[i] = quota.Answer{Debt: debt, OK: fits}
	}
	return h.state != mute
}

// forget drops everything, as a store does that starts empty.
func (h *hub) forget() {
	h.mu.Lock()
	defer h.mu.Unlock()
	clear(h.free)
}

// debt is what it has of the one address that asks in these tests.
func (h *hub) debt() time.Duration {
	h.mu.Lock()
	defer h.mu.Unlock()
	return max(time.Until(h.free["a:192.0.2.1"]), 0)
}

// sharing is a service that counts with others.
type sharing struct {
	*quota.Limiter
	units int64 // that it let through
}

func (s *sharing) ask(units int64) quota.Decision {
	d := s.Charge(s.Address(at("192.0.2.1")), units)
	if d.Allowed {
		s.units += units
	}
	return d
}

// pass lets time pass, that of the bubble.
func pass(d time.Duration) { time.Sleep(d) } //nolint:forbidigo // time of the bubble

// rest lets time pass, and then whatever it woke come to rest.
func rest(d time.Duration) {
	pass(d)
	synctest.Wait()
}

// begin starts so many services that share a count, until they are ended.
func begin(t *testing.T, h *hub, q quota.Quota, n int) (all []*sharing, end func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	var running sync.WaitGroup
	for range n {
		s := &sharing{Limiter: quota.New(quota.Options{Address: q, Shared: h})}
		running.Go(func() { s.Run(ctx) })
		all = append(all, s)
	}
	return all, func() { cancel(); running.Wait() }
}

// share has so many services tried that share a count, in a bubble of time of their own.
func share(t *testing.T, n int, q quota.Quota, try func(t *testing.T, h *hub, all []*sharing)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		h := newHub(n)
		all, end := begin(t, h, q, n)
		defer end()
		try(t, h, all)
	})
}
