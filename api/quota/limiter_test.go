package quota_test

import (
	"net/netip"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/dunglas/httpsfv"
	"golang.org/x/time/rate"
	"pgregory.net/rapid"

	"endfloat/api/quota"
)

func at(addr string) quota.Client { return quota.Client{Addr: netip.MustParseAddr(addr)} }

func per(text string) quota.Quota {
	q, err := quota.Parse(text)
	if err != nil {
		panic(err)
	}
	return q
}

func TestACallerHasTheWholeQuotaAndThenWhatRunsOff(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		l := quota.New(quota.Options{Address: per("10/10s")})
		ask := func(units int64) quota.Decision { return l.Charge(l.Address(at("192.0.2.1")), units) }
		if d := ask(4); !d.Allowed || d.Remaining != 6 || d.Reset != 4*time.Second || d.Retry != 0 {
			t.Errorf("4 of 10: %+v", d)
		}
		if d := ask(6); !d.Allowed || d.Remaining != 0 || d.Reset != 10*time.Second {
			t.Errorf("exactly the rest: %+v", d)
		}
		if d := ask(1); d.Allowed || d.Remaining != 0 || d.Retry != time.Second || d.RetryAfter() != 1 {
			t.Errorf("one over: %+v", d)
		}
		pass(time.Second - time.Nanosecond)
		if d := ask(1); d.Allowed || d.Retry != time.Nanosecond || d.RetryAfter() != 1 {
			t.Errorf("1 ns early: %+v", d)
		}
		pass(time.Nanosecond)
		if d := ask(1); !d.Allowed || d.Remaining != 0 {
			t.Errorf("when it was told to come back: %+v", d)
		}
		if d := ask(4); d.Allowed || d.Retry != 4*time.Second {
			t.Errorf("a larger one waits longer: %+v", d)
		}
		pass(time.Hour)
		if d := ask(1000); !d.Allowed || d.Remaining != 0 || d.Reset != 10*time.Second {
			t.Errorf("what costs more than everything costs everything: %+v", d)
		}
	})
}

func TestWhoIsCountedWithWhom(t *testing.T) {
	t.Parallel()
	l := quota.New(quota.Options{Address: per("2/1h"), Key: per("5/1h")})
	use := func(c quota.Caller) quota.Decision { return l.Charge(c, 2) }
	first := use(l.Address(at("2001:db8:0:1::1")))
	if !first.Allowed {
		t.Fatal("nobody has asked before")
	}
	for _, row := range []struct {
		name    string
		caller  quota.Caller
		allowed bool
		left    int64
	}{
		{"the same network of 64 bits", l.Address(at("2001:db8:0:1:ffff::2")), false, 0},
		{"the network beside it", l.Address(at("2001:db8:0:2::1")), true, 0},
		{"an IPv4 address", l.Address(at("192.0.2.1")), true, 0},
		{"its neighbour", l.Address(at("192.0.2.2")), true, 0},
		{"a key", l.Key("dealer", quota.Quota{}), true, 3},
		{"another key of the same owner", l.Key("dealer", quota.Quota{}), true, 1},
		{"a third", l.Key("dealer", quota.Quota{}), false, 1},
		{"a key with a quota of its own", l.Key("other", per("100/1h")), true, 98},
		{"a key without a limit", l.Key("friend", quota.None()), true, 0},
		{"the machine itself", l.Address(quota.Client{Addr: netip.MustParseAddr("127.0.0.1"), Local: true}), true, 2},
		{"an address that is none", l.Address(quota.Client{}), true, 0},
		{"another such", l.Address(quota.Client{}), false, 0},
	} {
		if d := use(row.caller); d.Allowed != row.allowed || d.Remaining != row.left {
			t.Errorf("%s: %+v", row.name, d)
		}
	}
}

