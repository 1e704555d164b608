package quota_test

import (
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"pgregory.net/rapid"

	"endfloat/api/quota"
)

func TestFarFromTheLimitNobodyWaits(t *testing.T) {
	t.Parallel()
	share(t, 1, per("100/100s"), func(t *testing.T, h *hub, all []*sharing) {
		s, began := all[0], time.Now()
		for i := range 25 {
			if d := s.ask(1); !d.Allowed || d.Remaining != int64(99-i) {
				t.Errorf("%d: %+v", i, d)
			}
		}
		if took := time.Since(began); took != 0 || h.asked.Load() != 0 {
			t.Errorf("took %v, asked %d times", took, h.asked.Load())
		}
		rest(6 * time.Millisecond)
		if got := h.debt(); h.asked.Load() != 1 || got < 24990*time.Millisecond || got > 25*time.Second {
			t.Errorf("told %d times, the debt is %v", h.asked.Load(), got)
		}
		if c := s.Counts(); c.Waited != 0 || c.Alone != 0 || c.Allowed != 25 || c.Callers != 1 {
			t.Errorf("%+v", c)
		}
	})
}

// hourly is a quota of a hundred of which one an hour runs off.
func hourly() quota.Quota { return quota.Quota{Units: 100, Window: 100 * time.Hour} }

