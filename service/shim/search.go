package shim

import "math"

// search looks through one part, best bound first, for the options that enter a pool.
type search struct {
	p      *problem
	part   *part
	rk     ranker
	keep   filter
	pool   *pool
	start  tally // what lies outside the part
	whole  bool  // the part is the whole problem: what equals the fitted pieces is no change
	visit  func(*tally)
	tables []*table
	used   []int // of each kind
	rest   [][]ends
	path   []*row
	sum    [][]int64 // per depth, per bound
	sums   []int64   // of the choice that is looked into
	heap   *vectors
	looked int    // so many of its choices were looked into
	inner  int64  // the reach of what is collected already
	window []ends // of each bound, in the ring under way
	batch  int    // how many batches went before
	one    candidate
	picked []*cell
	chosen []*group
}

// filter admits some options only.
type filter struct {
	sure                  bool
	least                 int64
	noPlaceOut, noPastAim bool
}

func (f *filter) admits(t *tally) bool {
	return !(f.sure && t.unsure || t.p < f.least || f.noPlaceOut && t.placeOut || f.noPastAim && t.pastAim)
}

type ends struct{ low, high int64 }

// run searches the part to its end or until the nodes are used up.
func (s *search) run() {
	p := s.p
	s.tables = p.table(s.part)
	s.used = make([]int, len(p.kinds))
	n := len(s.part.places)
	s.path = make([]*row, n)
	s.rest = make([][]ends, len(s.part.bounds))
	for b := range s.part.bounds {
		s.rest[b] = make([]ends, n+1)
		for i := n - 1; i >= 0; i-- {
			t := s.tables[i]
			if len(t.rows) == 0 {
				return
			}
			low, high := s.part.bounds[b].reach(i, [2]int64{t.low, t.high}, p.places[s.part.places[i]].old)
			s.rest[b][i] = ends{s.rest[b][i+1].low + low, s.rest[b][i+1].high + high}
		}
	}
	s.sum, s.picked, s.chosen = make([][]int64, n+1), make([]*cell, 0, n), make([]*group, 0, n)
	for i := range s.sum {
		s.sum[i] = make([]int64, len(s.part.bounds))
	}
	s.sums = make([]int64, len(s.part.bounds))
	s.rings()
}

// walk chooses the totals of the places from depth on.
func (s *search) walk(depth int) {
	if depth == len(s.path) {
		s.collect()
		return
	}
	rows := s.within(depth)
	for i := len(rows) - 1; i >= 0; i-- { // thicker ones first, as equals rank
		if !s.p.spend(1) {
			return
		}
		s.choose(depth, &rows[i])
		s.walk(depth + 1)
	}
}

// within is the rows of a place from which, after those that are chosen, the windows can still be met.
func (s *search) within(depth int) []row {
	t := s.tables[depth]
	old := s.p.places[s.part.places[depth]].old
	w := [2]int64{t.low, t.high}
	for b := range s.part.bounds {
		in, rest := &s.window[b], &s.rest[b][depth+1]
		s.part.bounds[b].cut(depth, in.low-s.sum[depth][b]-rest.high, in.high-s.sum[depth][b]-rest.low, old, &w)
	}
	from, to := t.rowsIn(w)
	return t.rows[from:to]
}

// choose puts a row on the path.
func (s *search) choose(depth int, r *row) {
	s.path[depth] = r
	added := r.t - s.p.places[s.part.places[depth]].old
	for b := range s.part.bounds {
		s.sum[depth+1][b] = s.sum[depth][b] + s.part.bounds[b].k[depth]*added
	}
}

// pairs is how many choices of two totals there are at most in the ring under way.
func (s *search) pairs() (n int) {
	rows := s.within(0)
	for i := range rows {
		s.choose(0, &rows[i])
		n += len(s.within(1))
	}
	return min(n, batch)
}

// collect keeps the totals of the path for later, unless they cannot lead into the pool.
func (s *search) collect() {
	sums := s.sum[len(s.path)]
	for b, in := range s.window {
		if sums[b] < in.low || sums[b] > in.high {
			return
		}
	}
	if s.had(sums) {
		return
	}
	t := tally{p: certain}
	s.add(&t, sums, s.path)
	for _, r := range s.path {
		t.fresh += r.fresh
		t.pieces += r.pieces
	}
	if s.pool.first {
		s.try(&t)
		return
	}
	s.push(s.path, &t)
	if len(s.heap.tallies) >= batch {
		s.flush()
		s.batch++
		h := s.heap
		h.rows, h.tallies, s.looked = h.rows[:0], h.tallies[:0], 0
	}
}

// try looks into the totals of the path at once: where one option is looked for, most of them are hopeless by then.
func (s *search) try(t *tally) {
	v := vector{s.path, s.sum[len(s.path)], plus(&s.start, t)}
	if s.keep.admits(&v.t) {
		s.cells(&v, 0, v.t, s.picked[:0])
	}
}

// push keeps a choice of totals.
func (s *search) push(path []*row, t *tally) {
	h := s.heap
	h.rows, h.tallies = append(h.rows, path...), append(h.tallies, *t)
}

