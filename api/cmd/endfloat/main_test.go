package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
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

	"go.uber.org/goleak"
)

// TestMain lets the test program stand in for the command, so that signals and exit codes are the real ones.
func TestMain(m *testing.M) {
	if os.Getenv("BE_ENDFLOAT") == "1" {
		main()
		return
	}
	code := m.Run()
	http.DefaultClient.CloseIdleConnections() // ours, not those of the service
	if err := goleak.Find(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// start runs the command as a process of its own and waits until it serves.
func start(t *testing.T, env []string, args ...string) (cmd *exec.Cmd, base string) {
	t.Helper()
	cmd, _, base = starting(t, env, args...)
	return cmd, base
}

// starting is start with what the command goes on to say.
func starting(t *testing.T, env []string, args ...string) (cmd *exec.Cmd, out *bufio.Reader, base string) {
	t.Helper()
	cmd = exec.Command(os.Args[0], args...)
	cmd.Env = append(append(os.Environ(), "BE_ENDFLOAT=1"), env...)
	pipe, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill() }) // it has ended by then unless the test failed
	out = bufio.NewReader(pipe)
	line, err := out.ReadString('\n')
	if err != nil {
		t.Fatalf("%q %v", line, err)
	}
	return cmd, out, strings.TrimSpace(strings.TrimPrefix(line, "endfloat: serving on "))
}

func body(t *testing.T, address string) (int, string) {
	t.Helper()
	resp, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = resp.Body.Close() }()
	b, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(b)
}

func TestServesWithoutAnyFlagAndEndsOnSIGTERM(t *testing.T) {
	t.Parallel()
	cmd, base := start(t, []string{"ENDFLOAT_ADDR=127.0.0.1:0"})
	if !regexp.MustCompile(`^http://127\.0\.0\.1:[1-9][0-9]*$`).MatchString(base) {
		t.Fatalf("serving on %q", base)
	}
	if status, text := body(t, base+"/v1/families/pl-85/components/counter-shaft/specs/axial-play"); status != 200 || !strings.Contains(text, `"lower":0.08`) {
		t.Errorf("%d %s", status, text)
	}
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("ended with %v", err)
	}
}

func TestASlowRequestIsAnsweredWhileDraining(t *testing.T) {
	t.Parallel()
	cmd, base := start(t, nil, "--addr", "127.0.0.1:0")
	conn, err := net.Dial("tcp", strings.TrimPrefix(base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = conn.Close() })
	// The interim answer (RFC 9110, section 15.2.1) says that the body is being read.
	if _, err := io.WriteString(conn, "POST /v1/lookups HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nExpect: 100-continue\r\nContent-Length: 48\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	answers := bufio.NewReader(conn)
	interim, err := http.ReadResponse(answers, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = interim.Body.Close() }()
	if interim.StatusCode != http.StatusContinue {
		t.Fatal(interim.Status)
	}
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	// The listener closes first; only then is the rest of the body sent.
	for range 500 {
		c, err := net.DialTimeout("tcp", strings.TrimPrefix(base, "http://"), time.Second)
		if err != nil {
			break
		}
		_ = c.Close()
	}
	if _, err := io.WriteString(conn, `{"keys":["pl-85/counter-shaft/axial-play"]}     `); err != nil {
		t.Fatal(err)
	}
	resp, err := http.ReadResponse(answers, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = resp.Body.Close() }()
	if resp.StatusCode != 200 {
		t.Error(resp.Status)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("ended with %v", err)
	}
}

func TestArguments(t *testing.T) {
	t.Parallel()
	bad := t.TempDir()
	if err := os.WriteFile(filepath.Join(bad, "x.yaml"), []byte("family: x\nname: X\nsource: {class: demo}\ncomponents: [{id: a, name: A, specs: [{id: b, kind: dimension, name: B, unit: mm, band: {lower: 2, upper: 1}}]}]\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name string
		args []string
		env  map[string]string
		code int
		says string
	}{
		{"help", []string{"--help"}, nil, 0, "ENDFLOAT_ADDR"},
		{"short help", []string{"-h"}, nil, 0, "--catalogue"},
		{"version", []string{"--version"}, nil, 0, "endfloat "},
		{"unknown flag", []string{"--colour"}, nil, 2, "colour"},
		{"unknown command", []string{"dance"}, nil, 2, "dance"},
		{"address without a port", []string{"--addr", "localhost"}, nil, 2, "--addr"},
		{"address from the environment", nil, map[string]string{"ENDFLOAT_ADDR": "nowhere"}, 2, "ENDFLOAT_ADDR"},
		{"port that is none", []string{"--addr", "127.0.0.1:99999"}, nil, 2, "99999"},
		{"log level", []string{"--log-level", "loud"}, nil, 2, "--log-level"},
		{"proxy that is no address", []string{"--trusted-proxies", "10.0.0.0/8, here"}, nil, 2, "here"},
		{"public address with a query", []string{"--public-url", "https://x.example/?a"}, nil, 2, "--public-url"},
		{"contact that is no URI", []string{"--security-contact", "someone"}, nil, 2, "--security-contact"},
		{"archive of the demo", []string{"--archive", bad}, nil, 2, "--archive needs"},
		{"address of no Redis", []string{"--redis", "http://x:secret@h"}, nil, 2, `--redis "…": want an address that begins with redis://`},
		{"publisher's key without a Redis", []string{"--publisher-key", "-----BEGIN PUBLIC KEY-----\nMCowBQYDK2VwAyEA11qYAYKxCrfVS/7TyWQHOg7hcvPapiMlrwIaaPcHURo=\n-----END PUBLIC KEY-----"}, nil, 2, "--publisher-key needs --redis"},
		{"catalogue that is not there", []string{"--addr", "127.0.0.1:0", "--catalogue", filepath.Join(bad, "none")}, nil, 2, "none"},
		{"catalogue that is wrong", []string{"--addr", "127.0.0.1:0", "--catalogue", bad}, nil, 2, "x.yaml"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			ctx, cancel := context.WithCancel(context.Background())
			cancel() // whatever starts to serve by mistake ends at once
			var out, diag bytes.Buffer
			code := command(ctx, row.args, func(k string) string { return row.env[k] }, &out, &diag)
			said := diag.String()
			if row.code == 0 {
				said = out.String()
			}
			if code != row.code || !strings.Contains(said, row.says) {
				t.Errorf("%d\n%s%s", code, out.String(), diag.String())
			}
			if row.code == 2 && (strings.Count(said, "\n") != 1 || !strings.HasPrefix(said, "endfloat: ")) {
				t.Errorf("not one clear line: %q", said)
			}
		})
	}
}

func TestAFlagBeatsTheEnvironment(t *testing.T) {
	t.Parallel()
	c, err := parse([]string{"--addr", "127.0.0.1:1"}, func(k string) string {
		return map[string]string{"ENDFLOAT_ADDR": "127.0.0.1:2", "ENDFLOAT_PUBLIC_URL": "https://x.example/"}[k]
	}, io.Discard)
	if err != nil || c.addr != "127.0.0.1:1" || c.publicURL != "https://x.example" {
		t.Errorf("%+v %v", c, err)
	}
}

func TestAnAddressInUseIsOneClearLine(t *testing.T) {
	t.Parallel()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = ln.Close() })
	var out, diag bytes.Buffer
	if code := command(context.Background(), []string{"--addr", ln.Addr().String()}, func(string) string { return "" }, &out, &diag); code != 2 || !strings.Contains(diag.String(), "in use") {
		t.Errorf("%d %s", code, diag.String())
	}
}

