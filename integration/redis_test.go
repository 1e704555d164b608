//go:build integration

package integration_test

import (
	"crypto/ed25519"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/redis/go-redis/v9"
)

// redisd is a Redis, or a Sentinel, that runs on loopback.
type redisd struct {
	addr string
	args []string
	cmd  *exec.Cmd
	log  string
}

// freePort is a port that nobody uses now.
func freePort(t testing.TB) string {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = ln.Close() }()
	_, port, _ := net.SplitHostPort(ln.Addr().String())
	return port
}

// newRedis starts a Redis with a directory of its own that writes nothing to disk unless it is told to.
func newRedis(t testing.TB, args ...string) *redisd {
	t.Helper()
	port := freePort(t)
	dir := t.TempDir()
	r := &redisd{addr: "127.0.0.1:" + port, log: filepath.Join(dir, "log")}
	r.args = append([]string{"--port", port, "--bind", "127.0.0.1", "--dir", dir, "--save", "", "--logfile", r.log}, args...)
	r.start(t)
	return r
}

func (r *redisd) start(t testing.TB) {
	t.Helper()
	r.cmd = exec.Command("redis-server", r.args...)
	if err := r.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	cmd := r.cmd
	t.Cleanup(func() {
		if cmd.ProcessState == nil {
			_ = cmd.Process.Signal(syscall.SIGCONT) // it may be stopped
			_ = cmd.Process.Kill()
			_ = cmd.Wait()
		}
	})
	r.awaitOpen(t)
}

func (r *redisd) awaitOpen(t testing.TB) {
	t.Helper()
	eventually(t, "a connection to Redis", func() (bool, string) {
		c, err := net.DialTimeout("tcp", r.addr, time.Second)
		if err != nil {
			log, _ := os.ReadFile(r.log)
			return false, err.Error() + "\n" + string(log)
		}
		_ = c.Close()
		return true, ""
	})
}

// kill ends it as a power cut would.
func (r *redisd) kill(t testing.TB) {
	t.Helper()
	if err := r.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = r.cmd.Wait() // it was killed
}

// hang stops it: connections are taken, since the kernel takes them, and nothing is answered.
func (r *redisd) hang(t testing.TB) { r.signal(t, syscall.SIGSTOP) }

// wake ends hang.
func (r *redisd) wake(t testing.TB) { r.signal(t, syscall.SIGCONT) }

func (r *redisd) signal(t testing.TB, s syscall.Signal) {
	t.Helper()
	if err := r.cmd.Process.Signal(s); err != nil {
		t.Fatal(err)
	}
}

// desk is a client of the tests themselves.
func (r *redisd) desk(t testing.TB) *redis.Client {
	t.Helper()
	c := redis.NewClient(&redis.Options{Addr: r.addr})
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// eventually polls until something is so. Nothing is measured with it.
func eventually(t testing.TB, what string, so func() (bool, string)) {
	t.Helper()
	tick := time.NewTicker(10 * time.Millisecond)
	defer tick.Stop()
	for until := time.Now().Add(patience); ; <-tick.C {
		ok, says := so()
		if ok {
			return
		}
		if time.Now().After(until) {
			t.Fatalf("%s did not come; the last was %s", what, says)
		}
	}
}

// shop writes a catalogue of one spec, whose upper limit tells one state from another.
func shop(t testing.TB, upper string) string {
	t.Helper()
	dir := t.TempDir()
	text := "family: x-1\nname: X-1\nsource: {class: shop_measured, title: Own book, reviewed: 2026-11-01}\ncomponents:\n  - id: shaft\n    name: Shaft\n" +
		"    specs:\n      - {id: play, kind: dimension, name: Play, unit: mm, band: {lower: 0.10, upper: " + upper + "}}\n"
	if err := os.WriteFile(filepath.Join(dir, "x-1.yaml"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return dir
}

const shopPlay = "/v1/families/x-1/components/shaft/specs/play"

// follower starts a service that follows a Redis.
func follower(t testing.TB, url string, args ...string) *service {
	t.Helper()
	s := begin(t, []string{"ENDFLOAT_REDIS=" + url}, append([]string{"--addr", "127.0.0.1:0"}, args...)...)
	s.awaitAddress(t)
	return s
}

func get(t testing.TB, url string) answer {
	t.Helper()
	return send(t, &http.Client{Timeout: patience}, request(t, http.MethodGet, url, ""))
}

// serves waits until a service gives out the shop's upper limit.
func (s *service) serves(t testing.TB, upper string) {
	t.Helper()
	eventually(t, "an upper limit of "+upper, func() (bool, string) {
		a := get(t, s.URL+shopPlay)
		return a.Status == http.StatusOK && strings.Contains(string(a.Body), `"upper":`+upper), string(a.Body)
	})
}

// warns is what /readyz says beside being ready, which it always is.
func (s *service) warns(t testing.TB) string {
	t.Helper()
	a := get(t, s.URL+"/readyz")
	var said struct{ Warnings []string }
	if err := json.Unmarshal(a.Body, &said); err != nil || a.Status != http.StatusOK {
		t.Fatalf("%d %s %v", a.Status, a.Body, err)
	}
	return strings.Join(said.Warnings, " ")
}

// warnsOf waits until /readyz says something; the empty text means nothing at all.
func (s *service) warnsOf(t testing.TB, text string) {
	t.Helper()
	eventually(t, fmt.Sprintf("a warning of %q", text), func() (bool, string) {
		w := s.warns(t)
		return text == "" && w == "" || text != "" && strings.Contains(w, text), w
	})
}

// publishes runs endfloat catalogue publish, which has to go well, and returns the name of the revision.
func publishes(t *testing.T, url, dir string, args ...string) string {
	t.Helper()
	code, out, diag := run(t, []string{"ENDFLOAT_REDIS=" + url}, append([]string{"catalogue", "publish", dir}, args...)...)
	if code != 0 {
		t.Fatalf("publish: %d\n%s%s", code, out, diag)
	}
	name, _, ok := strings.Cut(out, " is in use")
	if !ok {
		t.Fatalf("publish says %q", out)
	}
	return name
}

// keyFiles writes an Ed25519 pair as PEM (RFC 8410).
func keyFiles(t testing.TB) (private, public string) {
	t.Helper()
	pub, key, err := ed25519.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	write := func(name, kind string, der []byte, err error) string {
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(dir, name)
		if err := os.WriteFile(file, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: der}), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	der, err := x509.MarshalPKCS8PrivateKey(key)
	private = write("private.pem", "PRIVATE KEY", der, err)
	der, err = x509.MarshalPKIXPublicKey(pub)
	return private, write("public.pem", "PUBLIC KEY", der, err)
}
