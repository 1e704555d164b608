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
	allocated float64 // objects; negative where the server does not say
	resident  int64   // bytes after the last round
}

// measure runs cases against the servers in turn; who begins changes from round to round.
func measure(ctx context.Context, s settings, cases []*sample, servers []*server) ([]*result, error) {
	results := make([]*result, len(servers))
	for i, srv := range servers {
		results[i] = &result{server: srv}
		if _, err := drive(ctx, s.connections, s.span/2, 0, cases, srv); err != nil { // warm up
			return nil, fmt.Errorf("%s: %w", srv.name, err)
		}
	}
	for round := range s.rounds {
		for i := range servers {
			r := results[(i+round)%len(servers)]
			objects := r.server.metric(ctx, "go_memstats_mallocs_total")
			before, began := r.server.processor(), time.Now()
			seen, err := drive(ctx, s.connections, s.span, 0, cases, r.server)
			took := time.Since(began)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", r.server.name, err)
			}
			r.processor += r.server.processor() - before
			r.allocated += r.server.metric(ctx, "go_memstats_mallocs_total") - objects
			r.requests += seen.count
			r.rates = append(r.rates, float64(seen.count)/took.Seconds())
			r.latency.add(seen)
			r.resident = r.server.resident()
		}
	}
	return results, nil
}

// answerTime is how long an answer may take on a machine with other work.
const answerTime = time.Minute

// drive asks on every connection until the time is up: as fast as it is answered, or so many times a second in all. With a
// rate, what an answer that is late makes others wait counts as theirs.
func drive(ctx context.Context, connections int, span time.Duration, rate int, cases []*sample, srv *server) (*histogram, error) {
	ctx, cancel := context.WithTimeout(ctx, span+answerTime)
	defer cancel()
	from := time.Now()
	pace := pacing{from: from, until: from.Add(span)}
	if rate > 0 {
		pace.every = time.Second * time.Duration(connections) / time.Duration(rate)
	}
	seen := make([]histogram, connections)
	errs := make([]error, connections)
	var all sync.WaitGroup
	for i := range connections {
		pace.from = from.Add(pace.every * time.Duration(i) / time.Duration(connections))
		all.Go(func() { errs[i] = ask(ctx, questions(srv, cases, i), srv.addr, pace, &seen[i]) })
	}
	all.Wait()
	total := &histogram{}
	for i := range seen {
		total.add(&seen[i])
	}
	return total, errors.Join(errs...)
}

// pacing says when a connection asks: every so often from a time on, or at once when it is zero, until another.
type pacing struct {
	from, until time.Time
	every       time.Duration
}

// next waits until the time of the nth request, if that is still to come, and is the time from which its answer counts.
func (p pacing) next(n int) time.Time {
	now := time.Now()
	if p.every == 0 {
		return now
	}
	due := p.from.Add(p.every * time.Duration(n))
	if wait := due.Sub(now); wait > 0 {
		<-time.After(wait)
		return time.Now()
	}
	return due
}

func ask(ctx context.Context, list []question, addr string, pace pacing, seen *histogram) error {
	var dial net.Dialer
	conn, err := dial.DialContext(ctx, "tcp", addr)
	if err != nil {
		return err
	}
	defer func() { _ = conn.Close() }()
	if err := conn.SetDeadline(pace.until.Add(answerTime)); err != nil {
		return err
	}
	answers := bufio.NewReaderSize(conn, 16<<10)
	for n := 0; ; n++ {
		began := pace.next(n)
		if !began.Before(pace.until) {
			return nil
		}
		q := &list[n%len(list)]
		if _, err := conn.Write(q.text); err != nil {
			return err
		}
		status, err := skip(answers)
		if err != nil {
			return err
		}
		if status != q.status && (!q.whole || status != 200) {
			return fmt.Errorf("answered with %d in place of %d: %.100q", status, q.status, q.text)
		}
		seen.note(time.Since(began))
	}
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
