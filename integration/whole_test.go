//go:build integration

package integration_test

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/redis/go-redis/v9"
	"go.yaml.in/yaml/v3"
)

// deployment is what docker/compose.yaml describes, on loopback: a Redis with its users, three replicas, and nginx.
type deployment struct {
	redis     *redisd
	files     string // what replicas mount
	signs     string // the key that catalogues are signed with
	reader    string // addresses of Redis, with the way to the password
	publisher string
	replicas  *replicas
	edge      *edge
}

// newSecrets is a directory with what docker/secrets makes.
func newSecrets(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if out, err := exec.CommandContext(t.Context(), "../docker/secrets", dir).CombinedOutput(); err != nil {
		t.Fatalf("docker/secrets: %v\n%s", err, out)
	}
	return dir
}

func deploy(t *testing.T, settings ...string) *deployment {
	t.Helper()
	secrets := newSecrets(t)
	users := filepath.Join(secrets, "users.acl")
	text, err := os.ReadFile(users)
	if err != nil {
		t.Fatal(err)
	}
	// One user more, for the test itself.
	ours := filepath.Join(t.TempDir(), "users.acl")
	if err := os.WriteFile(ours, append(text, "user desk on nopass ~* &* +@all\n"...), 0o600); err != nil {
		t.Fatal(err)
	}
	d := &deployment{redis: newRedis(t, redisCommand(t, ours)...)}
	d.reader = "redis://reader@" + d.redis.addr + "?password_file=" + filepath.Join(secrets, "redis-reader")
	d.publisher = "redis://publisher@" + d.redis.addr + "?password_file=" + filepath.Join(secrets, "redis-publisher")
	d.files, d.signs = filepath.Join(secrets, "endfloat"), filepath.Join(secrets, "publisher-key.pem")
	own := []string{"ENDFLOAT_REDIS=" + d.reader, "ENDFLOAT_TRUSTED_PROXIES=127.0.0.1", "ENDFLOAT_KEYS=" + filepath.Join(d.files, "keys.json"),
		"ENDFLOAT_PUBLISHER_KEY=" + filepath.Join(d.files, "publishers.pem"), "ENDFLOAT_SIGNING_KEY=" + filepath.Join(d.files, "signing-key.pem")}
	d.replicas = startReplicas(t, append(own, settings...)...)
	d.edge = startEdge(t, d.replicas.addrs)
	return d
}

// redisCommand are the arguments of the Redis of docker/compose.yaml, with places of this machine.
func redisCommand(t *testing.T, users string) []string {
	t.Helper()
	var file struct {
		Services map[string]struct {
			Command []string
		}
	}
	if err := yaml.Unmarshal(content(t, "docker/compose.yaml"), &file); err != nil {
		t.Fatal(err)
	}
	args := file.Services["redis"].Command
	if len(args) < 10 || args[0] != "redis-server" {
		t.Fatalf("the Redis of docker/compose.yaml is started by %q", args)
	}
	args = args[1:]
	for i, arg := range args {
		switch arg {
		case "--aclfile":
			args[i+1] = users
		case "--dir":
			args[i+1] = t.TempDir()
		}
	}
	return args
}

