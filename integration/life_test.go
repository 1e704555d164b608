//go:build integration

package integration_test

import (
	"encoding/json"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
)

const axialPlay = "/v1/families/pl-85/components/counter-shaft/specs/axial-play"

func TestStartsWithNothingAndDrainsOnSignals(t *testing.T) {
	t.Parallel()
	for _, sig := range []syscall.Signal{syscall.SIGTERM, syscall.SIGINT} {
		t.Run(sig.String(), func(t *testing.T) {
			t.Parallel()
			s := start(t)
			client := s.caller(t)
			for _, path := range []string{"/livez", "/readyz", "/v1", axialPlay} {
				if a := send(t, client, request(t, http.MethodGet, s.URL+path, "")); a.Status != http.StatusOK {
					t.Errorf("%s: %d %s", path, a.Status, a.Body)
				}
			}
			if code := s.end(t, sig); code != 0 {
				t.Errorf("exit code %d\n%s", code, s.log)
			}
			for line := range strings.Lines(s.log.String()) {
				if !json.Valid([]byte(line)) {
					t.Errorf("logged %q, which is no JSON", line)
				}
			}
		})
	}
}

// A request that has begun is answered although the signal to stop has come.
func TestARequestThatHasBegunIsAnswered(t *testing.T) {
	t.Parallel()
	s := start(t)
	conn, err := net.Dial("tcp", strings.TrimPrefix(s.URL, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close() }()
	if err := conn.SetDeadline(time.Now().Add(patience)); err != nil {
		t.Fatal(err)
	}
	body := `{"checks":[]}`
	head := "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nContent-Length: 13\r\nExpect: 100-continue\r\n\r\n"
	if _, err := conn.Write([]byte(head)); err != nil {
		t.Fatal(err)
	}
	const goOn = "HTTP/1.1 100 Continue\r\n\r\n"
	told := make([]byte, len(goOn))
	if _, err := conn.Read(told); err != nil || string(told) != goOn { // the handler is reading now
		t.Fatalf("%q %v", told, err)
	}
	if err := s.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	awaitRefusal(t, s)
	if _, err := conn.Write([]byte(body)); err != nil {
		t.Fatal(err)
	}
	reply := make([]byte, 12)
	if _, err := conn.Read(reply); err != nil || !strings.HasPrefix(string(reply), "HTTP/1.1 ") {
		t.Fatalf("%q %v", reply, err)
	}
	_ = conn.Close()
	if code := s.wait(t); code != 0 {
		t.Errorf("exit code %d\n%s", code, s.log)
	}
}

// awaitRefusal returns once no new connection is taken.
func awaitRefusal(t *testing.T, s *service) {
	t.Helper()
	for until := time.Now().Add(patience); time.Now().Before(until); {
		c, err := net.DialTimeout("tcp", strings.TrimPrefix(s.URL, "http://"), time.Second)
		if err != nil {
			return
		}
		_ = c.Close()
	}
	t.Fatal("new connections are still taken")
}

func run(t *testing.T, env []string, args ...string) (code int, out, diag string) {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), binary(t), args...)
	cmd.Env = append(clean(), env...)
	var o, d strings.Builder
	cmd.Stdout, cmd.Stderr = &o, &d
	overdue := time.AfterFunc(patience, func() { _ = cmd.Process.Kill() })
	defer overdue.Stop()
	err := cmd.Run()
	if cmd.ProcessState == nil {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), o.String(), d.String()
}

func TestHelpAndVersion(t *testing.T) {
	t.Parallel()
	code, help, _ := run(t, nil, "--help")
	if code != 0 {
		t.Errorf("--help exits with %d", code)
	}
	flags := regexp.MustCompile(`(?m)^  --([a-z-]+) `).FindAllStringSubmatch(help, -1)
	if len(flags) < 5 {
		t.Errorf("--help names %d flags:\n%s", len(flags), help)
	}
	for _, f := range flags {
		if f[1] == "help" || f[1] == "version" {
			continue
		}
		if name := "ENDFLOAT_" + strings.ToUpper(strings.ReplaceAll(f[1], "-", "_")); !strings.Contains(help, name) {
			t.Errorf("--help does not name %s", name)
		}
	}
	if code, version, _ := run(t, nil, "--version"); code != 0 || !strings.HasPrefix(version, "endfloat ") || strings.Count(version, "\n") != 1 {
		t.Errorf("--version says %q and exits with %d", version, code)
	}
}

func TestWhatCannotStartSaysWhyInOneLineAndExitsWith2(t *testing.T) {
	t.Parallel()
	busy, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = busy.Close() }) // once the parallel rows have ended
	empty, broken := t.TempDir(), t.TempDir()
	if err := os.WriteFile(filepath.Join(broken, "x-1.yaml"), []byte("family: x-1\nfamiliy: twice\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name string
		env  []string
		args []string
		says string
	}{
		{"unknown flag", nil, []string{"--colour"}, "colour"},
		{"unknown command", nil, []string{"dance"}, "dance"},
		{"address without a port", nil, []string{"--addr", "127.0.0.1"}, "addr"},
		{"port that is none", nil, []string{"--addr", "127.0.0.1:99999"}, "99999"},
		{"port that is taken", nil, []string{"--addr", busy.Addr().String()}, "in use"},
		{"address in the environment", []string{"ENDFLOAT_ADDR=nowhere"}, nil, "ENDFLOAT_ADDR"},
		{"unknown log level", nil, []string{"--log-level", "loud"}, "log-level"},
		{"public address that is none", nil, []string{"--public-url", "limits"}, "public-url"},
		{"proxy that is no address", nil, []string{"--trusted-proxies", "nearby"}, "nearby"},
		{"no such catalogue", nil, []string{"--catalogue", filepath.Join(empty, "none")}, "none"},
		{"empty catalogue", nil, []string{"--catalogue", empty}, "catalogue"},
		{"broken catalogue", nil, []string{"--catalogue", broken}, "x-1.yaml"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			code, out, diag := run(t, append([]string{"ENDFLOAT_ADDR=127.0.0.1:0"}, row.env...), row.args...)
			if code != 2 || out != "" || !strings.HasPrefix(diag, "endfloat: ") || !strings.Contains(diag, row.says) ||
				strings.Count(diag, "\n") != 1 && row.name != "broken catalogue" {
				t.Errorf("exit code %d, out %q, said:\n%s", code, out, diag)
			}
		})
	}
}

// Flags win over the environment; the environment wins over presets.
func TestSettingsComeFromFlagsThenEnvironment(t *testing.T) {
	t.Parallel()
	s := begin(t, []string{"ENDFLOAT_ADDR=127.0.0.1:0", "ENDFLOAT_PUBLIC_URL=https://limits.example"})
	s.awaitAddress(t)
	if a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+"/.well-known/api-catalog", "")); !strings.Contains(string(a.Body), "https://limits.example") {
		t.Errorf("the public address is not used: %s", a.Body)
	}
	other := begin(t, []string{"ENDFLOAT_ADDR=nowhere"}, "--addr", "127.0.0.1:0")
	other.awaitAddress(t)
	if code := other.end(t, syscall.SIGTERM); code != 0 {
		t.Errorf("exit code %d", code)
	}
}
