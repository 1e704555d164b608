package sheets

import (
	"slices"
	"sync"
)

// largest is the largest payload whose memory is kept for another sheet.
const largest = 4 << 20

// memory is what sheets are signed in. It is safe for concurrent use.
type memory struct{ pool sync.Pool }

// draft is what one sheet is signed in: what is signed, and its lines before they are written.
type draft struct {
	payload []byte
	lines   []sealedLine
}

// take gives out an empty draft with room for n lines.
func (m *memory) take(n int) *draft {
	d, ok := m.pool.Get().(*draft)
	if !ok {
		d = &draft{}
	}
	d.payload, d.lines = d.payload[:0], slices.Grow(d.lines[:0], n)
	return d
}

// give takes a draft back. Nothing of the sheet is kept.
func (m *memory) give(d *draft) {
	if cap(d.payload) <= largest {
		clear(d.lines)
		m.pool.Put(d)
	}
}
