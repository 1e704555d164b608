//go:build integration

package integration_test

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

func TestReplicasFollowWhatIsPublished(t *testing.T) {
	t.Parallel()
	url := "redis://" + newRedis(t).addr
	early := follower(t, url)
	early.warnsOf(t, "No revision is published in Redis.")
	first := publishes(t, url, shop(t, "0.40"))
	early.serves(t, "0.40")
	late := follower(t, url)
	late.serves(t, "0.40")
	for _, s := range []*service{early, late} {
		s.warnsOf(t, "")
	}
	code, out, diag := run(t, nil, "catalogue", "publish", shop(t, "0.35"), "--redis", url)
	if code != 0 || !strings.Contains(out, "before it was "+first) {
		t.Fatalf("%d %s %s", code, out, diag)
	}
	for _, part := range []string{"1 family, 1 spec", "pieces were there already", "2 of 2 replicas have it ready"} {
		if !strings.Contains(diag, part) {
			t.Errorf("nothing is said of %q:\n%s", part, diag)
		}
	}
	for _, s := range []*service{early, late} {
		s.serves(t, "0.35")
		if a := get(t, s.URL+shopPlay+"?revision="+first); a.Status != 200 || !strings.Contains(string(a.Body), `"upper":0.40`) {
			t.Errorf("the revision before does not answer: %s", a.Body)
		}
	}
	if code, out, diag := run(t, nil, "catalogue", "rollback", "--redis", url); code != 0 || !strings.HasPrefix(out, first+" is in use") {
		t.Fatalf("%d %s %s", code, out, diag)
	}
	for _, s := range []*service{early, late} {
		s.serves(t, "0.40")
	}
	code, out, _ = run(t, nil, "catalogue", "revisions", "--redis", url)
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if code != 0 || len(lines) != 5 || !strings.Contains(lines[1], "previous") || !strings.Contains(lines[2], "current") || strings.Count(out, "serves "+first) != 2 {
		t.Errorf("%d\n%s", code, out)
	}
	for _, s := range []*service{early, late} {
		if code := s.end(t, syscall.SIGTERM); code != 0 {
			t.Errorf("exit code %d\n%s", code, s.log)
		}
	}
	if _, out, _ := run(t, nil, "catalogue", "revisions", "--redis", url); strings.Contains(out, "replica") {
		t.Errorf("replicas that ended are listed:\n%s", out)
	}
}

func TestWhatPublishingSaysWhenItCannot(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://user:hunter-two@" + r.addr // which this Redis does not know
	good, bad := shop(t, "0.40"), shop(t, "0.05")
	private, public := keyFiles(t)
	plain := "redis://" + r.addr
	for _, row := range []struct {
		name string
		env  []string
		args []string
		code int
		says string
	}{
		{"no Redis named", nil, []string{"publish", good}, 2, "ENDFLOAT_REDIS is not set"},
		{"nobody there", nil, []string{"publish", good, "--redis", "redis://127.0.0.1:1"}, 2, "connection refused"},
		{"no address", nil, []string{"publish", good, "--redis", "localhost"}, 2, "redis://"},
		{"wrong password", nil, []string{"publish", good, "--redis", url}, 2, "WRONGPASS"},
		{"catalogue at fault", []string{"ENDFLOAT_REDIS=" + plain}, []string{"publish", bad}, 1, "x-1.yaml:8"},
		{"no catalogue", []string{"ENDFLOAT_REDIS=" + plain}, []string{"publish", filepath.Join(good, "none")}, 2, "none"},
		{"public key", []string{"ENDFLOAT_REDIS=" + plain}, []string{"publish", good, "--publisher-key", public}, 2, "no private key"},
		{"no key", []string{"ENDFLOAT_REDIS=" + plain, "ENDFLOAT_PUBLISHER_KEY=" + private + "x"}, []string{"publish", good}, 2, "--publisher-key"},
		{"nothing to go back to", []string{"ENDFLOAT_REDIS=" + plain}, []string{"rollback"}, 2, "no revision has been published"},
		{"two words", []string{"ENDFLOAT_REDIS=" + plain}, []string{"publish", good, good}, 2, "2 words are given"},
		{"keep none", []string{"ENDFLOAT_REDIS=" + plain}, []string{"publish", good, "--keep", "0"}, 2, "--keep"},
		{"nothing is published", []string{"ENDFLOAT_REDIS=" + plain}, []string{"revisions"}, 0, "revision"},
		{"help", nil, []string{"publish", "--help"}, 0, "endfloat catalogue publish DIR"},
	} {
		code, out, diag := run(t, row.env, append([]string{"catalogue"}, row.args...)...)
		if code != row.code || !strings.Contains(out+diag, row.says) || strings.Contains(out+diag, "hunter-two") {
			t.Errorf("%s: exit %d, want %d with %q\n%s%s", row.name, code, row.code, row.says, out, diag)
		}
	}
	if keys := r.desk(t).Keys(t.Context(), "*").Val(); len(keys) != 0 {
		t.Errorf("something was written: %v", keys)
	}
}

