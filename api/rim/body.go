package rim

import (
	"io"
	"net/http"
	"strconv"
	"sync/atomic"

	"endfloat/service/fault"
	"endfloat/service/note"
)

// Bodies bounds the bytes of all bodies that are held at one time, so that many large or slow ones cannot fill the
// memory. Only what has arrived counts, not what was announced. The zero value bounds nothing; it is safe for
// concurrent use.
type Bodies struct {
	most int64 // 0: no bound
	held atomic.Int64
}

// NewBodies holds at most this many bytes.
func NewBodies(most int64) *Bodies { return &Bodies{most: most} }

// Held is how many bytes are held now.
func (b *Bodies) Held() int64 { return b.held.Load() }

// firstPiece is what a body is given before any of it has come.
const firstPiece = 32 << 10

// Read reads a whole request body of at most most bytes. release gives its bytes back and must be called once the body
// is no longer used, whatever the error. Faults: body_too_large, body_unreadable, busy.
func (b *Bodies) Read(r *http.Request, most int64) (body []byte, release func(), err error) {
	var taken int64
	release = func() { b.held.Add(-taken) }
	if r.ContentLength > most {
		spill(r)
		return nil, release, tooLarge(most)
	}
	size := int64(firstPiece)
	if r.ContentLength >= 0 {
		size = min(size, r.ContentLength+1) // one byte more, so that the end is seen
	}
	for {
		if taken += size - int64(cap(body)); !b.take(size - int64(cap(body))) {
			return nil, release, &fault.Error{Kind: fault.Unavailable, Code: "busy", Detail: note.New("found_too_much_being_sent"), RetryAfter: 1}
		}
		body = append(make([]byte, 0, size), body...)
		for len(body) < cap(body) {
			n, err := r.Body.Read(body[len(body):cap(body)])
			body = body[:len(body)+n]
			if int64(len(body)) > most {
				spill(r)
				return nil, release, tooLarge(most)
			}
			if err == io.EOF {
				return body, release, nil
			}
			if err != nil {
				e := fault.New(fault.Malformed, "body_unreadable", note.New("found_body_ended_before_whole"))
				e.Cause = err
				return nil, release, e
			}
		}
		if size = min(2*size, most+1); r.ContentLength >= int64(len(body)) {
			size = min(size, r.ContentLength+1)
		}
	}
}

// take adds n bytes to what is held and reports whether that is within the bound.
func (b *Bodies) take(n int64) bool {
	held := b.held.Add(n)
	return b.most <= 0 || held <= b.most
}

// spilled is how much of a body that is too large is still read, into nothing: most clients hear an answer only once all
// that they send was taken, and see a broken connection else.
const spilled = 32 << 20

// spill reads what is left of a body. A caller that asks first (Expect: 100-continue; RFC 9110, section 10.1.1) is told
// without it.
func spill(r *http.Request) {
	if r.Header.Get("Expect") == "" && r.ContentLength <= spilled {
		_, _ = io.CopyN(io.Discard, r.Body, spilled) // the answer is the same, however much of it came
	}
}

func tooLarge(most int64) error {
	return fault.New(fault.TooLarge, "body_too_large", note.New("found_body_larger_bytes_address", note.Str("bytes", strconv.FormatInt(most, 10))))
}
