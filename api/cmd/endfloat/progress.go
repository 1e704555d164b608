package main

import (
	"fmt"
	"io"
	"sync/atomic"
	"time"

	"endfloat/api/client"
)

// counter counts what is read through it.
type counter struct {
	in io.Reader
	n  atomic.Int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.in.Read(p)
	c.n.Add(int64(n))
	return n, err
}

// progress is one line on a terminal that says how far the work is.
type progress struct {
	out   io.Writer
	size  int64 // of what is read; 0: not known
	read  *counter
	on    bool
	begun time.Time
	last  time.Time
}

func newProgress(out io.Writer, size int64, read *counter, on bool) *progress {
	return &progress{out: out, size: size, read: read, on: on, begun: time.Now()}
}

// between is the least time from one line to the next.
const between = 100 * time.Millisecond

func (p *progress) show(rows int, s client.Summary) {
	now := time.Now()
	if !p.on || now.Sub(p.last) < between {
		return
	}
	p.last = now
	share := ""
	if p.size > 0 {
		share = fmt.Sprintf(", %d %%", min(100, p.read.n.Load()*100/p.size))
	}
	fmt.Fprintf(p.out, "\r\x1b[K%d rows%s, %d not passed, %.0f rows/s", rows, share, s.Rows-s.Pass, float64(rows)/max(now.Sub(p.begun).Seconds(), 1e-3))
}

// end takes the line away.
func (p *progress) end() {
	if p.on && !p.last.IsZero() {
		fmt.Fprint(p.out, "\r\x1b[K")
	}
}
