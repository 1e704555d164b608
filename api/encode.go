package api

import (
	"sync"

	"github.com/go-json-experiment/json"

	"endfloat/api/compact"
	"endfloat/api/rim"
)

// encode is an answer as bytes. One that appends itself is appended to buf, whose memory it then shares.
func encode(reply rim.Reply, buf []byte) ([]byte, error) {
	if reply.Bytes != nil {
		return reply.Bytes, nil
	}
	if a, ok := reply.Value.(compact.Appender); ok {
		return a.AppendJSON(buf), nil
	}
	return json.Marshal(reply.Value)
}

// Sizes of buffers: of a new one, which holds most answers, and of the largest that is kept for another answer.
const (
	newBuffer  = 4 << 10
	keptBuffer = 4 << 20
)

// buffers are the memory of answers that were written and are kept nowhere. The zero value is ready for use.
type buffers struct{ pool sync.Pool }

func (b *buffers) take() *[]byte {
	if buf, ok := b.pool.Get().(*[]byte); ok {
		return buf
	}
	buf := make([]byte, 0, newBuffer)
	return &buf
}

// give takes a buffer back; used is the memory that it has grown to.
func (b *buffers) give(buf *[]byte, used []byte) {
	if cap(used) > cap(*buf) {
		*buf = used[:0]
	}
	if cap(*buf) <= keptBuffer {
		b.pool.Put(buf)
	}
}
