package sheets

import "sync"

// largest is the largest buffer that is kept for another sheet.
const largest = 4 << 20

// memory is what sheets are signed in. It is safe for concurrent use.
type memory struct{ pool sync.Pool }

// drafts are what one sheet is signed in.
type drafts struct{ payload, token []byte }

func (m *memory) take() *drafts {
	if d, ok := m.pool.Get().(*drafts); ok {
		return d
	}
	return &drafts{}
}

func (m *memory) give(d *drafts) {
	if cap(d.payload) <= largest && cap(d.token) <= largest {
		m.pool.Put(d)
	}
}
