package shim

import (
	"math"
	"slices"
)

// buckets are the parts of one place with one piece at most: valves under bucket shims. They share scarce pieces and
// nothing else, and where every field of the order adds up, to fill them is an assignment problem: it is ranked exactly,
// however crowded the box is. What other parts use of the stock is taken off before.
type buckets struct {
	e      *engine
	rows   []*bucket
	column []int // of each kind; −1: as many as one buys
	kinds  []int // of the columns
	least  leastOf
	lexi   rank
	bought bool               // some row can have a piece that is bought
	empty  int                // so many rows can be left empty
	known  map[string]*ranked // by what is left of the stock and what is needed
	floors []floor            // by how many places are left empty and how many pieces are bought
	most   map[int]int        // how many pieces are bought for the least deviation, by how many places are left empty
}

// bucket is one place with everything that it can be filled with.
type bucket struct {
	at   int
	all  []*candidate // of every tier
	arcs []arc
}

// Flags of an arc: what makes a whole option belong to a tier.
const (
	atLevel uint8 = 1 << iota
	unsureOne
	placeOutOne
	pastAimOne
)

// sortOut takes the parts that are buckets out of those that are put together one by one.
func (e *engine) sortOut() {
	b := &buckets{e: e}
	rest := e.parts[:0:0]
	for _, pt := range e.parts {
		if e.isBucket(pt) {
			if q := e.everyOption(pt); q != nil {
				b.rows = append(b.rows, &bucket{at: pt.places[0], all: q})
				continue
			}
		}
		rest = append(rest, pt)
	}
	if len(b.rows) > 0 {
		e.several, e.buckets = rest, b
		b.columns()
	}
}

// isBucket reports whether a part has one place with one piece at most. Offsets are weighed in classes, which do not add
// up, where closeness comes first.
func (e *engine) isBucket(pt *part) bool {
	return len(pt.places) == 1 && e.p.places[pt.places[0]].maxPieces() <= 1 && (e.rk.goal == FewestNew || len(pt.sets) == 0)
}

// everyOption lists the options of a part; nil where they are too many to list.
func (e *engine) everyOption(pt *part) []*candidate {
	q := &pool{p: e.p, size: lastList, apart: true}
	one := search{p: e.p, part: pt, rk: ranker{goal: e.rk.goal, flat: true}, pool: q, start: tally{p: certain}, keep: filter{least: math.MinInt64}}
	one.run()
	if len(q.items) == lastList {
		return nil
	}
	return append([]*candidate{}, q.items...)
}

// columns numbers the kinds that are scarce and that some row can use.
func (b *buckets) columns() {
	p := b.e.p
	b.column = slices.Repeat([]int{-1}, len(p.kinds))
	for _, r := range b.rows {
		for _, c := range r.all {
			if k := kindOf(p, c); k >= 0 && p.kinds[k].cap > 0 && b.column[k] < 0 {
				b.column[k] = len(b.kinds)
				b.kinds = append(b.kinds, k)
			}
		}
	}
}

// kindOf is the kind of the one piece of an option of one place; −1 where there is none, or it stays as it is.
func kindOf(p *problem, c *candidate) int {
	f := c.fills[0]
	if f.fill.stay || len(f.fill.uses) == 0 {
		return -1
	}
	return p.places[f.at].uses[f.fill.uses[0]].kind
}

// enter lists the options of the tier; it answers false where the rows cannot all have one.
func (b *buckets) enter(t tier) bool {
	b.known, b.most = map[string]*ranked{}, map[int]int{}
	b.floors = make([]floor, (len(b.rows)+1)*(len(b.rows)+1))
	b.least, b.lexi = leastOf{p: certain}, rank{}
	if !b.admit(t) {
		return false
	}
	b.price()
	return b.bound()
}

// admit gives every row the arcs of a tier; it answers false where the rows cannot all have one.
func (b *buckets) admit(t tier) bool {
	for _, r := range b.rows {
		r.arcs = r.arcs[:0]
		for _, c := range r.all {
			if t.keep.admits(&c.tally) {
				r.arcs = append(r.arcs, arc{column: b.columnOf(c), flags: flagsOf(&c.tally, t), of: c})
			}
		}
		if len(r.arcs) == 0 {
			return false
		}
	}
	return b.board(make([]int, len(b.e.p.kinds)), len(b.rows), len(b.rows)).feasible()
}

// possible leaves out the levels, the most probable first, at which the rows cannot all have an option: where they can at
// one level, they can at every lower one.
func (b *buckets) possible(levels []int64) []int64 {
	n, _ := slices.BinarySearchFunc(levels, true, func(p int64, _ bool) int {
		if b.admit(tier{unsure: true, p: p, keep: filter{least: p}}) {
			return 0
		}
		return -1
	})
	return levels[n:]
}

