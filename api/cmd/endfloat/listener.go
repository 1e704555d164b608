package main

import (
	"net"
	"sync/atomic"
	"time"
)

// sparePlaces are the files of the process that no connection may take: catalogue, archive, log, Redis.
const sparePlaces = 256

// bounded is a listener with a bound on open connections. When few places are left, room is asked for; past the bound a
// connection is closed at once, so that whoever balances goes elsewhere instead of waiting.
type bounded struct {
	net.Listener
	most    int64
	open    atomic.Int64
	refused atomic.Int64
	room    func() // closes connections that do nothing
	next    atomic.Int64
	began   time.Time
}

// roomEvery is the least time between two calls for room.
const roomEvery = time.Second

// newBounded bounds a listener. Fewer than most connections are let in where the process may not open as many files.
func newBounded(ln net.Listener, most int) *bounded {
	b := &bounded{Listener: ln, most: int64(most), began: time.Now()}
	if files, ok := mostFiles(); ok && files > 2*sparePlaces {
		b.most = min(b.most, int64(min(files, 1<<40))-sparePlaces)
	}
	return b
}

// Accept is the next connection that there is a place for.
func (b *bounded) Accept() (net.Conn, error) {
	for {
		c, err := b.Listener.Accept()
		if err != nil {
			return nil, err
		}
		open := b.open.Add(1)
		if open > b.most-b.most/8 {
			b.makeRoom()
		}
		tcp, ok := c.(*net.TCPConn)
		if open <= b.most && ok {
			return &place{TCPConn: tcp, of: b}, nil
		}
		b.open.Add(-1)
		b.refused.Add(1)
		_ = c.Close() // nothing was said on it
	}
}

func (b *bounded) makeRoom() {
	now := time.Since(b.began)
	if next := b.next.Load(); b.room != nil && int64(now) >= next && b.next.CompareAndSwap(next, int64(now+roomEvery)) {
		b.room()
	}
}

// place is a connection that gives its place back once.
type place struct {
	*net.TCPConn
	of   *bounded
	gone atomic.Bool
}

// Close implements net.Conn.
func (p *place) Close() error {
	if p.gone.CompareAndSwap(false, true) {
		p.of.open.Add(-1)
	}
	return p.TCPConn.Close()
}
