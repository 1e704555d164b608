package shim

import (
	"cmp"
	"slices"
)

// board is an assignment problem: every row takes one of its arcs, and a column holds so many rows. Costs are rows of
// numbers that add up number by number and compare as one, the first number first; all of them have the same length. The
// arcs of a row are sorted, so that of those to one column the first that is admitted is the best of them.
type board struct {
	arcs [][]arc
	caps []int // of the columns
	n    int   // length of a cost
	work func(int) bool
	room paths // used again by every search
}

// arc is one choice of a row. Column −1 holds as many rows as come. Arcs of one row that are printed alike have one mark.
type arc struct {
	column int
	mark   int
	flags  uint8
	cost   []int64
	of     *candidate
}

// sortArcs puts arcs to one column together, the cheapest first.
func sortArcs(arcs []arc) {
	slices.SortFunc(arcs, func(x, y arc) int { return cmp.Or(cmp.Compare(x.column, y.column), slices.Compare(x.cost, y.cost)) })
}

// picks is one choice for every row, with what the rows may choose from.
type picks struct {
	arc  []int // −1: not placed yet
	sum  []int64
	rule []rule
}

// rule is what a row may choose: arcs with all flags of must and none of never, of the mark only unless that is −1, and
// of none of the marks in not.
type rule struct {
	only        int
	not         []int
	must, never uint8
}

func (r *rule) admits(a *arc) bool {
	return (r.only < 0 || r.only == a.mark) && a.flags&r.must == r.must && a.flags&r.never == 0 && !slices.Contains(r.not, a.mark)
}

// best places every row at the least cost, by successive shortest paths; ok is false where they have no room.
func (b *board) best() (s *picks, ok bool) {
	s = &picks{arc: make([]int, len(b.arcs)), sum: make([]int64, b.n), rule: make([]rule, len(b.arcs))}
	for i := range s.arc {
		s.arc[i], s.rule[i].only = -1, -1
	}
	for i := range s.arc {
		if !b.place(s, i) {
			return s, false
		}
	}
	return s, true
}

// paths is the room for a search of shortest paths; node len(rows) stands for room in any column.
type paths struct {
	dist  []int64 // of the nodes, one after another
	known []bool
	from  []step
	queue []int
	in    []bool
	load  []int
	held  [][]int // rows of each column
	trial []int64
	tried int // distances that were reckoned and are not counted as work yet
}

// step is how a node was reached: the row before took that arc. Row −1 is the start, and the pool of room is len(rows).
type step struct{ row, arc int }

// place gives a row another arc that its rule admits, at the least cost that this makes for all rows together. The
// choices must be the best under looser rules, under which the row had the arc that it has now, if any. Then the
// difference to the best under the present rules is one path (the difference of two flows is a sum of cycles, and only a
// cycle through the arc given up can gain): from the row to the room that it leaves, or to other room. ok is false, and
// the choices are of no more use, where there is no way.
func (b *board) place(s *picks, row int) bool {
	w := b.paths(s)
	pool, goal, goalFrom := len(b.arcs), []int64(nil), step{-1, -1}
	w.reach(row, step{-1, -1}, make([]int64, b.n))
	for len(w.queue) > 0 {
		at := w.nearest()
		if at == pool {
			if s.arc[row] >= 0 { // whoever holds room may give it up for what the row leaves
				for r := range s.arc {
					if r != row && s.arc[r] >= 0 {
						w.relax(at, r, step{pool, -1}, nil, b.arcs[r][s.arc[r]].cost)
					}
				}
			}
			continue
		}
		if !b.work(1 + len(b.arcs[at]) + w.tried) {
			return false
		}
		w.tried = 0
		own, last := b.columnIn(s, at, row), -1
		for n := range b.arcs[at] {
			a := &b.arcs[at][n]
			if a.column >= 0 && (a.column == own || a.column == last) || n == s.arc[at] && at != row || !s.rule[at].admits(a) {
				continue
			}
			last = a.column // those to the same column follow, and cost more
			if a.column < 0 || w.load[a.column] < b.caps[a.column] {
				w.relax(at, pool, step{at, n}, a.cost, nil)
				continue
			}
			for _, r := range w.held[a.column] {
				switch r {
				case row: // its old room, be it for itself
					if sum := w.plus(at, a.cost, nil); goal == nil || slices.Compare(sum, goal) < 0 {
						goal, goalFrom = append(goal[:0], sum...), step{at, n}
					}
				case at:
				default:
					w.relax(at, r, step{at, n}, a.cost, b.arcs[r][s.arc[r]].cost)
				}
			}
		}
	}
	if w.known[pool] && (goal == nil || slices.Compare(w.at(pool, b.n), goal) < 0) {
		goal, goalFrom = w.at(pool, b.n), w.from[pool]
	}
	if goal == nil {
		return false
	}
	old := s.arc[row]
	w.follow(s, goalFrom, row, pool)
	for i := range s.sum {
		s.sum[i] += goal[i]
		if old >= 0 {
			s.sum[i] -= b.arcs[row][old].cost[i]
		}
	}
	return true
}

