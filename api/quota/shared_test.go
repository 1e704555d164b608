package quota_test

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"pgregory.net/rapid"

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

func TestFarFromTheLimitNobodyWaits(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		h := newHub(1, time.Millisecond)
		all, end := share(t, h, per("100/100s"), 1)
		defer end()
		s, began := all[0], time.Now()
		for i := range 25 {
			if d := s.ask(1); !d.Allowed || d.Remaining != int64(99-i) {
				t.Errorf("%d: %+v", i, d)
			}
		}
		if took := time.Since(began); took != 0 || h.asked.Load() != 0 {
			t.Errorf("took %v, asked %d times", took, h.asked.Load())
		}
		time.Sleep(6 * time.Millisecond) //nolint:forbidigo // time of the bubble
		synctest.Wait()
		if got := h.debt(); h.asked.Load() != 1 || got < 24990*time.Millisecond || got > 25*time.Second {
			t.Errorf("told %d times, the debt is %v", h.asked.Load(), got)
		}
		if c := s.Counts(); c.Waited != 0 || c.Alone != 0 || c.Allowed != 25 || c.Callers != 1 {
			t.Errorf("%+v", c)
		}
	})
}

func TestNearTheLimitTheCountIsExact(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		h := newHub(2, time.Millisecond)
		all, end := share(t, h, quota.Quota{Units: 100, Window: time.Hour}, 2)
		defer end()
		for range 15 {
			for _, s := range all {
				for range 5 {
					s.ask(1)
				}
			}
		}
		if got := all[0].units + all[1].units; got != 100 {
			t.Errorf("together %d of 150, want 100", got)
		}
		before, trips := all[0].Counts(), h.asked.Load()
		if d := all[0].ask(1); d.Allowed || d.Remaining != 0 || d.Retry <= 0 || d.Retry > 36*time.Second {
			t.Errorf("%+v", d)
		}
		if after := all[0].Counts(); after.Spared != before.Spared+1 || h.asked.Load() != trips {
			t.Errorf("asked again for what is known: %+v", after)
		}
	})
}

// Everybody asks at once, wherever they can, before anything is known of each other.
func TestAtMostAQuarterMoreIsLetThroughAtOnceAndPaidBack(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		const n, units, window = 4, 1600, 1600 * time.Second
		h := newHub(n, time.Millisecond)
		all, end := share(t, h, per("1600/1600s"), n)
		defer end()
		storm := func() (let int64) {
			var group sync.WaitGroup
			var mu sync.Mutex
			for _, s := range all {
				for range 1000 {
					group.Go(func() {
						d := s.Charge(s.Address(at("192.0.2.1")), 1)
						mu.Lock()
						defer mu.Unlock()
						if d.Allowed {
							let++
						}
					})
				}
			}
			group.Wait()
			return let
		}
		let := storm() + storm()
		if let < units || let > units+units/4 {
			t.Errorf("%d of %d were let through", let, units)
		}
		time.Sleep(10 * time.Millisecond) //nolint:forbidigo // time of the bubble
		synctest.Wait()
		if got := h.debt(); got < time.Duration(let-1)*time.Second || got > time.Duration(let)*time.Second {
			t.Errorf("the debt is %v and not %d s", got, let)
		}
		time.Sleep(window / 2) //nolint:forbidigo // time of the bubble
		let += storm()
		if let > units+units/4+units/2 {
			t.Errorf("%d in one and a half windows", let)
		}
	})
}

func TestASilentCountHoldsNobodyUp(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name       string
		deaf, mute bool
	}{{"nothing arrives", true, false}, {"no answer comes", false, true}} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			synctest.Test(t, func(t *testing.T) {
				h := newHub(1, time.Millisecond)
				all, end := share(t, h, quota.Quota{Units: 100, Window: 100 * time.Hour}, 1)
				defer end()
				s := all[0]
				for range 60 {
					s.ask(1)
				}
				h.becomes(false, row.deaf, row.mute)
				var longest time.Duration
				for range 100 {
					began := time.Now()
					s.ask(1)
					longest = max(longest, time.Since(began))
				}
				if longest != 10*time.Millisecond {
					t.Errorf("one waited %v", longest)
				}
				if s.units != 100 {
					t.Errorf("%d of 160, want 100", s.units)
				}
				time.Sleep(time.Minute) //nolint:forbidigo // time of the bubble
				h.becomes(false, false, false)
				if d := s.ask(1); d.Allowed {
					t.Errorf("it has all been used: %+v", d)
				}
				time.Sleep(2 * time.Hour) //nolint:forbidigo // time of the bubble
				if d := s.ask(1); !d.Allowed {
					t.Errorf("two are there again: %+v", d)
				}
				synctest.Wait()
				if got := h.debt(); got < 98*time.Hour || got > 100*time.Hour {
					t.Errorf("the shared debt is %v", got)
				}
			})
		})
	}
}

