package shim

import (
	"cmp"
	"slices"
	"strings"
)

// tally is what an option comes to, before its pieces are compared one by one.
type tally struct {
	p        int64 // least probability of the specs, in units of 1e-12
	d        int64 // sum of the deviations
	off2     int64 // twice the sum of |offset|
	total    int64 // printed
	fresh    int
	pieces   int
	unsure   bool
	placeOut bool
	pastAim  bool
	kept     bool // no change
}

// rank is a tally as a row of numbers that compare one after another, smaller first: the tier, the fields of the
// objective, and whether anything changes.
type rank [6]int64

func (a *rank) compare(b *rank) int {
	for i := range a {
		if a[i] != b[i] {
			return cmp.Compare(a[i], b[i])
		}
	}
	return 0
}

// ranker turns tallies into ranks. It never falls when a field of the tally grows, so that a tally of lower bounds gives
// a rank that is a lower bound.
type ranker struct {
	goal Objective
	best int64 // d_best
	g    int64
	q2   int64
	aim  bool // for d_best alone: tier and deviation
	flat bool // for options of one part: the fields that add up, without tiers and classes
}

func flag(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

// class is the class of a deviation: the deviation itself where there is no uncertainty.
func (r *ranker) class(d int64) int64 {
	if r.g == 0 {
		return d
	}
	return max(0, ceil(d-r.best, r.g)-1)
}

func ceil(a, b int64) int64 {
	q := a / b
	if a%b > 0 {
		q++
	}
	return q
}

func (r *ranker) rank(t *tally) rank {
	switch {
	case r.aim:
		tier := int64(2)
		if !t.unsure {
			tier = flag(t.placeOut || t.pastAim)
		}
		return rank{tier, t.d}
	case r.flat && r.goal == Closest:
		return rank{1: t.d, 2: t.off2, 3: t.count()}
	case r.flat:
		return rank{1: int64(t.fresh), 2: t.d, 3: t.off2, 4: int64(t.pieces)}
	}
	tier, changed := flag(t.placeOut)<<1|flag(t.pastAim), 1-flag(t.kept)
	if t.unsure {
		tier += 1<<62 + (certain-t.p)<<2
	}
	if r.goal == Closest {
		return rank{tier, r.class(t.d), t.off2 / r.q2, t.count(), t.d, changed}
	}
	return rank{tier, int64(t.fresh), t.d, t.off2, int64(t.pieces), changed}
}

// count is the new pieces and then all pieces in one number.
func (t *tally) count() int64 { return int64(t.fresh)<<32 | int64(t.pieces) }

// candidate is an option under way: its rank, and the fills of its places.
type candidate struct {
	tally tally
	rank  rank
	fills []placed // by place
	v     int64    // sum of the variances
}

// placed is a fill with its place.
type placed struct {
	at   int
	fill fill
}

// printedAt are the printed thicknesses of a fill, thickest first.
func (p *problem) printedAt(i int, f fill, n int) (int64, bool) {
	if f.stay {
		if n < len(p.places[i].bodies) {
			return p.places[i].bodies[n].p, true
		}
		return 0, false
	}
	if n < len(f.uses) {
		return p.places[i].uses[f.uses[n]].p, true
	}
	return 0, false
}

// comparePrinted puts the larger total first, then the larger piece.
func (p *problem) comparePrinted(i int, a, b fill) int {
	var ta, tb int64
	order := 0
	for n := 0; ; n++ {
		x, more := p.printedAt(i, a, n)
		y, moreY := p.printedAt(i, b, n)
		if !more && !moreY {
			break
		}
		ta, tb = ta+x, tb+y
		if order == 0 {
			order = -cmp.Compare(x, y)
		}
	}
	return cmp.Or(-cmp.Compare(ta, tb), order)
}

// compareSizes is comparePrinted for fills of one group, whose totals and numbers of pieces are equal.
func (pl *place) compareSizes(a, b fill) int {
	for n := range a.uses {
		if x, y := pl.uses[a.uses[n]].p, pl.uses[b.uses[n]].p; x != y {
			return cmp.Compare(y, x)
		}
	}
	return 0
}

// compareOrigins compares where the pieces of two fills of equal thicknesses come from.
func (p *problem) compareOrigins(i int, a, b fill) int {
	if a.stay || b.stay {
		return cmp.Compare(flag(b.stay), flag(a.stay))
	}
	uses := p.places[i].uses
	for n := range min(len(a.uses), len(b.uses)) {
		if c := cmp.Compare(originRank(p.kinds[uses[a.uses[n]].kind], i), originRank(p.kinds[uses[b.uses[n]].kind], i)); c != 0 {
			return c
		}
	}
	return 0
}

// compareSKUs compares the SKUs of two fills of equal thicknesses and origins.
func (p *problem) compareSKUs(i int, a, b fill) int {
	uses := p.places[i].uses
	for n := range min(len(a.uses), len(b.uses)) {
		if c := strings.Compare(p.kinds[uses[a.uses[n]].kind].piece.SKU, p.kinds[uses[b.uses[n]].kind].piece.SKU); c != 0 {
			return c
		}
	}
	return 0
}

// compareKept compares what is left to tell two fills apart: the kinds themselves.
func (p *problem) compareKept(i int, a, b fill) int {
	uses := p.places[i].uses
	for n := range min(len(a.uses), len(b.uses)) {
		if c := cmp.Compare(uses[a.uses[n]].kind, uses[b.uses[n]].kind); c != 0 {
			return c
		}
	}
	return 0
}

// compareFills compares the printed thicknesses of two options, place by place.
func (p *problem) compareFills(a, b []placed) int {
	for i := range a {
		if c := p.comparePrinted(a[i].at, a[i].fill, b[i].fill); c != 0 {
			return c
		}
	}
	return 0
}

// compare is the whole order of options; only one and the same option compares equal.
func (p *problem) compare(a, b *candidate) int {
	if c := cmp.Or(a.rank.compare(&b.rank), -cmp.Compare(a.tally.total, b.tally.total), p.compareFills(a.fills, b.fills), cmp.Compare(a.v, b.v)); c != 0 {
		return c
	}
	return cmp.Or(p.byPlace(a, b, p.compareOrigins), p.byPlace(a, b, p.compareSKUs), cmp.Compare(a.tally.off2, b.tally.off2), p.byPlace(a, b, p.compareKept))
}

func (p *problem) byPlace(a, b *candidate, compare func(int, fill, fill) int) int {
	for i := range a.fills {
		if c := compare(a.fills[i].at, a.fills[i].fill, b.fills[i].fill); c != 0 {
			return c
		}
	}
	return 0
}

// pool keeps the best options found. Options with the same printed thicknesses are one, unless apart tells every
// assignment of pieces from the next.
type pool struct {
	p     *problem
	size  int
	apart bool
	first bool // only the rank of the best matters: equals need not enter
	items []*candidate
}

func (q *pool) full() bool { return len(q.items) >= q.size }

// worst is the option that a new one has to beat once the pool is full.
func (q *pool) worst() *candidate { return q.items[len(q.items)-1] }

// hopeless reports whether no option of at least that rank can enter.
func (q *pool) hopeless(r rank) bool {
	if !q.full() {
		return false
	}
	c := r.compare(&q.worst().rank)
	return c > 0 || c == 0 && q.first
}

// offer puts a copy of c in its place; it answers false where c cannot enter.
func (q *pool) offer(c *candidate) bool {
	if q.full() && q.p.compare(c, q.worst()) >= 0 {
		return false
	}
	if !q.apart {
		for i, o := range q.items {
			if o.tally.kept == c.tally.kept && q.p.compareFills(o.fills, c.fills) == 0 {
				if q.p.compare(c, o) >= 0 {
					return true
				}
				q.items = slices.Delete(q.items, i, i+1)
				break
			}
		}
	}
	kept := *c
	kept.fills = slices.Clone(c.fills)
	at, _ := slices.BinarySearchFunc(q.items, &kept, q.p.compare)
	q.items = slices.Insert(q.items, at, &kept)
	if len(q.items) > q.size {
		q.items = q.items[:q.size]
	}
	return true
}
