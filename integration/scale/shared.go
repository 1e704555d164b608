package main

import (
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"time"
)

// shared publishes the big catalogue through a Redis of its own and measures a replica that follows: how long each takes,
// what Redis and the replica hold, and how far the replica rises while the next revision comes into use under load.
func shared(binary, dir string, specs int, out io.Writer) (err error) {
	store, url, err := startRedis(dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, end(store)) }()
	publish := func(file string) error {
		cmd := exec.Command(binary, "catalogue", "publish", filepath.Join(dir, file), "--redis", url)
		if said, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("publishing: %w\n%s", err, said)
		}
		return nil
	}
	begun := time.Now()
	if err := publish("big.endfloat"); err != nil {
		return err
	}
	fmt.Fprintf(out, "published in Redis: %.1f s, Redis %.0f MiB\n", time.Since(begun).Seconds(), statusOf(pid(store), "VmRSS"))
	archive := filepath.Join(dir, "archive")
	if err := errors.Join(os.RemoveAll(archive), os.MkdirAll(archive, 0o755)); err != nil { // of a run before
		return err
	}
	begun = time.Now()
	s, err := start(binary, "--redis", url, "--archive", archive)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.end()) }()
	fmt.Fprintf(out, "a replica that starts from Redis: %.1f s\n", time.Since(begun).Seconds())
	if _, err := s.ask(specs, 3*time.Second, nil); err != nil {
		return err
	}
	before := statusOf(pid(s.cmd), "VmRSS")
	if err := forgetPeak(pid(s.cmd)); err != nil {
		return err
	}
	var publishing time.Duration
	err = s.during(specs, out, "publication", func() error {
		begun := time.Now()
		defer func() { publishing = time.Since(begun) }()
		return publish("next.endfloat")
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "publishing 1 %% of the families: %.1f s; the replica %.0f MiB before, %.0f at its peak, ratio %.2f; Redis %.0f MiB\n", publishing.Seconds(),
		before, statusOf(pid(s.cmd), "VmHWM"), statusOf(pid(s.cmd), "VmHWM")/before, statusOf(pid(store), "VmRSS"))
	return nil
}

func pid(cmd *exec.Cmd) string { return strconv.Itoa(cmd.Process.Pid) }

// startRedis starts one that keeps nothing on disk.
func startRedis(dir string) (cmd *exec.Cmd, url string, err error) {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, "", err
	}
	addr := ln.Addr().String()
	if err := ln.Close(); err != nil {
		return nil, "", err
	}
	_, port, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, "", err
	}
	cmd = exec.Command("redis-server", "--port", port, "--bind", "127.0.0.1", "--save", "", "--logfile", filepath.Join(dir, "redis.log"))
	cmd.Dir = dir
	if err := cmd.Start(); err != nil {
		return nil, "", err
	}
	for until := time.Now().Add(10 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		c, err := net.Dial("tcp", addr)
		if err == nil {
			return cmd, "redis://" + addr, c.Close()
		}
		if time.Now().After(until) {
			return nil, "", errors.Join(err, end(cmd))
		}
	}
}

// end ends a program that was started here.
func end(cmd *exec.Cmd) error {
	if err := cmd.Process.Kill(); err != nil {
		return err
	}
	_ = cmd.Wait() // it was killed
	return nil
}