func TestWithoutTheSharedCountEachHasItsPart(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		replicas int
		allowed  int64
	}{{0, 12}, {1, 12}, {3, 4}, {5, 2}, {12, 1}, {1000, 1}} {
		h := newHub(row.replicas, 0)
		h.becomes(true, false, false)
		s := &sharing{Limiter: quota.New(quota.Options{Address: per("12/1h"), Shared: h})}
		for range 100 {
			if d := s.ask(1); !d.Allowed && d.Retry <= 0 || d.Quota != per("12/1h") {
				t.Fatalf("%+v", d)
			}
		}
		if s.units != row.allowed {
			t.Errorf("one of %d let %d through, want %d", row.replicas, s.units, row.allowed)
		}
		if c := s.Counts(); c.Alone != 100 || c.Allowed != uint64(row.allowed) || c.Refused != uint64(100-row.allowed) || c.Replicas != row.replicas || c.Callers != 1 {
			t.Errorf("%+v", c)
		}
	}
}

func TestWhatIsCountedAloneIsToldAfterwards(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		h := newHub(2, time.Millisecond)
		all, end := share(t, h, quota.Quota{Units: 100, Window: 100 * time.Hour}, 2)
		defer end()
		all[0].ask(60)
		h.becomes(true, false, false)
		if d := all[0].ask(15); !d.Allowed {
			t.Errorf("its part is 50, of which three fifths are used: %+v", d)
		}
		if d := all[0].ask(6); d.Allowed || d.Remaining != 5 || d.Retry <= 0 {
			t.Errorf("five of 50 are left: %+v", d)
		}
		if d := all[1].ask(20); !d.Allowed {
			t.Errorf("the other one knew of nothing: %+v", d)
		}
		h.becomes(false, false, false)
		time.Sleep(2 * time.Second) //nolint:forbidigo // time of the bubble
		synctest.Wait()
		if got := h.debt(); got < 94*time.Hour || got > 95*time.Hour {
			t.Errorf("together 95 are used, and the debt is %v", got)
		}
		if d := all[1].ask(6); d.Allowed {
			t.Errorf("five are left: %+v", d)
		}
		if d := all[0].ask(5); !d.Allowed || d.Remaining != 0 {
			t.Errorf("five are left: %+v", d)
		}
	})
}

func TestACountThatForgetsIsReminded(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		h := newHub(1, time.Millisecond)
		all, end := share(t, h, quota.Quota{Units: 100, Window: 100 * time.Hour}, 1)
		defer end()
		all[0].ask(90)
		h.mu.Lock()
		clear(h.free)
		h.mu.Unlock()
		if d := all[0].ask(20); d.Allowed {
			t.Errorf("%+v", d)
		}
		if d := all[0].ask(9); !d.Allowed || d.Remaining > 1 {
			t.Errorf("%+v", d)
		}
	})
}

func TestNothingIsLeftUntold(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		h := newHub(1, time.Millisecond)
		all, end := share(t, h, quota.Quota{Units: 100, Window: 100 * time.Hour}, 1)
		all[0].ask(7)
		end()
		if got := h.debt(); got != 7*time.Hour-time.Millisecond/2 {
			t.Errorf("the debt is %v", got)
		}
	})
}

// Whatever becomes of the shared count: no open door, and no closed one.
func TestWhateverBecomesOfTheSharedCount(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(rt, "services")
		units := rapid.Int64Range(int64(n), 2000).Draw(rt, "units")
		type step struct {
			wait  time.Duration
			who   int
			cost  int64
			state int
		}
		steps := rapid.SliceOfN(rapid.Custom(func(rt *rapid.T) step {
			return step{time.Duration(rapid.SampledFrom([]int64{0, 0, 1, 20, 2000, 60_000}).Draw(rt, "wait")) * time.Millisecond,
				rapid.IntRange(0, n-1).Draw(rt, "who"), rapid.Int64Range(0, max(1, units/8)).Draw(rt, "cost"), rapid.IntRange(0, 30).Draw(rt, "state")}
		}), 1, 200).Draw(rt, "steps")
		synctest.Test(t, func(t *testing.T) {
			h := newHub(n, time.Millisecond)
			window := 600 * time.Second
			all, end := share(t, h, quota.Quota{Units: units, Window: window}, n)
			defer end()
			began, let := time.Now(), int64(0)
			for i, s := range steps {
				time.Sleep(s.wait) //nolint:forbidigo // time of the bubble
				switch s.state {
				case 0, 1, 2:
					h.becomes(s.state == 0, s.state == 1, s.state == 2)
				case 3, 4, 5:
					h.becomes(false, false, false)
				}
				asked := time.Now()
				if all[s.who].ask(s.cost).Allowed {
					let += s.cost
				}
				if took := time.Since(asked); took > 10*time.Millisecond {
					rt.Fatalf("step %d took %v", i, took)
				}
				if most := 2*units + units/4 + int64(float64(units)*time.Since(began).Seconds()/window.Seconds()) + int64(n); let > most {
					rt.Fatalf("step %d: %d were let through, of %d in %v", i, let, units, time.Since(began))
				}
			}
			h.becomes(false, false, false)
			time.Sleep(2*window + time.Minute) //nolint:forbidigo // time of the bubble
			for i, s := range all {
				if d := s.ask(max(1, units/int64(2*n))); !d.Allowed {
					rt.Fatalf("service %d shuts a rested caller out: %+v", i, d)
				}
			}
		})
	})
}
