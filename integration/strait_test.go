//go:build integration

package integration_test

import (
	"errors"
	"io"
	"net"
	"sync"
	"testing"
	"time"
)

// passage is what a strait does with what is said in it.
type passage string

// The passages. Slow ones hold back every answer; flapping ones are open and cut in turns of 150 ms.
const (
	open_    passage = "open"
	slow     passage = "slow"
	hung     passage = "hung"
	cut      passage = "cut"
	garbage  passage = "garbage"
	flapping passage = "flapping"
)

// Times of a strait.
const (
	slowBy  = 40 * time.Millisecond
	flapFor = 150 * time.Millisecond
)

// strait stands between a service and Redis, and may be made to misbehave.
type strait struct {
	addr string
	to   string

	mu    sync.Mutex
	mode  passage
	since time.Time
	conns map[net.Conn]bool
}

func newStrait(t testing.TB, to string) *strait {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &strait{addr: ln.Addr().String(), to: to, mode: open_, conns: map[net.Conn]bool{}}
	var all sync.WaitGroup
	all.Go(func() {
		for {
			c, err := ln.Accept()
			if err != nil {
				return
			}
			all.Go(func() { s.carry(c) })
		}
	})
	t.Cleanup(func() {
		_ = ln.Close()
		s.become(cut)
		all.Wait()
	})
	return s
}

// become changes the passage; one that is cut, or was, loses its connections.
func (s *strait) become(mode passage) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.mode, s.since = mode, time.Now()
	if mode == cut || mode == flapping {
		for c := range s.conns {
			_ = c.Close()
		}
	}
}

// now is what happens at this moment.
func (s *strait) now() passage {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.mode == flapping {
		if time.Since(s.since)/flapFor%2 == 0 {
			return cut
		}
		return open_
	}
	return s.mode
}

func (s *strait) hold(c net.Conn) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.conns[c] = true
}

func (s *strait) drop(c net.Conn) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.conns, c)
	_ = c.Close()
}

func (s *strait) carry(near net.Conn) {
	s.hold(near)
	defer s.drop(near)
	if s.now() == cut {
		return
	}
	far, err := net.Dial("tcp", s.to)
	if err != nil {
		return
	}
	s.hold(far)
	defer s.drop(far)
	var there sync.WaitGroup
	there.Go(func() {
		_, _ = io.Copy(far, near) // until either side ends
		_ = far.Close()
	})
	defer there.Wait()
	defer func() { _ = near.Close() }()
	buf := make([]byte, 32<<10)
	for {
		n, err := far.Read(buf)
		if n > 0 && s.answer(near, buf[:n]) != nil {
			return
		}
		if err != nil {
			return
		}
	}
}

// answer passes on what Redis said, or what the passage makes of it.
func (s *strait) answer(near net.Conn, said []byte) error {
	switch s.now() {
	case cut:
		return errors.New("cut")
	case hung:
		return nil // swallowed
	case garbage:
		said = []byte("*-7\r\n$99999999999\r\n\x00\xff{}\r\n")
	case slow:
		<-time.After(slowBy)
	}
	_, err := near.Write(said)
	return err
}