// The bucket of golang.org/x/time/rate is another form of the same rule: it is filled where a debt runs off.
func TestItAgreesWithATokenBucket(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		units := rapid.Int64Range(1, 50).Draw(rt, "units")
		window := time.Duration(rapid.Int64Range(1, 100).Draw(rt, "seconds")) * time.Second
		type step struct {
			after time.Duration
			cost  int64
		}
		steps := rapid.SliceOfN(rapid.Custom(func(rt *rapid.T) step {
			return step{time.Duration(rapid.Int64Range(0, int64(window/4)).Draw(rt, "after")), rapid.Int64Range(0, units).Draw(rt, "cost")}
		}), 1, 60).Draw(rt, "steps")
		synctest.Test(t, func(*testing.T) {
			bucket := rate.NewLimiter(rate.Limit(float64(units)/window.Seconds()), int(units))
			l := quota.New(quota.Options{Address: quota.Quota{Units: units, Window: window}})
			for i, s := range steps {
				pass(s.after)
				had := bucket.Tokens()
				if d := had - float64(s.cost); d > -1e-6 && d < 1e-6 && d != 0 {
					return // on the edge, where a float decides by its rounding
				}
				want := bucket.AllowN(time.Now(), int(s.cost))
				got := l.Charge(l.Address(at("192.0.2.1")), s.cost)
				if got.Allowed != want {
					rt.Fatalf("step %d: %+v, the bucket had %v and said %v", i, got, had, want)
				}
				if left := bucket.Tokens() - float64(got.Remaining); left < -1e-6 || left > 1+1e-6 {
					rt.Fatalf("step %d: %d left, the bucket has %v", i, got.Remaining, bucket.Tokens())
				}
			}
		})
	})
}

func TestManyAtOnceGetNoMoreThanThereIs(t *testing.T) {
	t.Parallel()
	l := quota.New(quota.Options{Address: per("500/1h")})
	var group sync.WaitGroup
	for range 20 {
		group.Go(func() {
			for range 100 {
				l.Charge(l.Address(at("192.0.2.1")), 1)
			}
		})
	}
	group.Wait()
	if c := l.Counts(); c.Allowed != 500 || c.Refused != 1500 {
		t.Errorf("%+v", c)
	}
}

func TestLookUpsAreCountedByThemselves(t *testing.T) {
	t.Parallel()
	l := quota.New(quota.Options{Address: per("1/1h"), LookUp: per("2/1h")})
	l.Charge(l.Address(at("192.0.2.1")), 1)
	for i, want := range []bool{true, true, false} {
		if d := l.LookUp(at("192.0.2.1")); d.Allowed != want || d.Remaining != int64(max(0, 1-i)) {
			t.Errorf("look-up %d: %+v", i, d)
		}
	}
	if d := l.LookUp(quota.Client{Addr: netip.MustParseAddr("::1"), Local: true}); !d.Allowed || l.Counts().LookUpsRefused != 1 {
		t.Errorf("%+v %+v", d, l.Counts())
	}
	if (*quota.Limiter)(nil).CountsLookUps() || quota.New(quota.Options{}).CountsLookUps() || !l.CountsLookUps() {
		t.Error("whether look-ups are counted")
	}
}

// The form is read by a parser of structured fields that is not ours.
func TestHeaderFieldsAreStructured(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		d             quota.Decision
		limit, policy string
	}{
		{quota.Decision{Policy: quota.ByAddress, Quota: per("6000/1m"), Remaining: 5995, Reset: 50 * time.Millisecond}, `"address";r=5995;t=1`, `"address";q=6000;w=60`},
		{quota.Decision{Policy: quota.ByKey, Quota: per("1000000000/24h"), Remaining: 0, Reset: 24 * time.Hour}, `"key";r=0;t=86400`, `"key";q=1000000000;w=86400`},
		{quota.Decision{Policy: quota.ByAddress, Quota: per("7/1s"), Remaining: 7}, `"address";r=7;t=0`, `"address";q=7;w=1`},
		{quota.Decision{Policy: quota.ByKey, Quota: quota.None()}, "", ""},
	} {
		limit, policy := row.d.Header()
		if limit != row.limit || policy != row.policy {
			t.Errorf("%s | %s", limit, policy)
		}
		if limit == "" {
			continue
		}
		for field, names := range map[string]string{limit: "r t", policy: "q w"} {
			list, err := httpsfv.UnmarshalList([]string{field})
			if err != nil || len(list) != 1 {
				t.Fatalf("%s: %v", field, err)
			}
			item, ok := list[0].(httpsfv.Item)
			if !ok || item.Value != row.d.Policy || strings.Join(item.Params.Names(), " ") != names {
				t.Errorf("%s is read as %+v", field, item)
			}
		}
	}
}
