//go:build integration

package integration_test

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// counts reports whether Redis hears within a tenth of a second of what a caller uses.
func (w *way) counts(t *testing.T, s *service) (heard bool, says string) {
	t.Helper()
	const caller = "endfloat:quota:a:192.0.2.7"
	before, _ := w.desk.Get(t.Context(), caller).Result()
	send(t, plain, request(t, http.MethodPost, s.URL+"/v1/evaluations", `{"checks":[]}`, "Content-Type", "application/json", "X-Forwarded-For", "192.0.2.7"))
	beat := time.NewTicker(5 * time.Millisecond)
	defer beat.Stop()
	for range 20 {
		after, err := w.desk.Get(t.Context(), caller).Result()
		if says = fmt.Sprint(before, after, err); after != "" && after != before {
			return true, says
		}
		<-beat.C
	}
	return false, says
}

// counted waits until Redis counts again, so that a mishap befalls something; on a machine that is so busy that Redis is
// never quick enough, it does not wait for ever.
func (w *way) counted(t *testing.T, s *service) {
	t.Helper()
	beat := time.NewTicker(20 * time.Millisecond)
	defer beat.Stop()
	for until := time.Now().Add(patience / 3); time.Now().Before(until); <-beat.C {
		if ok, _ := w.counts(t, s); ok {
			return
		}
	}
	t.Log("Redis is not quick enough to count")
}

// Whatever befalls Redis, every class of question is answered, and as fast as by a service beside it that knows of no
// Redis: with the catalogue followed from it and quotas counted in it. It is a load, and runs beside nothing.
//
//	go test -tags integration -run TestNoFaultOfRedis -v ./integration
func TestNoFaultOfRedisReachesAnAnswer(t *testing.T) { //nolint:paralleltest // it is a load
	w := newWay(t)
	url := "redis://" + w.proxy.Listen
	publishes(t, "redis://"+w.redis.addr, "../specdb/data")
	s := follower(t, url, "--trusted-proxies", "127.0.0.1", "--quota", "10000000/24h", "--log-level", "error")
	alone := start(t)
	list, own := errands(t, s.URL), errands(t, alone.URL)
	for i := range list { // each as passed on by a proxy, which is what makes it count
		line, rest, _ := strings.Cut(string(list[i].raw), "\r\n")
		list[i].raw = []byte(line + "\r\nX-Forwarded-For: 192.0.2.7\r\n" + rest)
	}
	during := func(span time.Duration) (d, beside *driven) {
		until := time.Now().Add(span)
		stop := func(int64) bool { return time.Now().After(until) }
		var both sync.WaitGroup
		both.Go(func() { d = drive(s.URL, 4, list, stop) })
		both.Go(func() { beside = drive(alone.URL, 4, own, stop) })
		both.Wait()
		return d, beside
	}
	during(500 * time.Millisecond) // everything that is kept is kept
	w.counted(t, s)
	var said strings.Builder
	calm, beside := during(2 * time.Second)
	beside.line(&said, "without a Redis")
	calm.line(&said, "calm")
	for _, f := range w.faults() {
		w.counted(t, s)
		if err := f.spoil(); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		d, beside := during(1500 * time.Millisecond)
		if err := f.mend(); err != nil {
			t.Fatalf("%s: %v", f.name, err)
		}
		d.line(&said, f.name)
		beside.line(&said, "  without, meanwhile")
		if d.fails > 0 {
			t.Errorf("%s: %d of %d failed: %q", f.name, d.fails, len(d.took["all"]), d.failed)
		}
		// A count is waited for 50 ms at most: were each of them, half of the answers would be that late. Whatever else
		// the machine does slows both services.
		for _, class := range []string{"look-up", "evaluation", "plan"} {
			if now, other := d.at(class, 0.5), beside.at(class, 0.5); now > other+40*time.Millisecond {
				t.Errorf("%s: the median %s takes %v, and %v beside it", f.name, class, now, other)
			}
		}
	}
	t.Logf("milliseconds, p50 and p99 of a class:\n%s", said.String())
	eventually(t, "a count in Redis", func() (bool, string) { return w.counts(t, s) })
	s.warnsOf(t, "")
}

// at is a quantile of how long a class took.
func (d *driven) at(class string, q float64) time.Duration {
	list := d.took[class]
	if len(list) == 0 {
		return 0
	}
	slices.Sort(list)
	return list[int(q*float64(len(list)-1))]
}

// line says in one line how long each class took.
func (d *driven) line(to *strings.Builder, name string) {
	if d.took["all"] == nil {
		for _, list := range d.took {
			d.took["all"] = append(d.took["all"], list...)
		}
	}
	fmt.Fprintf(to, "%-26s %7d requests", name, len(d.took["all"]))
	for _, class := range []string{"look-up", "verdict", "evaluation", "plan", "sheet"} {
		fmt.Fprintf(to, "  %s %.2f %.2f", class, d.at(class, 0.5).Seconds()*1e3, d.at(class, 0.99).Seconds()*1e3)
	}
	fmt.Fprintf(to, "  all p99.9 %.2f\n", d.at("all", 0.999).Seconds()*1e3)
}
