//go:build integration

package integration_test

import (
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
)

// edge is an nginx that runs docker/nginx.conf on loopback.
type edge struct {
	URL string
	dir string
	cmd *exec.Cmd
}

// startEdge runs the nginx of the machine with the configuration that ships. Only places are put into it: where it
// listens, where it keeps its files and where its three replicas are; what else is given replaces a text that stands in
// it exactly once. It listens on a socket that is open already, so that whoever asks at once is answered.
func startEdge(t testing.TB, replicas [3]string, instead ...string) *edge {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = ln.Close() }() // nginx has it by then
	e := &edge{URL: "http://" + ln.Addr().String(), dir: t.TempDir()}
	conf := string(content(t, "docker/nginx.conf"))
	instead = append([]string{"listen 8080 ", "listen " + ln.Addr().String() + " "}, instead...)
	for i, addr := range replicas {
		instead = append(instead, fmt.Sprintf("server endfloat-%d:8080 max", i+1), "server "+addr+" max", fmt.Sprintf("server endfloat-%d:8080 backup", i+1), "server "+addr+" backup")
	}
	for i := 0; i < len(instead); i += 2 {
		if n := strings.Count(conf, instead[i]); n != 1 {
			t.Fatalf("docker/nginx.conf has %q %d times", instead[i], n)
		}
		conf = strings.Replace(conf, instead[i], instead[i+1], 1)
	}
	conf = strings.ReplaceAll(conf, "/var/cache/nginx", e.dir)
	file := filepath.Join(e.dir, "nginx.conf")
	if err := os.WriteFile(file, []byte(conf), 0o600); err != nil {
		t.Fatal(err)
	}
	program, global := nginx(t), "daemon off;"
	if os.Geteuid() == 0 {
		global += " user root;" // in the container nobody is root, and the line is not needed
	}
	if out, err := exec.CommandContext(t.Context(), program, "-t", "-c", file, "-g", global).CombinedOutput(); err != nil {
		t.Fatalf("nginx -t: %v\n%s", err, out)
	}
	e.cmd = exec.Command(program, "-c", file, "-g", global)
	socket, err := ln.(*net.TCPListener).File()
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = socket.Close() }()
	e.cmd.ExtraFiles = []*os.File{socket}
	e.cmd.Env = append(os.Environ(), "NGINX=3;") // how one nginx hands its sockets to the next
	said, err := os.Create(filepath.Join(e.dir, "said"))
	if err != nil {
		t.Fatal(err)
	}
	e.cmd.Stdout, e.cmd.Stderr = said, said
	if err := e.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = e.cmd.Process.Signal(syscall.SIGTERM) // it may have ended
		overdue := time.AfterFunc(patience, func() { _ = e.cmd.Process.Kill() })
		_ = e.cmd.Wait()
		overdue.Stop()
		_ = said.Close()
		if log, err := os.ReadFile(said.Name()); t.Failed() && err == nil {
			t.Logf("nginx said last:\n%s", log[max(0, len(log)-1500):])
		}
	})
	return e
}

// nginx is the path of the program, which is not on everybody's search path.
func nginx(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"nginx", "/usr/sbin/nginx"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatal("nginx is missing; integration/run --install installs it")
	return ""
}

// ask sends a GET with header fields through the edge.
func (e *edge) ask(t testing.TB, path string, header ...string) answer {
	t.Helper()
	return send(t, plain, request(t, http.MethodGet, e.URL+path, "", header...))
}

// plain is a client that neither asks for compression nor undoes it.
var plain = &http.Client{Timeout: patience, Transport: &http.Transport{DisableCompression: true, MaxIdleConnsPerHost: 64}}

// came is the word of Cache-Status (RFC 9211) that says how an answer came about.
func (a answer) came() string {
	_, how, _ := strings.Cut(a.Header.Get("Cache-Status"), "; ")
	return how
}
