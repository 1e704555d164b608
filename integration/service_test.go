//go:build integration

package integration_test

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"endfloat/api/apitest"
)

// patience is how long a test waits for what must come. Nothing is measured with it.
const patience = 30 * time.Second

// program is the built service, made once for all tests.
type program struct {
	once sync.Once
	dir  string
	path string
	err  error
}

func (p *program) build() {
	if p.dir, p.err = os.MkdirTemp("", "endfloat"); p.err != nil {
		return
	}
	p.path = filepath.Join(p.dir, "endfloat")
	cmd := exec.CommandContext(context.Background(), "go", "build", "-trimpath", "-o", p.path, "./api/cmd/endfloat")
	cmd.Dir = ".."
	cmd.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := cmd.CombinedOutput(); err != nil {
		p.err = fmt.Errorf("go build: %w\n%s", err, out)
	}
}

var built = &program{}

func TestMain(m *testing.M) {
	code := m.Run()
	if built.dir != "" {
		_ = os.RemoveAll(built.dir) // only temporary
	}
	os.Exit(code)
}

func binary(t testing.TB) string {
	t.Helper()
	built.once.Do(built.build)
	if built.err != nil {
		t.Fatal(built.err)
	}
	return built.path
}

// service is a running one.
type service struct {
	URL string
	cmd *exec.Cmd
	log *bytes.Buffer // to be read once it has ended
	out *bufio.Reader
}

// start runs the built service on a free port of loopback and ends it with the test.
func start(t testing.TB) *service {
	t.Helper()
	s := begin(t, nil, "--addr", "127.0.0.1:0")
	s.awaitAddress(t)
	return s
}

// begin runs the built service with just these arguments, and environment variables in the form NAME=value.
func begin(t testing.TB, env []string, args ...string) *service {
	t.Helper()
	s := &service{cmd: exec.Command(binary(t), args...), log: &bytes.Buffer{}}
	s.cmd.Env = append(clean(), env...)
	s.cmd.Stderr = s.log
	out, err := s.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	s.out = bufio.NewReader(out)
	t.Cleanup(func() {
		if s.cmd.ProcessState == nil {
			_ = s.cmd.Process.Kill() // it may have ended just now
			_ = s.cmd.Wait()
		}
	})
	return s
}

// clean is the environment without the settings of a service.
func clean() []string {
	var env []string
	for _, v := range os.Environ() {
		if !strings.HasPrefix(v, "ENDFLOAT_") {
			env = append(env, v)
		}
	}
	return env
}

func (s *service) awaitAddress(t testing.TB) {
	t.Helper()
	type line struct {
		text string
		err  error
	}
	first := make(chan line, 1)
	go func() {
		text, err := s.out.ReadString('\n')
		first <- line{text, err}
	}()
	select {
	case got := <-first:
		_, addr, ok := strings.Cut(strings.TrimSpace(got.text), "serving on http://127.")
		if got.err != nil || !ok {
			_ = s.cmd.Process.Kill() // so that what it logged can be read
			_ = s.cmd.Wait()
			t.Fatalf("the service said %q (%v) in place of its address\n%s", got.text, got.err, s.log)
		}
		s.URL = "http://127." + addr
	case <-time.After(patience):
		t.Fatal("the service did not say its address")
	}
}

// end sends a signal and returns the exit code.
func (s *service) end(t testing.TB, sig syscall.Signal) int {
	t.Helper()
	if err := s.cmd.Process.Signal(sig); err != nil {
		t.Fatal(err)
	}
	return s.wait(t)
}

func (s *service) wait(t testing.TB) int {
	t.Helper()
	overdue := time.AfterFunc(patience, func() { _ = s.cmd.Process.Kill() })
	defer overdue.Stop()
	_, _ = io.Copy(io.Discard, s.out) // until it ends
	err := s.cmd.Wait()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return s.cmd.ProcessState.ExitCode()
}

// caller is a client whose every exchange is held against the OpenAPI file that the service serves.
func (s *service) caller(t testing.TB) *http.Client {
	t.Helper()
	a := send(t, &http.Client{Timeout: patience}, request(t, http.MethodGet, s.URL+"/openapi.json", ""))
	if a.Status != http.StatusOK {
		t.Fatalf("/openapi.json: %d", a.Status)
	}
	file, err := apitest.Read(a.Body)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Timeout: patience, Transport: file.Transport(t, nil)}
}

// answer is what came back, its body whole.
type answer struct {
	Status int
	Header http.Header
	Body   []byte
}

func request(t testing.TB, method, url, body string, header ...string) *http.Request {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Add(header[i], header[i+1])
	}
	return req
}

func send(t testing.TB, client *http.Client, req *http.Request) answer {
	t.Helper()
	res, err := client.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer{res.StatusCode, res.Header, body}
}
