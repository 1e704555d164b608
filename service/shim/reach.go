package shim

import (
	"math"
	"slices"
)

// vectors are choices of totals, one after another, with what follows from the totals alone. They are collected in rings:
// first those that leave every spec within some reach of its aim, then those farther out, until nothing farther out can
// enter the pool. What is collected once stands for every later search of the part.
type vectors struct {
	rows    []*row
	tallies []tally // of the part alone
	reach   int64   // everything within it is collected; negative: nothing yet
	whole   bool    // everything is collected
}

// vector is one choice of totals.
type vector struct {
	rows []*row
	sums []int64
	t    tally
}

const (
	batch      = 1 << 13 // how many choices are collected before the best of them are looked into
	fewChoices = 400     // so many are collected at once
	firstRing  = 16      // the first ring is that part of the way from the aim to the farther limit
	nextRing   = 4       // how much farther each ring reaches
)

// choices is how many choices of totals there are, but for the limits; many are fewChoices.
func (s *search) choices() int {
	few := 1
	for _, t := range s.tables {
		few = min(few*len(t.rows), fewChoices)
	}
	return few
}

// collected is what is known of the part.
func (s *search) collected() *vectors {
	if known := s.part.vectors[s.p.shelf]; known != nil && !s.pool.first {
		return known
	}
	return &vectors{reach: -1}
}

// room makes room for the choices of a ring.
func (s *search) room() {
	few := s.choices()
	if len(s.path) == 2 {
		few = s.pairs()
	}
	h := s.heap
	h.rows, h.tallies = slices.Grow(h.rows, few*len(s.path)), slices.Grow(h.tallies, few)
}

// vector is a choice that was collected.
func (s *search) vector(at int) vector {
	n := len(s.part.places)
	v := vector{s.heap.rows[at*n : (at+1)*n], s.sums, plus(&s.start, &s.heap.tallies[at])}
	for b := range v.sums {
		v.sums[b] = 0
		for m, r := range v.rows {
			v.sums[b] += s.part.bounds[b].k[m] * (r.t - s.p.places[s.part.places[m]].old)
		}
	}
	return v
}

// rings looks into one ring after another.
func (s *search) rings() {
	h := s.collected()
	s.heap, s.looked = h, 0
	s.flush()
	defer s.remember()
	for !h.whole && s.p.left > 0 && !s.beyond(h.reach) {
		next := s.widen()
		if !s.pool.first {
			s.room()
		}
		s.walk(0)
		h.reach, h.whole = next, next == math.MaxInt64
		s.flush()
	}
}

// remember keeps what was collected for the searches that follow, if it is all there.
func (s *search) remember() {
	if s.pool.first {
		return
	}
	s.part.vectors[s.p.shelf] = s.heap
	if s.batch > 0 || s.p.left <= 0 {
		delete(s.part.vectors, s.p.shelf)
	}
}

// beyond reports whether nothing that lies farther out than that can enter the pool: some deviation is greater, and
// neither new pieces nor pieces are fewer than the tables have them.
func (s *search) beyond(reach int64) bool {
	if reach < 0 {
		return false
	}
	t := s.start
	t.d += reach + 1
	for _, table := range s.tables {
		t.fresh, t.pieces = t.fresh+table.fresh, t.pieces+table.pieces
	}
	return s.pool.hopeless(s.rk.rank(&t))
}

// widen narrows the bounds of the walk to the next ring and says how far it reaches.
func (s *search) widen() int64 {
	reach, span := s.heap.reach, int64(0)
	for b, j := range s.part.gauges {
		from, to := s.span(b)
		span = max(span, s.p.gauges[j].deviation(from), s.p.gauges[j].deviation(to))
	}
	next := max(1, span/firstRing)
	if reach >= 0 {
		next = reach * nextRing
	}
	if s.rk.goal == Closest && !s.rk.aim && !s.rk.flat {
		next = max(next, s.rk.best+s.rk.g)
	}
	if next >= span || s.visit != nil || s.choices() < fewChoices {
		next = math.MaxInt64
	}
	s.inner = reach
	s.window = s.window[:0]
	for b := range s.part.bounds {
		bd := &s.part.bounds[b]
		w := ends{bd.from, bd.to}
		if next < math.MaxInt64 && b < len(s.part.gauges) {
			g := s.p.gauges[s.part.gauges[b]]
			w.low, w.high = max(w.low, g.aim-g.value-next), min(w.high, g.aim-g.value+next)
		}
		s.window = append(s.window, w)
	}
	return next
}

// span is the least and the greatest sum of a bound that the tables and the bound allow.
func (s *search) span(b int) (from, to int64) {
	bd, all := &s.part.bounds[b], s.rest[b][0]
	return max(bd.from, all.low), min(bd.to, all.high)
}

// had reports whether a choice of totals lies within an inner ring.
func (s *search) had(sums []int64) bool {
	for b, j := range s.part.gauges {
		if s.p.gauges[j].deviation(sums[b]) > s.inner {
			return false
		}
	}
	return s.inner >= 0
}
