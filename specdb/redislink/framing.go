package redislink

import (
	"errors"
	"io"
	"strconv"
)

// Bounds of a reply. The client library makes room for what a reply announces before it comes, so that one line of a
// few bytes could ask for more memory than there is.
const (
	maxBulk   = 80 << 20 // bytes of one string; the largest that is kept has 64 MiB
	maxCount  = 1 << 20  // elements of one list
	maxLine   = 1 << 20  // bytes of a line, such as the text of an error
	maxNested = 16       // lists in lists
)

// errReply is a reply that breaks the bounds, or none of the protocol at all.
var errReply = errors.New("what answers is no Redis, or sends more than was ever kept there")

// framing follows the replies of a connection (the Redis serialization protocol, versions 2 and 3) and ends it where one
// breaks the bounds. It looks at the front of each element alone. The zero value stands before the first reply.
type framing struct {
	head   [24]byte // of the line that is being read
	length int      // of that line so far
	skip   int64    // bytes of a string that are still to come, its line end included
	open   []int64  // elements that the lists around are still missing
	broken bool
}

// read reads and looks at what came. After a fault nothing is read any more.
func (f *framing) read(from io.Reader, b []byte) (int, error) {
	if f.broken {
		return 0, errReply
	}
	n, err := from.Read(b)
	if !f.feed(b[:n]) {
		return 0, errReply
	}
	return n, err
}

// feed takes the next bytes and reports whether all is within bounds so far.
func (f *framing) feed(b []byte) bool {
	for len(b) > 0 && !f.broken {
		if f.skip > 0 {
			k := min(f.skip, int64(len(b)))
			b = b[k:]
			if f.skip -= k; f.skip == 0 {
				f.element()
			}
			continue
		}
		c := b[0]
		b = b[1:]
		if c != '\n' {
			if f.length < len(f.head) {
				f.head[f.length] = c
			}
			f.length++
			f.broken = f.length > maxLine
			continue
		}
		f.line()
		f.length = 0
	}
	return !f.broken
}

// line judges a line that has ended.
func (f *framing) line() {
	if f.length < 2 {
		f.broken = true
		return
	}
	switch f.head[0] {
	case '+', '-', ':', '_', '#', ',', '(':
		f.element()
	case '$', '=', '!':
		n := f.number()
		if n > maxBulk {
			f.broken = true
		}
		if n < 0 { // a null
			f.element()
			return
		}
		f.skip = n + 2
	case '*', '~', '>', '%':
		n := f.number()
		if f.head[0] == '%' {
			n *= 2
		}
		switch {
		case n <= 0:
			f.element()
		case n > maxCount || len(f.open) >= maxNested:
			f.broken = true
		default:
			f.open = append(f.open, n)
		}
	default:
		f.broken = true
	}
}

// number is the count in a line; the only one below 0 is that of a null.
func (f *framing) number() int64 {
	if f.length > len(f.head) || f.head[f.length-1] != '\r' {
		f.broken = true
		return 0
	}
	n, err := strconv.ParseInt(string(f.head[1:f.length-1]), 10, 62)
	f.broken = f.broken || err != nil || n < -1
	return n
}

// element counts one that is whole, and the lists that it completes.
func (f *framing) element() {
	for i := len(f.open) - 1; i >= 0; i-- {
		if f.open[i]--; f.open[i] > 0 {
			return
		}
		f.open = f.open[:i]
	}
}
