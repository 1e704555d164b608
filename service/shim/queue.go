package shim

import "slices"

// queue orders choices of totals, best bound first. Its room is used again by every search of a problem.
type queue struct {
	bounds []bounded
	order  []int32
}

// bounded is a choice with a lower bound of its rank.
type bounded struct {
	rank rank
	at   int
}

// flush looks into what was collected since the last time, best bound first.
func (s *search) flush() {
	h, q := s.heap, &s.p.queue
	more := len(h.tallies) - s.looked
	q.bounds, q.order = slices.Grow(q.bounds[:0], more), slices.Grow(q.order[:0], more)
	for at := s.looked; at < len(h.tallies); at++ {
		t := plus(&s.start, &h.tallies[at])
		if r := s.rk.rank(&t); s.keep.admits(&t) && !s.pool.hopeless(r) {
			q.order = append(q.order, int32(len(q.bounds)))
			q.bounds = append(q.bounds, bounded{r, at})
		}
	}
	s.looked = len(h.tallies)
	q.heapify()
	for len(q.order) > 0 {
		b := &q.bounds[q.order[0]]
		if s.pool.hopeless(b.rank) || s.p.left <= 0 {
			break
		}
		if v := s.vector(b.at); !s.thinner(b.rank, &v, nil) {
			s.cells(&v, 0, v.t, s.picked[:0])
		}
		q.pop()
	}
}

// heapify puts the least rank first; of equal ranks the one that was collected first.
func (q *queue) heapify() {
	for i := len(q.order)/2 - 1; i >= 0; i-- {
		q.sink(i)
	}
}

func (q *queue) pop() {
	last := len(q.order) - 1
	q.order[0] = q.order[last]
	q.order = q.order[:last]
	q.sink(0)
}

func (q *queue) less(a, b int32) bool {
	c := q.bounds[a].rank.compare(&q.bounds[b].rank)
	return c < 0 || c == 0 && a < b
}

func (q *queue) sink(i int) {
	for {
		child := 2*i + 1
		if child >= len(q.order) {
			return
		}
		if child+1 < len(q.order) && q.less(q.order[child+1], q.order[child]) {
			child++
		}
		if !q.less(q.order[child], q.order[i]) {
			return
		}
		q.order[i], q.order[child] = q.order[child], q.order[i]
		i = child
	}
}
