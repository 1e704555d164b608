package redislink

import (
	"context"
	"crypto/tls"
	"errors"
	"net"
	"sync"
	"time"

	"github.com/redis/go-redis/v9"
)

// dialTime is the longest that a connection may take to be made, TLS included.
const dialTime = 2 * time.Second

// Cuttable is Options together with a way to cut all connections of the client at once, for good: the client library
// itself waits for what is under way, however long that takes. cut is called beside Close, from anywhere, any number of
// times.
func (t Target) Cuttable() (o *redis.UniversalOptions, cut func()) {
	o = t.plain()
	l := &lines{tls: o.TLSConfig, open: map[*line]struct{}{}}
	o.Dialer = l.connect
	return o, l.close
}

// lines are the connections that are open.
type lines struct {
	tls *tls.Config // nil: none

	lock sync.Mutex
	cut  bool
	open map[*line]struct{}
}

// connect is the dialer of a client.
func (l *lines) connect(ctx context.Context, network, addr string) (net.Conn, error) {
	ctx, cancel := context.WithTimeout(ctx, dialTime)
	defer cancel()
	var d net.Dialer
	conn, err := d.DialContext(ctx, network, addr)
	if err != nil {
		return nil, err
	}
	tcp, ok := conn.(*net.TCPConn)
	if !ok {
		return nil, errors.Join(errors.ErrUnsupported, conn.Close())
	}
	one := &line{TCPConn: tcp, of: l}
	if !l.add(one) {
		return nil, errors.Join(net.ErrClosed, one.Close())
	}
	if l.tls == nil {
		return &plainLine{line: one}, nil
	}
	own := l.tls.Clone()
	if own.ServerName == "" {
		own.ServerName, _, _ = net.SplitHostPort(addr) // it was just dialled
	}
	safe := tls.Client(one, own)
	if err := safe.HandshakeContext(ctx); err != nil {
		return nil, errors.Join(err, one.Close())
	}
	return &safeLine{Conn: safe}, nil
}

// add notes a connection unless all are cut.
func (l *lines) add(one *line) bool {
	l.lock.Lock()
	defer l.lock.Unlock()
	if !l.cut {
		l.open[one] = struct{}{}
	}
	return !l.cut
}

// close cuts all connections, and every one that is made later.
func (l *lines) close() {
	l.lock.Lock()
	defer l.lock.Unlock()
	l.cut = true
	for one := range l.open {
		_ = one.TCPConn.Close() // whoever reads from it is told
	}
	clear(l.open)
}

// line is one connection.
type line struct {
	*net.TCPConn
	of *lines
}

// Close implements net.Conn.
func (l *line) Close() error {
	l.of.lock.Lock()
	delete(l.of.open, l)
	l.of.lock.Unlock()
	return l.TCPConn.Close()
}

// plainLine reads replies that keep to their bounds. Like all below it lets the client see the socket, so that it
// notices where the other side has closed it.
type plainLine struct {
	*line
	replies framing
}

// Read implements net.Conn.
func (l *plainLine) Read(b []byte) (int, error) {
	return l.replies.read(l.line, b)
}

// safeLine is a plainLine within TLS.
type safeLine struct {
	*tls.Conn
	replies framing
}

// Read implements net.Conn.
func (l *safeLine) Read(b []byte) (int, error) {
	return l.replies.read(l.Conn, b)
}