// desk is a client that may do everything.
func (d *deployment) desk(t *testing.T) *redis.Client {
	t.Helper()
	c := redis.NewClient(&redis.Options{Addr: d.redis.addr, Username: "desk", Password: "any"})
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// A catalogue that is published reaches all three replicas, what callers use is counted for all three together, and no
// command that the service sends is refused to its users.
func TestTheWholeDeployment(t *testing.T) {
	t.Parallel()
	d := deploy(t, "ENDFLOAT_QUOTA=30/1h")
	keys := filepath.Join(d.files, "keys.json")
	key, _ := newKey(t, keys, "--name", "dealer")
	desk := d.desk(t)
	publishes(t, d.publisher, shop(t, "0.40"), "--publisher-key", d.signs)
	for _, s := range d.replicas.now {
		s.serves(t, "0.40")
		s.warnsOf(t, "")
	}
	eventually(t, "three replicas that count together", func() (bool, string) {
		n, err := desk.ZCard(t.Context(), "endfloat:quota:replicas").Result()
		return n == 3, fmt.Sprint(n, err)
	})
	status, cost := map[int]int{}, 0
	for i := range 60 {
		a := send(t, plain, request(t, http.MethodPost, d.edge.URL+"/v1/evaluations", `{"checks":[]}`, "Content-Type", "application/json"))
		status[a.Status]++
		if a.Status == http.StatusTooManyRequests && a.Header.Get("Retry-After") == "" {
			t.Errorf("%v %s", a.Header, a.Body)
		}
		if left := regexp.MustCompile(`;r=(\d+)`).FindStringSubmatch(a.Header.Get("RateLimit")); i == 0 && left != nil {
			remaining, _ := strconv.Atoi(left[1])
			cost = 30 - remaining
		}
	}
	// 30 units are one caller's for an hour, whichever replica is asked. Where Redis was too slow for a moment, a replica
	// counted its share by itself; three that counted apart would give three times as much.
	if good := 60 - status[429]; cost < 1 || good < 1 || good > 2*30/cost {
		t.Errorf("%v: of 60 that cost %d units each, %d have enough", status, cost, 30/max(cost, 1))
	}
	publishes(t, d.publisher, shop(t, "0.35"), "--publisher-key", d.signs)
	for _, s := range d.replicas.now {
		s.serves(t, "0.35")
	}
	if code, out, diag := run(t, []string{"ENDFLOAT_REDIS=" + d.publisher}, "catalogue", "rollback"); code != 0 {
		t.Errorf("rollback: %d %s%s", code, out, diag)
	}
	for _, s := range d.replicas.now {
		s.serves(t, "0.40")
	}
	d.revokes(t, keys, strings.TrimSpace(key))
	// The health check of its container, which shows no password.
	_, port, _ := strings.Cut(d.redis.addr, ":")
	if out, err := exec.CommandContext(t.Context(), "redis-cli", "-p", port, "ping").Output(); err != nil || string(out) != "PONG\n" {
		t.Errorf("redis-cli ping: %q %v", out, err)
	}
	log, err := desk.Do(t.Context(), "ACL", "LOG").Slice()
	if err != nil || len(log) > 0 {
		t.Errorf("refused: %v %v", log, err)
	}
}

// revokes ends the one key of a file on another desk than that of the replicas, and waits until every replica refuses it.
func (d *deployment) revokes(t *testing.T, keys, key string) {
	t.Helper()
	ask := func(s *service) int {
		return send(t, plain, request(t, http.MethodGet, s.URL+"/v1", "", "Authorization", "Bearer "+key)).Status
	}
	known := func(want int) {
		for _, s := range d.replicas.now {
			eventually(t, fmt.Sprintf("%d for the key", want), func() (bool, string) {
				status := ask(s)
				return status == want, strconv.Itoa(status)
			})
		}
	}
	known(http.StatusOK)
	copied := filepath.Join(t.TempDir(), "keys")
	text, err := os.ReadFile(keys)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(copied, text, 0o600); err != nil {
		t.Fatal(err)
	}
	_, list, _ := run(t, nil, "keys", "list", "--keys", copied)
	id := regexp.MustCompile(`(?m)^(\S+) +.*dealer`).FindStringSubmatch(list)
	if id == nil {
		t.Fatalf("keys list says %q", list)
	}
	if code, out, diag := run(t, nil, "keys", "revoke", id[1], "--keys", copied, "--redis", d.publisher); code != 0 {
		t.Fatalf("keys revoke: %d %s%s", code, out, diag)
	}
	known(http.StatusUnauthorized)
}

// Replicas that are restarted in turn while Redis is away start with their last good copies: nobody is answered
// otherwise, let alone not at all.
func TestARollingRestartWhileRedisIsAway(t *testing.T) { //nolint:paralleltest // it is a load
	archives := t.TempDir()
	for i := 1; i <= 3; i++ {
		if err := os.Mkdir(filepath.Join(archives, strconv.Itoa(i)), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	d := deploy(t, "ENDFLOAT_QUOTA=1000000000/1h", "ENDFLOAT_ARCHIVE="+filepath.Join(archives, "REPLICA"))
	publishes(t, d.publisher, demoOf(t, "PL-85 of the shop"), "--publisher-key", d.signs)
	for i, s := range d.replicas.now {
		eventually(t, "the published family", func() (bool, string) {
			a := get(t, s.URL+"/v1/families/pl-85")
			return strings.Contains(string(a.Body), "of the shop"), string(a.Body)
		})
		awaitCopy(t, filepath.Join(archives, strconv.Itoa(i+1)))
	}
	list := errands(t, d.edge.URL)
	d.redis.kill(t)
	rolled, restarts := d.replicas.roll(t, syscall.SIGTERM, 0, func(stop func(int64) bool) *driven {
		return drive(d.edge.URL, 8, list, func(asked int64) bool { return asked > 8000 && stop(asked) })
	})
	var said strings.Builder
	rolled.table(&said)
	t.Logf("%d restarts, %d failed:\n%s", restarts, rolled.fails, said.String())
	if rolled.fails > 0 {
		t.Errorf("%d failed: %q", rolled.fails, rolled.failed)
	}
	for _, s := range d.replicas.now {
		s.warnsOf(t, "The last good copy on disk serves.")
	}
}

// demoOf is a copy of the demo in which a family has another name.
func demoOf(t *testing.T, name string) string {
	t.Helper()
	dir := t.TempDir()
	for _, file := range tracked(t) {
		if base, ok := strings.CutPrefix(file, "specdb/data/"); ok && !strings.Contains(base, "/") && strings.HasSuffix(base, ".yaml") {
			text := strings.Replace(string(content(t, file)), "name: PL-85\n", "name: "+name+"\n", 1)
			if err := os.WriteFile(filepath.Join(dir, base), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	return dir
}

// What DEVELOPERS.md grants to who follows and who publishes is in the list that ships, which grants quotas and keys too.
func TestTheUsersThatShipAreTheDocumentedOnes(t *testing.T) {
	t.Parallel()
	shipped := string(content(t, "docker/users.acl"))
	for documented, name := range map[string]string{"endfloat-reader": "reader", "endfloat-publisher": "publisher"} {
		line := regexp.MustCompile(`(?m)^user ` + name + ` on #` + name + ` (.*)$`).FindStringSubmatch(shipped)
		if line == nil {
			t.Fatalf("docker/users.acl has no %s", name)
		}
		has := strings.Fields(line[1])
		for _, grant := range strings.Fields(users(t)[documented])[4:] {
			if !slices.Contains(has, grant) {
				t.Errorf("docker/users.acl does not say %q of %s", grant, name)
			}
		}
	}
}

// A replica cannot change what all serve, a publisher cannot wipe it, and a stranger can do nothing.
func TestUsersOfRedisMayDoNoMore(t *testing.T) {
	t.Parallel()
	d := deploy(t)
	password := func(url string) string {
		file := url[strings.Index(url, "password_file=")+len("password_file="):]
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	for _, who := range []struct {
		name, password string
		never          []string
	}{
		{"reader", password(d.reader), []string{"SET {endfloat}:current x", "DEL {endfloat}:current", "SET {endfloat}:blob:x y", "PUBLISH {endfloat}:hint x", "SADD endfloat:keys:revoked x", "SET other x", "GET other"}},
		{"publisher", password(d.publisher), []string{"SET other x", "GET other", "SET endfloat:quota:a x"}},
		{"default", "", []string{"GET {endfloat}:current", "SET x y"}},
	} {
		c := redis.NewClient(&redis.Options{Addr: d.redis.addr, Username: who.name, Password: who.password})
		if who.password == "" {
			c = redis.NewClient(&redis.Options{Addr: d.redis.addr})
		}
		for _, line := range append(who.never, "FLUSHALL", "KEYS *", "SCAN 0", "CONFIG GET *", "ACL LIST", "SHUTDOWN", "MONITOR", "REPLICAOF no one", "MODULE LIST", "SCRIPT FLUSH", "EVAL return{redis.call('flushall')} 0") {
			var words []any
			for word := range strings.FieldsSeq(line) {
				words = append(words, word)
			}
			if err := c.Do(context.Background(), words...).Err(); err == nil || !strings.Contains(err.Error(), "NOPERM") && !strings.Contains(err.Error(), "no permissions") && !strings.Contains(err.Error(), "can't run this command") && !strings.Contains(err.Error(), "ACL failure") {
				t.Errorf("%s may %s: %v", who.name, line, err)
			}
		}
		_ = c.Close()
	}
}