func flagsOf(t *tally, at tier) (f uint8) {
	if at.unsure && t.p == at.p {
		f |= atLevel
	}
	if t.unsure {
		f |= unsureOne
	}
	if t.placeOut {
		f |= placeOutOne
	}
	if t.pastAim {
		f |= pastAimOne
	}
	return f
}

// bound works out what the rows come to at least, with the whole stock for themselves.
func (b *buckets) bound() bool {
	b.bought, b.empty = false, 0
	for _, r := range b.rows {
		b.bought = b.bought || slices.ContainsFunc(r.arcs, func(a arc) bool { return a.of.tally.fresh > 0 })
		if slices.ContainsFunc(r.arcs, func(a arc) bool { return a.of.tally.pieces == 0 }) {
			b.empty++
		}
	}
	s := b.left(make([]int, len(b.e.p.kinds)), 0, len(b.rows), b.empty).nth(0)
	if s == nil {
		return false
	}
	var best tally
	l := &b.least
	for i, r := range b.rows {
		one := r.arcs[0].of.tally
		one.placeOut, one.pastAim, one.unsure = false, false, false
		for n := range r.arcs {
			t := &r.arcs[n].of.tally
			one.d, one.off2, one.fresh, one.pieces = min(one.d, t.d), min(one.off2, t.off2), min(one.fresh, t.fresh), min(one.pieces, t.pieces)
			one.total, one.p = max(one.total, t.total), max(one.p, t.p)
			l.placeOut, l.aim, l.unsure = l.placeOut || t.placeOut, l.aim || t.pastAim, l.unsure || t.unsure
		}
		l.d, l.off2, l.fresh, l.pieces, l.total, l.p = l.d+one.d, l.off2+one.off2, l.fresh+one.fresh, l.pieces+one.pieces, l.total+one.total, min(l.p, one.p)
		best = plus(&best, &r.arcs[s.arc[i]].of.tally)
	}
	b.lexi = addLexi(b.lexi, &best)
	_, d := b.nearest(b.empty, func(t *tally) []int64 { return []int64{t.d} })
	l.d = max(l.d, d)
	return true
}

// comes is what a choice comes to.
func (b *buckets) comes(s *picks) tally {
	own := tally{p: certain}
	for i, r := range b.rows {
		own = plus(&own, &r.arcs[s.arc[i]].of.tally)
	}
	return own
}

// left ranks the choices with what others have left of the stock, with so many pieces bought and so many places left
// empty at most.
func (b *buckets) left(used []int, need uint8, bought, empty int) *ranked {
	board := b.board(used, bought, empty)
	key := make([]byte, 0, len(b.kinds)+3)
	key = append(key, need, byte(bought), byte(empty))
	for _, c := range board.caps[:len(b.kinds)] {
		key = append(key, byte(min(c, len(b.rows))))
	}
	if l := b.known[string(key)]; l != nil {
		return l
	}
	l := newRanked(board, need)
	b.known[string(key)] = l
	return l
}

func (b *buckets) board(used []int, bought, empty int) *board {
	n := len(b.kinds)
	out := &board{arcs: make([][]arc, len(b.rows)), caps: make([]int, n+2), n: len(b.rows[0].arcs[0].cost), work: b.e.p.spend}
	out.caps[n], out.caps[n+1] = bought, empty
	for c, k := range b.kinds {
		out.caps[c] = b.e.p.kinds[k].cap - used[k]
	}
	for i, r := range b.rows {
		out.arcs[i] = r.arcs
	}
	return out
}

// settle offers what the rows can add to options of the other parts, best first, until nothing more can enter.
func (b *buckets) settle(t tally) {
	if b.e.rk.goal == Closest && !b.e.rk.aim {
		for empty := b.empty; empty >= 0; empty-- {
			b.closest(t, empty)
		}
		return
	}
	b.offer(t, len(b.rows), b.empty, func(*tally) bool { return true })
}

// needs is which flags the tier asks for that an option of the other parts does not have.
func (b *buckets) needs(t *tally) (need uint8) {
	at := &b.e.tier
	if at.unsure && t.p != at.p {
		need |= atLevel
	}
	if at.unsure && !t.unsure {
		need |= unsureOne
	}
	if at.placeOut && !t.placeOut {
		need |= placeOutOne
	}
	if at.aimOut && !t.pastAim {
		need |= pastAimOne
	}
	return need
}

// offer goes through one ranking while its choices are of the kind asked for.
func (b *buckets) offer(t tally, bought, empty int, fits func(*tally) bool) {
	e := b.e
	list := b.left(e.used, b.needs(&t), bought, empty)
	picked := len(e.picks)
	for n := 0; ; n++ {
		s := list.nth(n)
		if s == nil {
			return
		}
		if !e.p.spend(len(b.rows)) {
			return
		}
		own := b.comes(s)
		for i, r := range b.rows {
			e.picks = append(e.picks, r.arcs[s.arc[i]].of)
		}
		entered := fits(&own) && e.settle(plus(&t, &own))
		e.picks = e.picks[:picked]
		if !entered {
			return
		}
	}
}
