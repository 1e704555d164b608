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
	known  map[string]*ranked // by what is left of the stock and what is needed
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

// additive reports whether every field of the order is a sum over the parts.
func (e *engine) additive() bool {
	if e.rk.aim {
		return false
	}
	offset := slices.ContainsFunc(e.p.sets, func(s *set) bool { return s.has })
	return e.rk.goal == FewestNew || e.rk.g == 0 && !offset
}

// sortOut takes the parts that are buckets out of those that are put together one by one.
func (e *engine) sortOut() {
	if !e.additive() {
		return
	}
	b := &buckets{e: e}
	rest := e.parts[:0:0]
	for _, pt := range e.parts {
		if len(pt.places) == 1 && e.p.places[pt.places[0]].maxPieces() <= 1 {
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

// enter lists the options of the tier; it answers false where a row has none.
func (b *buckets) enter(t tier) bool {
	b.known = map[string]*ranked{}
	b.least, b.lexi = leastOf{p: certain}, rank{}
	for _, r := range b.rows {
		r.arcs = r.arcs[:0]
		for _, c := range r.all {
			if t.keep.admits(&c.tally) {
				r.arcs = append(r.arcs, arc{column: -1, flags: flagsOf(&c.tally, t), of: c})
			}
		}
		if len(r.arcs) == 0 {
			return false
		}
	}
	b.price()
	return b.bound()
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
	s := b.left(make([]int, len(b.e.p.kinds)), 0).nth(0)
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
	if b.e.rk.goal == Closest {
		l.d = best.d
	}
	return true
}

// left ranks the choices with what others have left of the stock.
func (b *buckets) left(used []int, need uint8) *ranked {
	key := make([]byte, 0, 2*len(b.kinds)+1)
	key = append(key, need)
	board := &board{arcs: make([][]arc, len(b.rows)), caps: make([]int, len(b.kinds)), n: len(b.rows[0].arcs[0].cost), work: b.e.p.spend}
	for c, k := range b.kinds {
		board.caps[c] = b.e.p.kinds[k].cap - used[k]
		key = append(key, byte(min(board.caps[c], len(b.rows))))
	}
	if l := b.known[string(key)]; l != nil {
		return l
	}
	for i, r := range b.rows {
		board.arcs[i] = r.arcs
	}
	l := newRanked(board, need)
	b.known[string(key)] = l
	return l
}

// settle offers what the rows can add to options of the other parts, best first, until nothing more can enter.
func (b *buckets) settle(t tally) {
	e := b.e
	need := uint8(0)
	if e.tier.unsure {
		if t.p != e.tier.p {
			need |= atLevel
		}
		if !t.unsure {
			need |= unsureOne
		}
	}
	if e.tier.placeOut && !t.placeOut {
		need |= placeOutOne
	}
	if e.tier.aimOut && !t.pastAim {
		need |= pastAimOne
	}
	list := b.left(e.used, need)
	picked := len(e.picks)
	for n := 0; ; n++ {
		s := list.nth(n)
		if s == nil {
			return
		}
		sum := t
		for i, r := range b.rows {
			c := r.arcs[s.arc[i]].of
			sum = plus(&sum, &c.tally)
			e.picks = append(e.picks, c)
		}
		entered := e.settle(sum)
		e.picks = e.picks[:picked]
		if !entered {
			return
		}
	}
}
