package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"strconv"
	"sync"
	"time"
)

// result is what one server did in one case.
type result struct {
	server    *server
	rates     []float64 // requests a second, by round
	latency   histogram
	requests  int64
	processor time.Duration
}

// measure runs a case against the servers in turn; who begins changes from round to round.
func measure(ctx context.Context, s settings, c *sample, servers []*server) ([]*result, error) {
	results := make([]*result, len(servers))
	for i, srv := range servers {
		results[i] = &result{server: srv}
		if _, _, err := drive(ctx, s.connections, s.span/2, c, srv.addr); err != nil { // warm up
			return nil, fmt.Errorf("%s: %w", srv.name, err)
		}
	}
	for round := range s.rounds {
		for i := range servers {
			r := results[(i+round)%len(servers)]
			before, began := r.server.processor(), time.Now()
			n, seen, err := drive(ctx, s.connections, s.span, c, r.server.addr)
			took := time.Since(began)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", r.server.name, err)
			}
			r.processor += r.server.processor() - before
			r.requests += n
			r.rates = append(r.rates, float64(n)/took.Seconds())
			r.latency.add(seen)
		}
	}
	return results, nil
}

// drive asks the same question over and over on every connection until the time is up.
func drive(ctx context.Context, connections int, span time.Duration, c *sample, addr string) (int64, *histogram, error) {
	ctx, cancel := context.WithTimeout(ctx, span+10*time.Second)
	defer cancel()
	until := time.Now().Add(span)
	seen := make([]histogram, connections)
	errs := make([]error, connections)
	var all sync.WaitGroup
	for i := range connections {
		all.Go(func() { errs[i] = ask(ctx, c, addr, until, &seen[i]) })
	}
	all.Wait()
	total := &histogram{}
	for i := range seen {
		total.add(&seen[i])
	}
	return total.count, total, errors.Join(errs...)
}

func ask(ctx context.Context, c *sample, addr string, until time.Time, seen *histogram) error {
	var dial net.Dialer
	conn, err := dial.DialContext(ctx, "tcp", addr)
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close() }()
	if err := conn.SetDeadline(until.Add(10 * time.Second)); err != nil {
		return err
	}
	request := c.wire(addr)
	answers := bufio.NewReaderSize(conn, 16<<10)
	for began := time.Now(); began.Before(until); {
		if _, err := conn.Write(request); err != nil {
			return err
		}
		status, err := skip(answers)
		if err != nil {
			return err
		}
		if status != c.Status {
			return fmt.Errorf("answered with %d in place of %d", status, c.Status)
		}
		now := time.Now()
		seen.note(now.Sub(began))
		began = now
	}
	return nil
}

// skip reads one answer of HTTP/1.1 (RFC 9112) and keeps its status alone.
func skip(r *bufio.Reader) (status int, err error) {
	line, err := r.ReadSlice('\n')
	if err != nil {
		return 0, err
	}
	if len(line) < 12 || !bytes.HasPrefix(line, []byte("HTTP/1.1 ")) {
		return 0, fmt.Errorf("no status line: %q", line)
	}
	if status, err = strconv.Atoi(string(line[9:12])); err != nil {
		return 0, err
	}
	length, chunked := 0, false
	for {
		line, err := r.ReadSlice('\n')
		if err != nil {
			return 0, err
		}
		line = bytes.TrimRight(line, "\r\n")
		if len(line) == 0 {
			break
		}
		name, value, _ := bytes.Cut(line, []byte(":"))
		switch {
		case bytes.EqualFold(name, []byte("Content-Length")):
			if length, err = strconv.Atoi(string(bytes.TrimSpace(value))); err != nil {
				return 0, err
			}
		case bytes.EqualFold(name, []byte("Transfer-Encoding")):
			chunked = true
		}
	}
	switch {
	case status == 304:
		return status, nil
	case chunked:
		return status, skipChunks(r)
	}
	_, err = r.Discard(length)
	return status, err
}

func skipChunks(r *bufio.Reader) error {
	for {
		line, err := r.ReadSlice('\n')
		if err != nil {
			return err
		}
		n, err := strconv.ParseInt(string(bytes.TrimRight(line, "\r\n")), 16, 32)
		if err != nil {
			return err
		}
		if _, err := r.Discard(int(n) + 2); err != nil {
			return errors.Join(err, io.ErrUnexpectedEOF)
		}
		if n == 0 {
			return nil
		}
	}
}
