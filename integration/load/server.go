package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
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
	name string
	addr string
	cmd  *exec.Cmd
}

const saysAddress = "serving on http://"

// start runs a program, waits for the line that names its address, and leaves it running.
func start(ctx context.Context, s settings, name string, in io.Reader, program string, args ...string) (*server, error) {
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Env = os.Environ()
	if s.procs > 0 {
		cmd.Env = append(cmd.Env, "GOMAXPROCS="+strconv.Itoa(s.procs))
	}
	cmd.Stdin = in
	out, err := cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	_, addr, ok := strings.Cut(strings.TrimSpace(line), saysAddress)
	if err != nil || !ok {
		_ = cmd.Process.Kill()
		return nil, errors.Join(fmt.Errorf("%s did not say its address but %q", name, line), err, cmd.Wait())
	}
	return &server{name, addr, cmd}, nil
}

func (s *server) stop() {
	_ = s.cmd.Process.Signal(syscall.SIGTERM)
	_ = s.cmd.Wait()
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

func startService(ctx context.Context, s settings) (*server, error) {
	return start(ctx, s, "this service", nil, s.binary, "--addr", "127.0.0.1:0", "--log-level", "warn")
}

// baseline is what a bare server is told: the answers to give, and whether to give their header fields.
type baseline struct {
	Cases      []*sample
	WithFields bool
}

func startBaseline(ctx context.Context, s settings, cases []*sample, withFields bool) (*server, error) {
	self, err := os.Executable()
	if err != nil {
		return nil, err
	}
	told, err := json.Marshal(baseline{cases, withFields})
	if err != nil {
		return nil, err
	}
	name := "bare, Content-Type only"
	if withFields {
		name = "bare, same header fields"
	}
	return start(ctx, s, name, bytes.NewReader(told), self, baselineWord)
}

// serveBaseline is the bare server: it is told its answers on in and says its address on out.
func serveBaseline(ctx context.Context, in io.Reader, out io.Writer) error {
	var told baseline
	if err := json.NewDecoder(in).Decode(&told); err != nil {
		return err
	}
	mux := http.NewServeMux()
	byPath := map[string][]*sample{}
	for _, c := range told.Cases {
		byPath[c.Method+" "+c.Path] = append(byPath[c.Method+" "+c.Path], c)
	}
	for pattern, cases := range byPath {
		mux.Handle(pattern, bareHandler(cases, told.WithFields))
	}
	var listen net.ListenConfig
	ln, err := listen.Listen(ctx, "tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	fmt.Fprintln(out, saysAddress+ln.Addr().String())
	srv := &http.Server{Handler: mux, ReadHeaderTimeout: 5 * time.Second}
	return srv.Serve(ln)
}

// bareHandler answers like the samples: a body that was sent is read whole; a tag that was sent gives the 304.
func bareHandler(cases []*sample, withFields bool) http.HandlerFunc {
	whole := cases[0]
	same, tag := (*sample)(nil), ""
	for _, c := range cases {
		if c.Status == http.StatusNotModified {
			same, tag = c, c.Sent.Get("If-None-Match")
		}
	}
	media := whole.Header.Get("Content-Type")
	write := func(w http.ResponseWriter, c *sample) {
		h := w.Header()
		if !withFields {
			if c.Status == http.StatusOK {
				h.Set("Content-Type", media)
			}
		} else {
			for name, values := range c.Header {
				if name != "Date" {
					h[name] = values
				}
			}
		}
		if c.Status != http.StatusOK {
			w.WriteHeader(c.Status)
			return
		}
		_, _ = w.Write(c.Answer) // a client that has gone away is no fault
	}
	return func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost {
			if _, err := io.ReadAll(r.Body); err != nil {
				w.WriteHeader(http.StatusBadRequest)
				return
			}
		}
		if same != nil && r.Header.Get("If-None-Match") == tag {
			write(w, same)
			return
		}
		write(w, whole)
	}
}
