package quota_test

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"endfloat/api/quota"
)

// hub is a shared count in this process, as slow as it is told to be. While it is deaf nothing arrives; while it is mute
// everything is counted and no answer comes.
type hub struct {
	replicas int
	takes    time.Duration // from a claim to its answer
	patience time.Duration // after which it counts as away

	mu               sync.Mutex
	free             map[string]time.Time
	away, deaf, mute bool

	asked atomic.Int64 // round trips
}

func newHub(replicas int, takes time.Duration) *hub {
	return &hub{replicas: replicas, takes: takes, patience: 50 * time.Millisecond, free: map[string]time.Time{}}
}

func (h *hub) Replicas() int { return h.replicas }

func (h *hub) Up() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return !h.away
}

// becomes changes what it does.
func (h *hub) becomes(away, deaf, mute bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.away, h.deaf, h.mute = away, deaf, mute
}

func (h *hub) Count(_ context.Context, claims []quota.Claim, answers []quota.Answer) error {
	if !h.Up() {
		return errors.New("away")
	}
	time.Sleep(h.takes / 2) //nolint:forbidigo // time of the bubble
	if !h.count(claims, answers) {
		time.Sleep(h.patience - h.takes/2) //nolint:forbidigo // time of the bubble
		h.mu.Lock()
		defer h.mu.Unlock()
		h.away = true
		return errors.New("it did not answer in time")
	}
	time.Sleep(h.takes - h.takes/2) //nolint:forbidigo // time of the bubble
	return nil
}

func (h *hub) count(claims []quota.Claim, answers []quota.Answer) (answered bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.asked.Add(1)
	if h.deaf {
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
		answers[i] = quota.Answer{Debt: debt, OK: fits}
	}
	return !h.mute
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

// share starts so many services, until the bubble ends them.
func share(t *testing.T, h *hub, q quota.Quota, n int) (all []*sharing, end func()) {
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
