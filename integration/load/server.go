package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// server is a started process that answers on a loopback address.
type server struct {
	name  string
	addr  string
	own   string // address of its private listener; empty: none
	extra string // header fields that every request to it has
	tag   string // its own tag for the look-up that is not changed; empty: that of the service
	gets  bool   // it answers look-ups alone
	cmd   *exec.Cmd

	changes bool // its catalogue changes, so that what was held may be out of date
}

const (
	saysAddress = "serving on http://"
	saysPrivate = "metrics on http://"
)

// launch runs a program without waiting for it.
func launch(ctx context.Context, s settings, in io.Reader, env []string, program string, args ...string) (*exec.Cmd, *bufio.Reader, error) {
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Env = append(os.Environ(), env...)
	if s.procs > 0 {
		cmd.Env = append(cmd.Env, "GOMAXPROCS="+strconv.Itoa(s.procs))
	}
	cmd.Stdin = in
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, nil, err
	}
	cmd.Stderr = os.Stderr
	return cmd, bufio.NewReader(out), cmd.Start()
}

// start runs a program, waits for the lines that name its addresses, and leaves it running.
func start(ctx context.Context, s settings, srv *server, in io.Reader, env []string, program string, args ...string) (*server, error) {
	cmd, out, err := launch(ctx, s, in, env, program, args...)
	if err != nil {
		return nil, err
	}
	srv.cmd = cmd
	says := []string{saysAddress, saysPrivate}
	if srv.own == "" {
		says = says[:1]
	}
	for _, what := range says {
		line, err := out.ReadString('\n')
		_, addr, ok := strings.Cut(strings.TrimSpace(line), what)
		if err != nil || !ok {
			_ = cmd.Process.Kill()
			return nil, errors.Join(fmt.Errorf("%s did not say its address but %q", srv.name, line), err, cmd.Wait())
		}
		if what == saysAddress {
			srv.addr = addr
		} else {
			srv.own = strings.TrimSuffix(addr, "/metrics")
		}
	}
	return srv, nil
}

func (s *server) stop() {
	if s != nil && s.cmd != nil {
		_ = s.cmd.Process.Signal(syscall.SIGTERM)
		_ = s.cmd.Wait()
	}
}

// processor is the processor time that the server has used so far, in steps of a hundredth of a second (proc(5)).
func (s *server) processor() time.Duration {
	const user, system, perSecond = 11, 12, 100
	b, err := os.ReadFile("/proc/" + strconv.Itoa(s.cmd.Process.Pid) + "/stat")
	if err != nil {
		return 0
	}
	fields := bytes.Fields(b[bytes.LastIndexByte(b, ')')+1:])
	var ticks int64
	for _, i := range []int{user, system} {
		if i < len(fields) {
			n, _ := strconv.ParseInt(string(fields[i]), 10, 64)
			ticks += n
		}
	}
	return time.Duration(ticks) * time.Second / perSecond
}

// resident is the memory of the process in bytes (proc(5)).
func (s *server) resident() int64 {
	b, err := os.ReadFile("/proc/" + strconv.Itoa(s.cmd.Process.Pid) + "/statm")
	if err != nil {
		return 0
	}
	fields := bytes.Fields(b)
	if len(fields) < 2 {
		return 0
	}
	pages, _ := strconv.ParseInt(string(fields[1]), 10, 64)
	return pages * int64(os.Getpagesize())
}

// metric is a value from the private listener; not a number where there is none.
func (s *server) metric(ctx context.Context, name string) float64 {
	if s.own == "" {
		return math.NaN()
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+s.own+"/metrics", nil)
	if err != nil {
		return math.NaN()
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return math.NaN()
	}
	defer res.Body.Close()
	lines := bufio.NewScanner(res.Body)
	for lines.Scan() {
		if rest, ok := strings.CutPrefix(lines.Text(), name+" "); ok {
			if v, err := strconv.ParseFloat(rest, 64); err == nil {
				return v
			}
		}
	}
	return math.NaN()
}

// Everything on: the catalogue and the quotas in Redis, quotas of all kinds counted, everything measured. The caller
// comes through a proxy that is believed, since callers on the machine itself are not charged.
const (
	plenty    = "1000000000/1m"
	viaProxy  = "X-Forwarded-For: 192.0.2.7\r\n"
	quietLogs = "error"
)

func startService(ctx context.Context, s settings) (*server, error) {
	return start(ctx, s, &server{name: "endfloat, quotas off", own: "wanted"}, nil, nil, s.binary, "--addr", "127.0.0.1:0", "--private-addr", "127.0.0.1:0",
		"--log-level", quietLogs, "--quota", "off", "--key-quota", "off", "--lookup-quota", "off")
}

func startWhole(ctx context.Context, s settings, store *redisd) (*server, error) {
	return start(ctx, s, &server{name: "endfloat, everything on", own: "wanted", extra: viaProxy}, nil, nil, s.binary, "--addr", "127.0.0.1:0", "--private-addr", "127.0.0.1:0",
		"--log-level", quietLogs, "--redis", store.url(), "--trusted-proxies", "127.0.0.1", "--quota", plenty, "--lookup-quota", plenty)
}
