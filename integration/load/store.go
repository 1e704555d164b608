package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"syscall"
	"time"
)

// redisd is a Redis of our own that writes nothing to disk.
type redisd struct {
	addr string
	cmd  *exec.Cmd
	dir  string
}

// startRedis starts one, with a directory of its own in dir; it is nil, and said so, where there is no redis-server.
func startRedis(ctx context.Context, dir string, out io.Writer) (*redisd, error) {
	dir, err := os.MkdirTemp(dir, "redis")
	if err != nil {
		return nil, err
	}
	if installed("redis-server") == "" {
		fmt.Fprintln(out, "left out: everything with Redis, since redis-server is not here")
		return nil, nil
	}
	addr, err := freeAddr(ctx)
	if err != nil {
		return nil, err
	}
	r := &redisd{addr: addr, dir: dir}
	return r, r.start(ctx)
}

// installed is where the first of some programs is; empty where none is.
func installed(names ...string) string {
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

func (r *redisd) url() string { return "redis://" + r.addr }

func (r *redisd) start(ctx context.Context) error {
	_, port, err := net.SplitHostPort(r.addr)
	if err != nil {
		return err
	}
	r.cmd = exec.CommandContext(ctx, "redis-server", "--port", port, "--bind", "127.0.0.1", "--dir", r.dir, "--save", "", "--logfile", r.dir+"/redis.log")
	if err := r.cmd.Start(); err != nil {
		return err
	}
	for until := time.Now().Add(10 * time.Second); ; <-time.After(10 * time.Millisecond) {
		var dial net.Dialer
		c, err := dial.DialContext(ctx, "tcp", r.addr)
		if err == nil {
			return c.Close()
		}
		if time.Now().After(until) {
			return err
		}
	}
}

// hang lets it accept and never answer; wake ends that.
func (r *redisd) hang() error { return r.cmd.Process.Signal(syscall.SIGSTOP) }
func (r *redisd) wake() error { return r.cmd.Process.Signal(syscall.SIGCONT) }

// limp halts it and lets it go on in turns for a while.
func (r *redisd) limp(span, halted, running time.Duration) error {
	for until := time.Now().Add(span); time.Now().Before(until); <-time.After(running) {
		if err := r.hang(); err != nil {
			return err
		}
		<-time.After(halted)
		if err := r.wake(); err != nil {
			return err
		}
	}
	return nil
}

// stop ends it at once.
func (r *redisd) stop() {
	if r != nil && r.cmd != nil && r.cmd.ProcessState == nil {
		_ = r.wake() // it may hang
		_ = r.cmd.Process.Kill()
		_ = r.cmd.Wait()
	}
}
