package shim

// feasible reports whether every row can have an arc at all, whatever it costs: a matching, found by augmenting paths.
func (b *board) feasible() bool {
	m := matching{b: b, held: make([][]int, len(b.caps)), seen: make([]bool, len(b.caps))}
	for row := range b.arcs {
		clear(m.seen)
		found := m.place(row)
		if !b.work(1+m.looked) || !found {
			return false
		}
		m.looked = 0
	}
	return true
}

// matching is rows in columns.
type matching struct {
	b      *board
	held   [][]int // rows of each column
	seen   []bool
	looked int // arcs since work was counted
}

// place finds room for a row, if need be by moving others on.
func (m *matching) place(row int) bool {
	for n := range m.b.arcs[row] {
		m.looked++
		c := m.b.arcs[row][n].column
		if c < 0 {
			return true
		}
		if m.seen[c] {
			continue
		}
		m.seen[c] = true
		if len(m.held[c]) < m.b.caps[c] {
			m.held[c] = append(m.held[c], row)
			return true
		}
		for i, r := range m.held[c] {
			if m.place(r) {
				m.held[c][i] = row
				return true
			}
		}
	}
	return false
}
