//go:build integration

package integration_test

import (
	"bufio"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// counting is a service whose quota is counted in Redis, with its private listener.
type counting struct {
	*service
	private string
}

// counts starts one that believes what a proxy on this machine says, so that a test can call from anywhere.
func counts(t testing.TB, redis, quota string, args ...string) *counting {
	t.Helper()
	s, own := beginPrivate(t, []string{"ENDFLOAT_REDIS=redis://" + redis}, append([]string{"--trusted-proxies", "127.0.0.1", "--quota", quota}, args...)...)
	return &counting{s, own}
}

// metric is a number that the private listener gives.
func (c *counting) metric(t testing.TB, name string) float64 {
	t.Helper()
	return metric(t, c.private, "endfloat_"+name)
}

// awaits waits until a metric has a value.
func (c *counting) awaits(t testing.TB, name string, want float64) {
	t.Helper()
	eventually(t, fmt.Sprintf("%s of %v", name, want), func() (bool, string) {
		v := c.metric(t, name)
		return v == want, fmt.Sprint(v)
	})
}

// estimate is a question that costs one unit.
const estimate = `{"thread":"M8","property_class":"8.8","friction":{"thread":0.12,"head":0.12},"utilisation":0.9}`

// asked is what became of many questions from one address.
type asked struct {
	allowed, refused int
	took             []time.Duration
}

// ask sends n questions one after the other; every one is answered, with 200 or with 429 and when to come back.
func (c *counting) ask(t testing.TB, from string, n int) *asked {
	t.Helper()
	client := &http.Client{Timeout: patience}
	defer client.CloseIdleConnections()
	a := &asked{}
	for range n {
		began := time.Now()
		got := send(t, client, request(t, http.MethodPost, c.URL+"/v1/torque-estimates", estimate, "Content-Type", "application/json", "X-Forwarded-For", from))
		a.took = append(a.took, time.Since(began))
		switch {
		case got.Header.Get("RateLimit") == "" || got.Header.Get("RateLimit-Policy") == "":
			t.Fatalf("%d %v", got.Status, got.Header)
		case got.Status == http.StatusOK:
			a.allowed++
		case got.Status == http.StatusTooManyRequests && got.Header.Get("Retry-After") != "":
			a.refused++
		default:
			t.Fatalf("%d %v %s", got.Status, got.Header, got.Body)
		}
	}
	return a
}

func (a *asked) String() string {
	slices.Sort(a.took)
	return fmt.Sprintf("%d allowed, %d refused, p50 %v, p99 %v, longest %v", a.allowed, a.refused,
		a.took[len(a.took)/2].Round(10*time.Microsecond), a.took[len(a.took)*99/100].Round(10*time.Microsecond), a.took[len(a.took)-1].Round(10*time.Microsecond))
}

// together repeats what asks from a fresh address until Redis counted all of it: on a busy machine a count may take too
// long, and is then made by the service alone.
func together(t testing.TB, all []*counting, ask func(from string)) {
	t.Helper()
	alone := func() (n float64) {
		for _, s := range all {
			n += s.metric(t, "quota_alone_total")
		}
		return n
	}
	for round := range 50 {
		for _, s := range all {
			s.awaits(t, "quota_redis_up", 1)
		}
		before := alone()
		if ask(fmt.Sprintf("192.0.2.%d", round)); alone() == before {
			return
		}
	}
	t.Fatal("Redis never counted all of it")
}

func TestReplicasShareOneQuota(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	one, other := counts(t, r.addr, "100/1h"), counts(t, r.addr, "100/1h")
	for _, s := range []*counting{one, other} {
		s.awaits(t, "quota_redis_up", 1)
		s.awaits(t, "quota_replicas", 2)
	}
	both := []*counting{one, other}
	allowed, last := 0, ""
	together(t, both, func(from string) {
		allowed, last = 0, from
		for range 15 {
			allowed += one.ask(t, from, 5).allowed + other.ask(t, from, 5).allowed
		}
	})
	if allowed != 100 {
		t.Errorf("together %d of 150, want 100", allowed)
	}
	together(t, both, func(from string) {
		host := strings.ReplaceAll(strings.TrimPrefix(from, "192.0.2."), ".", "")
		allowed = one.ask(t, "2001:db8:0:"+host+"::1", 60).allowed + other.ask(t, "2001:db8:0:"+host+"::ffff:1", 60).allowed
	})
	if allowed != 100 {
		t.Errorf("one network of 64 bits: %d of 120, want 100", allowed)
	}
	keys, err := r.desk(t).Keys(t.Context(), "endfloat:quota:*").Result()
	if err != nil || !slices.Contains(keys, "endfloat:quota:a:"+last) || !slices.Contains(keys, "endfloat:quota:replicas") {
		t.Errorf("Redis holds %q, %v", keys, err)
	}
	one.awaits(t, "quota_replicas", 2)
	other.awaits(t, "quota_replicas", 2)
	r.kill(t)
	for _, s := range both {
		s.awaits(t, "quota_redis_up", 0)
		part := 100 / int(s.metric(t, "quota_replicas"))
		if n := s.ask(t, "198.51.100.3", 150).allowed; n != part {
			t.Errorf("alone each has its part: %d of 150, want %d", n, part)
		}
	}
	one.warnsOf(t, "Redis does not count quotas")
	r.start(t)
	together(t, both, func(from string) {
		from = strings.Replace(from, "192.0.2.", "203.0.113.", 1)
		allowed = one.ask(t, from, 60).allowed + other.ask(t, from, 60).allowed
	})
	if allowed != 100 {
		t.Errorf("together again: %d of 120, want 100", allowed)
	}
	if code := one.end(t, syscall.SIGTERM); code != 0 {
		t.Errorf("exit code %d\n%s", code, one.log)
	}
	if n := strings.Count(one.log.String(), "redis does not count quotas"); n < 1 || n > 100 {
		t.Errorf("told %d times\n%s", n, one.log)
	}
}

// Whatever Redis does, questions are answered at once; nobody is let through without end, and nobody is shut out.
func TestQuotasWhileRedisMisbehaves(t *testing.T) {
	t.Parallel()
	const units = 40
	w := newWay(t)
	s := counts(t, w.proxy.Listen, strconv.Itoa(units)+"/1h")
	nothing := func() error { return nil }
	more := []mishap{{"well", nothing, nothing},
		{"stopped by the kernel", func() error { w.redis.hang(t); return nil }, func() error { w.redis.wake(t); return nil }},
		{"gone", func() error { w.redis.kill(t); return nil }, func() error { w.redis.start(t); return nil }}}
	for i, f := range append(more, w.faults()...) {
		s.awaits(t, "quota_redis_up", 1)
		from := fmt.Sprintf("198.51.100.%d", i+1)
		before := s.ask(t, from, 5)
		if err := f.spoil(); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		questions := 300
		if f.name == "flapping" {
			questions = 20_000 // many turns
		}
		during := s.ask(t, from, questions)
		if err := f.mend(); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		t.Logf("%-45s %v", f.name, during)
		if before.allowed != 5 || during.allowed > units-5 || during.allowed < units-10 {
			t.Errorf("%s: %d before and %d during, want 5, and %d or a few less, which nobody knows whether Redis counted", f.name, before.allowed, during.allowed, units-5)
		}
	}
	allowed := 0
	together(t, []*counting{s}, func(from string) { allowed = s.ask(t, from, 100).allowed })
	if allowed != units {
		t.Errorf("well again: %d of 100, want %d", allowed, units)
	}
}

// Who is far from the limit waits for nothing, whatever Redis does, and Redis hears of all of it in the end.
func TestFarFromTheLimitNobodyWaitsForRedis(t *testing.T) {
	t.Parallel()
	const span, each = 864 * time.Millisecond, 200 // what one of 100000 units in a day takes to run off
	w := newWay(t)
	s := counts(t, w.proxy.Listen, "100000/24h")
	s.awaits(t, "quota_redis_up", 1)
	const from = "198.51.100.9"
	total := 0
	for _, f := range w.faults() {
		if err := f.spoil(); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		during := s.ask(t, from, each)
		if err := f.mend(); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		t.Logf("%-45s %v", f.name, during)
		if total += each; during.allowed != each {
			t.Errorf("%s: %d of %d", f.name, during.allowed, each)
		}
	}
	if n := s.metric(t, "quota_waited_total"); n != 0 {
		t.Errorf("%v questions waited for Redis", n)
	}
	began := time.Now()
	eventually(t, "a debt of all that was asked", func() (bool, string) {
		now, err := w.desk.Time(t.Context()).Result()
		if err != nil {
			return false, err.Error()
		}
		moment, err := w.desk.Get(t.Context(), "endfloat:quota:a:"+from).Int64()
		debt, all := time.UnixMicro(moment).Sub(now), time.Duration(total)*span
		return debt > all-patience-time.Since(began) && debt <= all, fmt.Sprintf("%v of %v, %v", debt, all, err)
	})
}

// A proxy that nobody named is told of once, whatever passes through it.
func TestAnUnnamedProxyIsToldOf(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := &http.Client{Timeout: patience}
	for range 3 {
		send(t, client, request(t, http.MethodPost, s.URL+"/v1/torque-estimates", estimate, "Content-Type", "application/json", "X-Forwarded-For", "198.51.100.1"))
	}
	s.end(t, syscall.SIGTERM)
	told := 0
	for lines := bufio.NewScanner(strings.NewReader(s.log.String())); lines.Scan(); {
		if strings.Contains(lines.Text(), "--trusted-proxies") && strings.Contains(lines.Text(), `"level":"WARN"`) {
			told++
		}
	}
	if told != 1 {
		t.Errorf("told %d times\n%s", told, s.log)
	}
}
