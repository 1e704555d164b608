//go:build integration

package integration_test

import (
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
)

// A publisher that is killed, wherever it has got to, leaves a whole revision in use and stands in nobody's way.
func TestAPublisherIsKilled(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	s := follower(t, url)
	good := map[string]bool{"0.50": true}
	publishes(t, url, shop(t, "0.50"))
	s.serves(t, "0.50")
	dice := rand.New(rand.NewPCG(20261125, 9))
	killed := 0
	for i := range 40 {
		upper := "0.4" + strconv.Itoa(i%10)
		cmd := exec.Command(binary(t), "catalogue", "publish", shop(t, upper), "--redis", url)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		<-time.After(time.Duration(dice.Int64N(int64(120 * time.Millisecond)))) // anywhere
		_ = cmd.Process.Kill()                                                  // it may have ended
		if cmd.Wait() != nil {
			killed++
		}
		good[upper] = true
		a := get(t, s.URL+shopPlay)
		_, rest, _ := strings.Cut(string(a.Body), `"upper":`)
		if len(rest) < 4 || a.Status != 200 || !good[rest[:4]] {
			t.Fatalf("kill %d: %d %s", i, a.Status, a.Body)
		}
	}
	t.Logf("killed %d times", killed)
	if killed == 0 {
		t.Error("none was killed in time")
	}
	last := publishes(t, url, shop(t, "0.35"))
	s.serves(t, "0.35")
	s.warnsOf(t, "")
	if code, out, diag := run(t, nil, "catalogue", "revisions", "--redis", url); code != 0 || !strings.Contains(out, last) {
		t.Errorf("%d %s%s", code, out, diag)
	}
	if code, out, diag := run(t, nil, "catalogue", "rollback", "--redis", url); code != 0 {
		t.Errorf("%d %s%s", code, out, diag)
	}
	s.warnsOf(t, "")
}