// add adds what follows from the sums alone: deviations, offsets, and the best that can be hoped for of the demand.
func (s *search) add(t *tally, sums []int64, rows []*row) {
	p := s.p
	for b, j := range s.part.gauges {
		g := p.gauges[j]
		t.d += g.deviation(sums[b])
		t.placeOut = t.placeOut || g.placeOut(sums[b])
		t.pastAim = t.pastAim || g.pastAim(sums[b])
		v := s.part.base[j]
		for _, r := range rows {
			v += r.v[j]
		}
		met, chance := g.couldMeet(sums[b], v, &p.demand, &p.grid)
		t.unsure = t.unsure || !met
		t.p = min(t.p, chance)
	}
	for n, si := range s.part.sets {
		off := p.sets[si].now2 + sums[len(s.part.gauges)+n]
		t.off2 += max(off, -off)
	}
}

// cells chooses of how many pieces, and how many new ones, each total is made.
func (s *search) cells(v *vector, depth int, t tally, picked []*cell) {
	if s.pool.hopeless(s.rk.rank(&t)) || !s.p.spend(1) {
		return
	}
	if depth == len(v.rows) {
		s.sharpen(&t, v, picked)
		if r := s.rk.rank(&t); s.keep.admits(&t) && !s.pool.hopeless(r) && !s.thinner(r, v, picked) {
			s.groups(v, t, picked, s.chosen[:0])
		}
		return
	}
	r := v.rows[depth]
	list := r.list()
	for i := range list {
		c := &list[i]
		next := t
		next.fresh += c.fresh - r.fresh
		next.pieces += c.pieces - r.pieces
		s.cells(v, depth+1, next, append(picked, c))
	}
}

// sharpen hopes for no more of the demand than the cells allow.
func (s *search) sharpen(t *tally, v *vector, cells []*cell) {
	t.unsure, t.p = s.start.unsure, s.start.p
	for b, j := range s.part.gauges {
		least := s.part.base[j]
		for _, c := range cells {
			least += c.v[j]
		}
		met, chance := s.p.gauges[j].couldMeet(v.sums[b], least, &s.p.demand, &s.p.grid)
		t.unsure = t.unsure || !met
		t.p = min(t.p, chance)
	}
}

// groups chooses fills that predict the same, which settles the rank.
func (s *search) groups(v *vector, t tally, cells []*cell, picked []*group) {
	depth := len(picked)
	if depth == len(cells) {
		s.settle(v, t, picked)
		return
	}
	list := s.p.groups(s.part.places[depth], cells[depth])
	for i := range list {
		if !s.p.spend(1) {
			return
		}
		s.groups(v, t, cells, append(picked, &list[i]))
	}
}

func (s *search) settle(v *vector, t tally, picked []*group) {
	p := s.p
	t.unsure, t.p = s.start.unsure, s.start.p
	s.one.v = 0
	for b, j := range s.part.gauges {
		variance := s.part.base[j]
		for _, g := range picked {
			variance += g.v[j]
		}
		s.one.v += variance
		met, chance := p.gauges[j].meets(v.sums[b], variance, &p.demand, &p.grid)
		t.unsure = t.unsure || !met
		t.p = min(t.p, chance)
	}
	if !s.keep.admits(&t) {
		return
	}
	if s.visit != nil {
		s.visit(&t)
		return
	}
	for _, g := range picked {
		t.total += g.total
	}
	s.one.tally, s.one.rank = t, s.rk.rank(&t)
	if s.pool.hopeless(s.one.rank) {
		return
	}
	s.one.fills = s.one.fills[:0]
	s.fill(picked, 0)
}

// fill chooses the pieces themselves, larger ones first. It answers false where the best of them cannot enter the pool,
// so that those that follow cannot either.
func (s *search) fill(picked []*group, depth int) bool {
	p := s.p
	if depth == len(picked) {
		if s.whole && p.equalsFitted(s.one.fills) {
			return true
		}
		return s.pool.offer(&s.one)
	}
	i, skipped := s.part.places[depth], false
	for _, f := range picked[depth].fills {
		if !p.spend(1) {
			return true
		}
		if !p.draw(s.used, i, f, 1) {
			skipped = true
			continue
		}
		s.one.fills = append(s.one.fills, placed{i, f})
		entered := s.fill(picked, depth+1)
		s.one.fills = s.one.fills[:len(s.one.fills)-1]
		p.draw(s.used, i, f, -1)
		if !entered {
			return skipped
		}
	}
	return true
}

// equalsFitted reports whether an option is what is fitted now, and replaces no worn piece.
func (p *problem) equalsFitted(fills []placed) bool {
	for _, f := range fills {
		pl := p.places[f.at]
		if pl.worn && !f.fill.stay || p.comparePrinted(f.at, f.fill, fill{stay: true}) != 0 {
			return false
		}
	}
	return true
}

// spend counts work; it answers false once the nodes are used up or the request was given up.
func (p *problem) spend(n int) bool {
	if p.left <= 0 {
		return false
	}
	if p.left/4096 != (p.left-n)/4096 && p.ctx.Err() != nil {
		p.left = math.MinInt
		return false
	}
	p.left -= n
	return p.left > 0
}