// columnIn is the column that a row is in, which it need not take anew; −1 for the row that is placed.
func (b *board) columnIn(s *picks, at, row int) int {
	if at == row || s.arc[at] < 0 {
		return -1
	}
	return b.arcs[at][s.arc[at]].column
}

// paths clears the room for a search and says who holds what.
func (b *board) paths(s *picks) *paths {
	w, n := &b.room, len(b.arcs)+1
	if w.known == nil {
		*w = paths{dist: make([]int64, n*b.n), known: make([]bool, n), from: make([]step, n), in: make([]bool, n),
			load: make([]int, len(b.caps)), held: make([][]int, len(b.caps)), trial: make([]int64, b.n), queue: make([]int, 0, 4*n)}
	}
	clear(w.known)
	clear(w.in)
	clear(w.load)
	w.queue = w.queue[:0]
	for c := range w.held {
		w.held[c] = w.held[c][:0]
	}
	for r, a := range s.arc {
		if a >= 0 {
			if c := b.arcs[r][a].column; c >= 0 {
				w.load[c]++
				w.held[c] = append(w.held[c], r)
			}
		}
	}
	return w
}

func (w *paths) at(node, n int) []int64 { return w.dist[node*n : (node+1)*n] }

// plus is the distance of a node with a cost added and another taken away; nil is nothing.
func (w *paths) plus(node int, add, take []int64) []int64 {
	copy(w.trial, w.at(node, len(w.trial)))
	for i, x := range add {
		w.trial[i] += x
	}
	for i, x := range take {
		w.trial[i] -= x
	}
	return w.trial
}

// nearest takes the node of the least distance off the queue: where no cost is below nothing, it is settled by then.
func (w *paths) nearest() int {
	least, n := 0, len(w.trial)
	for i := 1; i < len(w.queue); i++ {
		if slices.Compare(w.at(w.queue[i], n), w.at(w.queue[least], n)) < 0 {
			least = i
		}
	}
	node, last := w.queue[least], len(w.queue)-1
	w.queue[least] = w.queue[last]
	w.queue, w.in[node] = w.queue[:last], false
	return node
}

func (w *paths) relax(at, to int, from step, add, take []int64) {
	w.tried++
	if !w.known[to] || w.nearer(at, to, add, take) {
		w.reach(to, from, w.plus(at, add, take))
	}
}

// nearer reports whether a node is reached at less than is known; most of the time the first number says so.
func (w *paths) nearer(at, to int, add, take []int64) bool {
	n := len(w.trial)
	a, b := w.at(at, n), w.at(to, n)
	for i, x := range a {
		if add != nil {
			x += add[i]
		}
		if take != nil {
			x -= take[i]
		}
		if x != b[i] {
			return x < b[i]
		}
	}
	return false
}

func (w *paths) reach(node int, from step, dist []int64) {
	copy(w.at(node, len(dist)), dist)
	w.known[node], w.from[node] = true, from
	if !w.in[node] {
		w.queue, w.in[node] = append(w.queue, node), true
	}
}

// follow gives every row on the path its new arc, from the end back to the row where it starts.
func (w *paths) follow(s *picks, at step, row, pool int) {
	for {
		r := at.row
		if r == pool {
			at = w.from[pool]
			continue
		}
		s.arc[r] = at.arc
		if r == row {
			return
		}
		at = w.from[r]
	}
}