func TestNearTheLimitTheCountIsExact(t *testing.T) {
	t.Parallel()
	share(t, 2, quota.Quota{Units: 100, Window: time.Hour}, func(t *testing.T, h *hub, all []*sharing) {
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

// Everybody asks at once, wherever they can, before anything is known of each other. A quarter more is let through at
// most, and where the shared count is too slow for anybody to wait for, each service has its part besides.
func TestAtMostAQuarterMoreIsLetThroughAtOnceAndPaidBack(t *testing.T) {
	t.Parallel()
	t.Run("quick", func(t *testing.T) { t.Parallel(); storms(t, time.Millisecond, 1600+1600/4) })
	t.Run("too slow", func(t *testing.T) { t.Parallel(); storms(t, 30*time.Millisecond, 2*1600) })
}

func storms(t *testing.T, takes time.Duration, most int64) {
	t.Helper()
	const units, window = 1600, 1600 * time.Second
	share(t, 4, per("1600/1600s"), func(t *testing.T, h *hub, all []*sharing) {
		h.takes = takes
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
		if let < units || let > most {
			t.Errorf("%d of %d were let through, want %d at most", let, units, most)
		}
		rest(2 * time.Second)
		if got := h.debt(); got < time.Duration(let-5)*time.Second || got > 2*window {
			t.Errorf("the debt is %v and not %d s", got, let)
		}
		pass(window / 2)
		if let += storm(); let > most+units/2 {
			t.Errorf("%d in one and a half windows", let)
		}
	})
}

func TestASilentCountHoldsNobodyUp(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name    string
		becomes state
	}{{"nothing arrives", deaf}, {"no answer comes", mute}} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			share(t, 1, hourly(), func(t *testing.T, h *hub, all []*sharing) {
				s := all[0]
				for range 60 {
					s.ask(1)
				}
				h.becomes(row.becomes)
				before := s.Counts().Waited
				var longest time.Duration
				for range 100 {
					began := time.Now()
					s.ask(1)
					longest = max(longest, time.Since(began))
				}
				if longest != 10*time.Millisecond {
					t.Errorf("one waited %v", longest)
				}
				if n := s.Counts().Waited; s.units != 100 || n != before+1 {
					t.Errorf("%d of 160, want 100; %d waited", s.units, n-before)
				}
				pass(time.Minute)
				h.becomes(answers)
				rest(time.Minute)
				if got := h.debt(); got < 99*time.Hour || got > 100*time.Hour {
					t.Errorf("the shared debt is %v after 100", got)
				}
				if d := s.ask(1); d.Allowed {
					t.Errorf("it has all been used: %+v", d)
				}
				pass(2 * time.Hour)
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
		h := newHub(row.replicas)
		h.becomes(away)
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
	share(t, 2, hourly(), func(t *testing.T, h *hub, all []*sharing) {
		all[0].ask(60)
		h.becomes(away)
		if d := all[0].ask(15); !d.Allowed {
			t.Errorf("its part is 50, of which three fifths are used: %+v", d)
		}
		if d := all[0].ask(6); d.Allowed || d.Remaining != 5 || d.Retry <= 0 {
			t.Errorf("five of 50 are left: %+v", d)
		}
		if d := all[1].ask(20); !d.Allowed {
			t.Errorf("the other one knew of nothing: %+v", d)
		}
		pass(5 * time.Second)
		h.becomes(answers)
		rest(2 * time.Second)
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

// While nobody answers, the part of one service fills up again at its part of the rate.
func TestAPartRunsOffAsAPart(t *testing.T) {
	t.Parallel()
	share(t, 2, hourly(), func(t *testing.T, h *hub, all []*sharing) {
		h.becomes(away)
		drain := func() (n int64) {
			for all[0].ask(1).Allowed {
				n++
			}
			return n
		}
		if n := drain(); n != 50 {
			t.Errorf("%d of 100 for one of two", n)
		}
		pass(10*time.Hour + time.Minute)
		if n := drain(); n != 5 {
			t.Errorf("%d after ten hours, want five", n)
		}
	})
}

// What was sent and never answered weighs as much as what was not sent, until an answer comes.
func TestWhatIsLostIsReckonedWith(t *testing.T) {
	t.Parallel()
	share(t, 2, hourly(), func(t *testing.T, h *hub, all []*sharing) {
		s := all[0]
		h.becomes(mute)
		s.ask(12)
		rest(100 * time.Millisecond)
		if h.Up() {
			t.Fatal("it was not told of twelve")
		}
		for s.ask(1).Allowed {
		}
		if s.units != 50 {
			t.Errorf("%d of its 50", s.units)
		}
		h.becomes(answers)
		pass(20 * time.Hour)
		before := s.Counts().Waited
		for range 12 {
			s.ask(1)
		}
		if n := s.Counts().Waited; n != before {
			t.Errorf("%d waited, and all before them is confirmed", n-before)
		}
	})
}

func TestAShorterWindowIsNotHeldToALongerOne(t *testing.T) {
	t.Parallel()
	share(t, 1, quota.None(), func(t *testing.T, _ *hub, all []*sharing) {
		s := all[0]
		ask := func(q quota.Quota) bool { return s.Charge(s.Key("dealer", q), q.Units).Allowed }
		if !ask(per("10/24h")) || ask(per("10/1m")) {
			t.Error("the whole quota, and then the same for a minute")
		}
		allowed := 0
		for range 6 {
			pass(time.Minute)
			if ask(per("10/1m")) {
				allowed++
			}
		}
		if allowed < 1 {
			t.Error("a day's debt is held against a minute's quota")
		}
	})
}

func TestACountThatForgetsIsReminded(t *testing.T) {
	t.Parallel()
	share(t, 1, hourly(), func(t *testing.T, h *hub, all []*sharing) {
		all[0].ask(90)
		h.forget()
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
		h := newHub(1)
		all, end := begin(t, h, hourly(), 1)
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
		const window = 600 * time.Second
		share(t, n, quota.Quota{Units: units, Window: window}, func(_ *testing.T, h *hub, all []*sharing) {
			began, let := time.Now(), int64(0)
			for i, s := range steps {
				pass(s.wait)
				switch s.state {
				case 0, 1, 2:
					h.becomes(away + state(s.state))
				case 3, 4, 5:
					h.becomes(answers)
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
			h.becomes(answers)
			pass(2*window + time.Minute)
			for i, s := range all {
				if d := s.ask(max(1, units/int64(2*n))); !d.Allowed {
					rt.Fatalf("service %d shuts a rested caller out: %+v", i, d)
				}
			}
		})
	})
}