// Two publish at once: who comes second is told, and nothing of theirs is in use.
func TestTwoPublishers(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	desk := r.desk(t)
	first := publishes(t, url, shop(t, "0.40"))
	// Somebody who follows and is never ready makes the first one wait.
	if err := desk.HSet(t.Context(), "{endfloat}:replicas", "slow", `{"beat":1,"serves":"`+first+`"}`).Err(); err != nil {
		t.Fatal(err)
	}
	dir := shop(t, "0.35")
	type ended struct {
		code int
		diag string
	}
	slow := make(chan ended, 1)
	go func() {
		code, _, diag := run(t, nil, "catalogue", "publish", dir, "--redis", url, "--wait", "25s")
		slow <- ended{code, diag}
	}()
	eventually(t, "a staged revision", func() (bool, string) {
		n := desk.Exists(t.Context(), "{endfloat}:staged").Val()
		return n == 1, "none"
	})
	second := publishes(t, url, shop(t, "0.30"), "--wait", "0s")
	if err := desk.HDel(t.Context(), "{endfloat}:replicas", "slow").Err(); err != nil {
		t.Fatal(err)
	}
	if e := <-slow; e.code != 2 || !strings.Contains(e.diag, "somebody else published meanwhile") {
		t.Errorf("%d %s", e.code, e.diag)
	}
	if now := desk.Get(t.Context(), "{endfloat}:current").Val(); !strings.HasPrefix(now, second+"/") {
		t.Errorf("in use is %s", now)
	}
}

func TestOldRevisionsAreDropped(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	var names []string
	for _, upper := range []string{"0.40", "0.39", "0.38", "0.37"} {
		names = append(names, publishes(t, url, shop(t, upper), "--keep", "2"))
	}
	_, out, _ := run(t, nil, "catalogue", "revisions", "--redis", url)
	for i, name := range names {
		if strings.Contains(out, name) != (i >= 2) {
			t.Errorf("%s, which is the %d. of four:\n%s", name, i+1, out)
		}
	}
	desk := r.desk(t)
	// Of each of the two that stay: a record and a family. All share one head, since neither date nor defaults differ.
	if m, b := desk.Keys(t.Context(), "*:manifest:*").Val(), desk.Keys(t.Context(), "*:blob:*").Val(); len(m) != 2 || len(b) != 3 {
		t.Errorf("%d records, %d pieces", len(m), len(b))
	}
	if code, _, diag := run(t, nil, "catalogue", "rollback", names[0], "--redis", url); code != 2 || !strings.Contains(diag, "there is no such revision") {
		t.Errorf("%d %s", code, diag)
	}
}

// A compiled file is published like a directory.
func TestACompiledCatalogueIsPublished(t *testing.T) {
	t.Parallel()
	url := "redis://" + newRedis(t).addr
	file := filepath.Join(t.TempDir(), "shop.endfloat")
	if code, _, diag := run(t, nil, "catalogue", "compile", shop(t, "0.40"), file); code != 0 {
		t.Fatal(diag)
	}
	name := publishes(t, url, file)
	follower(t, url).serves(t, "0.40")
	blob, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	blob[len(blob)-2] ^= 1
	if err := os.WriteFile(file, blob, 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, diag := run(t, nil, "catalogue", "publish", file, "--redis", url); code != 2 || !strings.Contains(diag, "does not agree with its digest") {
		t.Errorf("%d %s", code, diag)
	}
	if _, out, _ := run(t, nil, "catalogue", "revisions", "--redis", url); strings.Count(out, "r-") != 2 || !strings.Contains(out, name) {
		t.Error(out)
	}
}
