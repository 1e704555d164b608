//go:build integration

package integration_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/redis/go-redis/v9"
)

// newSentinel starts a Sentinel that watches a Redis under the name main.
func newSentinel(t *testing.T, master string) *redisd {
	t.Helper()
	host, port, _ := strings.Cut(master, ":")
	dir := t.TempDir()
	own := freePort(t)
	file := filepath.Join(dir, "sentinel.conf")
	text := "port " + own + "\nbind 127.0.0.1\ndir " + dir + "\nlogfile " + filepath.Join(dir, "log") + "\nsentinel monitor main " + host + " " + port + " 2\n" +
		"sentinel down-after-milliseconds main 3000\nsentinel failover-timeout main 10000\nsentinel parallel-syncs main 1\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	r := &redisd{addr: "127.0.0.1:" + own, args: []string{file, "--sentinel"}, log: filepath.Join(dir, "log")}
	r.start(t)
	return r
}

// A failover changes who is written to and read from, and nothing that anybody is answered.
func TestFollowsThroughAFailover(t *testing.T) {
	t.Parallel()
	master := newRedis(t)
	_, port, _ := strings.Cut(master.addr, ":")
	second := newRedis(t, "--replicaof", "127.0.0.1 "+port)
	var watch []*redisd
	for range 3 {
		watch = append(watch, newSentinel(t, master.addr))
	}
	url := "redis://" + watch[0].addr + "?master_name=main&addr=" + watch[1].addr + "&addr=" + watch[2].addr
	sentinel := redis.NewSentinelClient(&redis.Options{Addr: watch[0].addr})
	t.Cleanup(func() { _ = sentinel.Close() })
	eventually(t, "a replica and two more Sentinels", func() (bool, string) {
		m := sentinel.Master(t.Context(), "main").Val()
		return m["num-slaves"] == "1" && m["num-other-sentinels"] == "2", fmt.Sprint(m)
	})
	publishes(t, url, shop(t, "0.40"))
	s := follower(t, url)
	s.serves(t, "0.40")
	s.warnsOf(t, "")
	publishes(t, url, shop(t, "0.35"))
	s.serves(t, "0.35")
	eventually(t, "the same on the second one", func() (bool, string) {
		a, b := master.desk(t).Get(t.Context(), "{endfloat}:current").Val(), second.desk(t).Get(t.Context(), "{endfloat}:current").Val()
		return a != "" && a == b, a + " " + b
	})
	master.kill(t)
	s.answersEverything(t)
	eventually(t, "a failover", func() (bool, string) {
		at := sentinel.GetMasterAddrByName(t.Context(), "main").Val()
		return len(at) == 2 && at[0]+":"+at[1] == second.addr, fmt.Sprint(at)
	})
	s.answersEverything(t)
	var name string
	eventually(t, "a publication to the second one", func() (bool, string) {
		code, out, diag := run(t, nil, "catalogue", "publish", shop(t, "0.30"), "--redis", url)
		name, _, _ = strings.Cut(out, " ")
		return code == 0, diag
	})
	s.serves(t, "0.30")
	s.warnsOf(t, "")
	if now := second.desk(t).Get(t.Context(), "{endfloat}:current").Val(); !strings.HasPrefix(now, name+"/") {
		t.Errorf("on the second one %s is in use", now)
	}
}

// clusterOf starts a Cluster of three nodes that share the slots.
func clusterOf(t *testing.T) []*redisd {
	t.Helper()
	var nodes []*redisd
	args := []string{"--cluster", "create"}
	for range 3 {
		// The bus of a node is on a port of its own, which is else the other one and ten thousand.
		n := newRedis(t, "--aclfile", accessList(t, " +cluster|slots +command"), "--cluster-enabled", "yes", "--cluster-port", freePort(t), "--cluster-node-timeout", "5000")
		nodes = append(nodes, n)
		args = append(args, n.addr)
	}
	if out, err := exec.CommandContext(t.Context(), "redis-cli", append(args, "--cluster-yes")...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, n := range nodes {
		desk := n.desk(t)
		eventually(t, "a Cluster", func() (bool, string) {
			info := desk.ClusterInfo(t.Context()).Val()
			return strings.Contains(info, "cluster_state:ok"), info
		})
	}
	return nodes
}

// In a Cluster everything lies in one slot, whoever of the nodes is asked first. The documented users need two rights more.
func TestFollowsACluster(t *testing.T) {
	t.Parallel()
	nodes := clusterOf(t)
	var followers []*service
	for _, n := range nodes {
		followers = append(followers, follower(t, as("endfloat-reader", n.addr)+"?cluster=true", "--quota", "off", "--key-quota", "off"))
	}
	all := as("endfloat-publisher", nodes[0].addr) + "?addr=" + nodes[1].addr + "&addr=" + nodes[2].addr + "&cluster=true"
	first := publishes(t, all, shop(t, "0.40"), "--keep", "1")
	for _, upper := range []string{"0.39", "0.38", "0.37"} {
		publishes(t, all, shop(t, upper), "--keep", "1")
		for _, s := range followers {
			s.serves(t, upper)
		}
	}
	if code, _, diag := run(t, nil, "catalogue", "rollback", "--redis", all); code != 0 {
		t.Fatal(diag)
	}
	for _, s := range followers {
		s.serves(t, "0.38")
		s.warnsOf(t, "")
	}
	code, out, _ := run(t, nil, "catalogue", "revisions", "--redis", all)
	if code != 0 || strings.Contains(out, first) || strings.Count(out, "replica ") != 3 {
		t.Errorf("%d\n%s", code, out)
	}
	holding := 0
	for _, n := range nodes {
		refused(t, n)
		if n.desk(t).DBSize(t.Context()).Val() > 0 {
			holding++
		}
	}
	if holding != 1 {
		t.Errorf("%d nodes hold something", holding)
	}
	for _, n := range nodes {
		n.kill(t)
	}
	for _, s := range followers {
		s.answersEverything(t)
	}
}
