//go:build integration

package integration_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/redis/go-redis/v9"
)

// rights are what DEVELOPERS.md adds to the documented users for quotas and revocations.
func rights(t *testing.T) map[string]string {
	t.Helper()
	text, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	more := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^(endfloat-[a-z]+) +([~%].*)$`).FindAllStringSubmatch(string(text), -1) {
		more[m[1]] = m[2]
	}
	if len(more) != 2 {
		t.Fatalf("there are rights for %d users", len(more))
	}
	return more
}

// countingUsers writes an access list of the documented users with those rights, and anything else that both need.
func countingUsers(t *testing.T, both string) string {
	t.Helper()
	text := "user default on nopass ~* &* +@all\n"
	more := rights(t)
	for name, line := range users(t) {
		text += line + " " + more[name] + both + "\n"
	}
	file := filepath.Join(t.TempDir(), "users.acl")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// The documented rights are enough to count quotas and to revoke keys, and a reader can revoke none.
func TestTheDocumentedRightsAreEnoughForQuotas(t *testing.T) {
	t.Parallel()
	r := newRedis(t, "--aclfile", countingUsers(t, ""))
	publishes(t, as("endfloat-publisher", r.addr), shop(t, "0.40"))
	file := filepath.Join(t.TempDir(), "keys.json")
	key, id := newKey(t, file, "--name", "dealer", "--quota", "100/1h")
	s := follower(t, as("endfloat-reader", r.addr), "--keys", file, "--quota", "10/1h", "--trusted-proxies", "127.0.0.1")
	s.warnsOf(t, "")
	if a := s.with(t, key, "/v1/torque-estimates", estimate); a.Status != 200 || a.Header.Get("RateLimit") == "" {
		t.Errorf("%d %v", a.Status, a.Header)
	}
	eventually(t, "a count of the key and one of the address", func() (bool, string) {
		s.with(t, key, "/v1/torque-estimates", estimate)
		(&counting{service: s}).ask(t, "192.0.2.1", 1)
		keys := r.desk(t).Keys(t.Context(), "endfloat:quota:?:*").Val()
		return slices.Contains(keys, "endfloat:quota:a:192.0.2.1") && slices.Contains(keys, "endfloat:quota:k:dealer"), fmt.Sprint(keys)
	})
	copied := filepath.Join(t.TempDir(), "keys.json")
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(copied, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, diag := run(t, nil, "keys", "revoke", id, "--keys", copied, "--redis", as("endfloat-publisher", r.addr)); code != 0 {
		t.Errorf("%d %s", code, diag)
	}
	eventually(t, "the end of the key", func() (bool, string) {
		return s.with(t, key, "/v1/torque-estimates", estimate).Status == 401, ""
	})
	refused(t, r)
	if code, _, diag := run(t, nil, "keys", "revoke", id, "--keys", copied, "--redis", as("endfloat-reader", r.addr)); code != 1 || !strings.Contains(diag, "NOPERM") {
		t.Errorf("a reader revokes: %d %s", code, diag)
	}
}

// In a Cluster the callers are spread over the nodes, and each is counted on one.
func TestQuotasInACluster(t *testing.T) {
	t.Parallel()
	nodes := clusterOf(t)
	url := "redis://" + nodes[0].addr + "?cluster=true"
	url = strings.TrimPrefix(url, "redis://")
	one, other := counts(t, url, "10/1h"), counts(t, url, "10/1h")
	for i := range 12 {
		allowed := 0
		together(t, []*counting{one, other}, func(from string) {
			from = fmt.Sprintf("10.%d.%s", i, strings.TrimPrefix(from, "192.0."))
			allowed = one.ask(t, from, 8).allowed + other.ask(t, from, 8).allowed
		})
		if allowed != 10 {
			t.Errorf("%d of 16, want 10", allowed)
		}
	}
	holding := 0
	for _, n := range nodes {
		if len(n.desk(t).Keys(t.Context(), "endfloat:quota:a:*").Val()) > 0 {
			holding++
		}
	}
	if holding < 2 {
		t.Errorf("%d nodes count", holding)
	}
}

// A failover costs a while of counting alone, and nothing else.
func TestQuotasThroughAFailover(t *testing.T) {
	t.Parallel()
	master := newRedis(t)
	_, port, _ := strings.Cut(master.addr, ":")
	second := newRedis(t, "--replicaof", "127.0.0.1 "+port)
	var watch []*redisd
	for range 3 {
		watch = append(watch, newSentinel(t, master.addr))
	}
	sentinel := redis.NewSentinelClient(&redis.Options{Addr: watch[0].addr})
	t.Cleanup(func() { _ = sentinel.Close() })
	eventually(t, "a replica and two more Sentinels", func() (bool, string) {
		m := sentinel.Master(t.Context(), "main").Val()
		return m["num-slaves"] == "1" && m["num-other-sentinels"] == "2", fmt.Sprint(m)
	})
	s := counts(t, watch[0].addr+"?master_name=main&addr="+watch[1].addr+"&addr="+watch[2].addr, "40/1h")
	s.awaits(t, "quota_redis_up", 1)
	before, caller := 0, ""
	together(t, []*counting{s}, func(from string) { before, caller = s.ask(t, from, 25).allowed, from })
	if before != 25 {
		t.Errorf("before: %d of 25", before)
	}
	master.kill(t)
	during := s.ask(t, caller, 300)
	t.Logf("during a failover: %v", during)
	if during.allowed != 15 {
		t.Errorf("during: %d, and 15 were left", during.allowed)
	}
	eventually(t, "a count on the second one", func() (bool, string) {
		s.ask(t, "198.51.100.2", 1)
		keys := second.desk(t).Keys(t.Context(), "endfloat:quota:a:198.51.100.2").Val()
		role := second.desk(t).Do(t.Context(), "ROLE").String()
		return len(keys) == 1 && strings.Contains(role, "master"), fmt.Sprint(keys, role)
	})
	s.awaits(t, "quota_redis_up", 1)
}