const shop = "family: x-1\nname: X-1\nsource: {class: shop_measured, title: Own book, reviewed: 2026-11-01}\n" +
	"components:\n  - id: shaft\n    name: Shaft\n    specs:\n      - {id: play, kind: dimension, name: Play, unit: mm, band: {lower: 0.10, upper: UPPER}}\n"

func TestTheCatalogueIsReadAgainOnSIGHUP(t *testing.T) {
	t.Parallel()
	dir, archive := t.TempDir(), t.TempDir()
	write := func(text string) {
		if err := os.WriteFile(filepath.Join(dir, "x-1.yaml"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(strings.Replace(shop, "UPPER", "0.40", 1))
	cmd, base := start(t, nil, "--addr", "127.0.0.1:0", "--catalogue", dir, "--archive", archive)
	const spec = "/v1/families/x-1/components/shaft/specs/play"
	_, before := body(t, base+spec)
	revision := regexp.MustCompile(`"revision":"([^"]+)"`).FindStringSubmatch(before)
	if len(revision) != 2 || !strings.Contains(before, `"upper":0.40`) {
		t.Fatal(before)
	}
	again := func(text, address, want string) {
		t.Helper()
		write(text)
		if err := cmd.Process.Signal(syscall.SIGHUP); err != nil {
			t.Fatal(err)
		}
		deadline := time.Now().Add(time.Minute)
		for {
			_, got := body(t, base+address)
			if strings.Contains(got, want) {
				return
			}
			if time.Now().After(deadline) {
				t.Fatalf("%s does not say %s: %s", address, want, got)
			}
		}
	}
	again(strings.Replace(shop, "UPPER", "0.35", 1), spec, `"upper":0.35`)
	again(strings.Replace(shop, "UPPER", "0.05", 1), "/readyz", "x-1.yaml:8")
	if _, still := body(t, base+spec); !strings.Contains(still, `"upper":0.35`) {
		t.Errorf("a bad file was taken: %s", still)
	}
	if status, old := body(t, base+spec+"?revision="+revision[1]); status != 200 || !strings.Contains(old, `"upper":0.40`) {
		t.Errorf("replay: %d %s", status, old)
	}
	if status, changes := body(t, base+"/v1/catalogue/changes"); status != 200 || !strings.Contains(changes, "x-1/shaft/play") {
		t.Errorf("changes: %d %s", status, changes)
	}
	again(strings.Replace(shop, "UPPER", "0.30", 1), "/readyz", `"warnings":[]`)
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("ended with %v", err)
	}
}

func TestASIGHUPWithBadKeysEndsNothing(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	secret, _ := issues(t, file, "--name", "dealer")
	cmd, base := start(t, nil, "--addr", "127.0.0.1:0", "--keys", file)
	if err := os.WriteFile(file, []byte("garbage"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Process.Signal(syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	deadline := time.Now().Add(time.Minute)
	for warned := false; !warned; {
		_, ready := body(t, base+"/readyz")
		if warned = strings.Contains(ready, "The file of keys cannot be used"); time.Now().After(deadline) {
			t.Fatal(ready)
		}
	}
	for auth, want := range map[string]int{secret: http.StatusOK, secret + "x": http.StatusUnauthorized} {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, base+"/v1/torque-estimates",
			strings.NewReader(`{"thread":"M8","property_class":"8.8","friction":{"thread":0.12,"head":0.12},"utilisation":0.9}`))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/json")
		req.Header.Set("Authorization", "Bearer "+auth)
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		if _ = res.Body.Close(); res.StatusCode != want {
			t.Errorf("%d, want %d", res.StatusCode, want)
		}
	}
}
