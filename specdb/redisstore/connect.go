package redisstore

import (
	"context"
	"crypto/tls"
	"errors"
	"net"
	"sync"
	"time"
)

// Times of the connection: patience, since nobody waits for an answer.
const (
	dialTime = 2 * time.Second
	readTime = 15 * time.Second
	askTime  = 3 * time.Second // for the pointer
	loadTime = 2 * time.Minute // for a whole revision
)

// lines are the connections that are open, so that they can be cut: the client library itself waits for what is under
// way, however long that takes.
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
	one := &line{tcp, l}
	if !l.add(one) {
		return nil, errors.Join(net.ErrClosed, one.Close())
	}
	if l.tls == nil {
		return one, nil
	}
	own := l.tls.Clone()
	if own.ServerName == "" {
		own.ServerName, _, _ = net.SplitHostPort(addr) // it was just dialled
	}
	safe := tls.Client(one, own)
	if err := safe.HandshakeContext(ctx); err != nil {
		return nil, errors.Join(err, one.Close())
	}
	return safe, nil
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
