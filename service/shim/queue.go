package shim

import "slices"

// queue orders the choices of a heap, best bound first. Its room is used again by every search of a problem.
type queue struct {
	ranks []rank
	order []int32
}

// flush looks into the collected totals, best bound first.
func (s *search) flush() {
	h, q := s.heap, &s.p.queue
	q.ranks, q.order = slices.Grow(q.ranks[:0], len(h.tallies)), slices.Grow(q.order[:0], len(h.tallies))
	for i := s.fresh; i < len(h.tallies); i++ {
		t := plus(&s.start, &h.tallies[i])
		r := s.rk.rank(&t)
		q.ranks = append(q.ranks, r)
		if s.keep.admits(&t) && !s.pool.hopeless(r) {
			q.order = append(q.order, int32(i-s.fresh))
		}
	}
	first := s.fresh
	s.fresh = len(h.tallies)
	heapify(q.order, q.ranks)
	n, m := len(s.part.places), len(s.part.bounds)
	for len(q.order) > 0 {
		at := int(q.order[0])
		if s.pool.hopeless(q.ranks[at]) || s.p.left <= 0 {
			break
		}
		i := first + at
		v := vector{h.rows[i*n : (i+1)*n], h.sums[i*m : (i+1)*m], plus(&s.start, &h.tallies[i])}
		if !s.thinner(q.ranks[at], &v, nil) {
			s.cells(&v, 0, v.t, s.picked[:0])
		}
		last := len(q.order) - 1
		q.order[0] = q.order[last]
		q.order = q.order[:last]
		sink(q.order, q.ranks, 0)
	}
}

// heapify puts the index of the least rank first; of equal ranks the lower index.
func heapify(order []int32, ranks []rank) {
	for i := len(order)/2 - 1; i >= 0; i-- {
		sink(order, ranks, i)
	}
}

func sink(order []int32, ranks []rank, i int) {
	less := func(a, b int32) bool {
		c := ranks[a].compare(ranks[b])
		return c < 0 || c == 0 && a < b
	}
	for {
		child := 2*i + 1
		if child >= len(order) {
			return
		}
		if child+1 < len(order) && less(order[child+1], order[child]) {
			child++
		}
		if !less(order[child], order[i]) {
			return
		}
		order[i], order[child] = order[child], order[i]
		i = child
	}
}
