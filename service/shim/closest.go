package shim

import (
	"slices"
	"sort"
)

// closest offers choices that leave so many places empty, where closeness comes first. Deviations count in classes then,
// which do not add up, so that each number of pieces bought is ranked by itself: among those the deviation decides.
//
// How many are bought is what flows to one node of a network, and the least deviation of an exact flow is convex in it
// (the value of a linear programme in one of its right-hand sides, whole numbers being optimal). From the number that
// goes with the least deviation of all, it never falls on either side: so the first number of the best class is found by
// bisection, above it ranks only grow, and below it classes do.
func (b *buckets) closest(t tally, empty int) {
	pieces := len(b.rows) - empty
	most := b.nearestCount(empty)
	rankOf := func(bought, fresh int) (r rank, ok bool) {
		d, ok := b.floor(bought, empty)
		least := plus(&t, &tally{p: certain, d: d, fresh: fresh, pieces: pieces})
		return b.e.rk.rank(&least), ok && b.e.p.spend(len(b.rows))
	}
	top, ok := rankOf(most, 0)
	if !ok {
		return
	}
	first := sort.Search(most, func(n int) bool {
		r, ok := rankOf(n, 0)
		return ok && r[1] == top[1]
	})
	look := func(n int) {
		if r, _ := rankOf(n, n); !b.e.pool.hopeless(r) {
			b.offer(t, n, empty, func(one *tally) bool { return one.fresh == n && one.pieces == pieces })
		}
	}
	for n := first; n <= len(b.rows); n++ {
		if r, ok := rankOf(n, n); !ok || b.e.pool.hopeless(r) {
			break
		}
		look(n)
	}
	for n := first - 1; n >= 0; n-- {
		if r, ok := rankOf(n, 0); !ok || b.e.pool.hopeless(r) { // none with fewer is of a better class
			break
		}
		look(n)
	}
}

// dearer is how many pieces more than the least the buckets buy if the option is to come as close as the last of a full
// pool: what comes less close than its class cannot enter.
func (e *engine) dearer(t *tally, l *leastOf) int {
	b := e.buckets
	if b == nil || b.empty > 0 || e.rk.aim || !e.pool.full() {
		return 0
	}
	worst, own := e.pool.worst().rank, e.rk.rank(&tally{unsure: t.unsure, p: t.p, placeOut: t.placeOut, pastAim: t.pastAim})
	if worst[0] != own[0] {
		return 0
	}
	room := e.rk.widest(worst[1]) - t.d - (l.d - b.least.d)
	return max(0, b.cheapest(room)-b.least.fresh)
}

// widest is the greatest deviation of a class.
func (r *ranker) widest(class int64) int64 {
	if r.g == 0 {
		return class
	}
	return r.best + (class+1)*r.g
}

// cheapest is the least number of pieces bought with which the deviations come to no more than that: they never grow with
// it up to the number of the least deviation of all. Where none will do it is more than there are rows.
func (b *buckets) cheapest(d int64) int {
	most := b.nearestCount(0)
	n := sort.Search(most+1, func(n int) bool {
		least, ok := b.floor(n, 0)
		return ok && least <= d
	})
	if n > most {
		return len(b.rows) + 1
	}
	return n
}

// nearestCount is how many pieces are bought where the deviations are least, with so many places left empty.
func (b *buckets) nearestCount(empty int) int {
	most, known := b.most[empty]
	if !known {
		most, _ = b.nearest(empty, func(t *tally) []int64 { return []int64{int64(t.pieces), t.d, int64(t.fresh)} })
		b.most[empty] = most
	}
	return most
}

// floor is the least sum of deviations with so many pieces bought and so many places left empty; ok is false where
// there is no such choice.
func (b *buckets) floor(bought, empty int) (d int64, ok bool) {
	f := &b.floors[empty*(len(b.rows)+1)+bought]
	if !f.known {
		f.known = true
		if s := b.left(make([]int, len(b.e.p.kinds)), 0, bought, empty).nth(0); s != nil {
			own := b.comes(s)
			f.d, f.ok = own.d, own.fresh == bought && own.pieces == len(b.rows)-empty
		}
	}
	return f.d, f.ok
}

// floor is a least sum of deviations, if there is one and it is known.
type floor struct {
	d         int64
	ok, known bool
}

// nearest is how many pieces are bought where some cost is least, and the deviation there, with the whole stock for the
// rows and so many places left empty at most.
func (b *buckets) nearest(empty int, cost func(*tally) []int64) (bought int, d int64) {
	board := b.board(make([]int, len(b.e.p.kinds)), len(b.rows), empty)
	board.n = len(cost(&tally{}))
	for i, r := range b.rows {
		board.arcs[i] = slices.Clone(r.arcs)
		for n := range r.arcs {
			board.arcs[i][n].cost = cost(&r.arcs[n].of.tally)
		}
	}
	s, ok := board.best()
	if !ok {
		return 0, 0
	}
	own := b.comes(s)
	return own.fresh, own.d
}
