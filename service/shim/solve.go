package shim

import (
	"math"
	"slices"
)

// solver ranks the options of a whole problem.
type solver struct {
	p     *problem
	parts []*part
	base  tally      // of specs and offsets that no free place changes
	off   bool       // one of those is outside: nothing exists
	kept  *candidate // no change, where it is allowed
	best  int64      // d_best
}

func (p *problem) newSolver() *solver {
	s := &solver{p: p, parts: p.split(), base: tally{p: certain}}
	p.alone = len(s.parts) == 1
	loose := make([]bool, len(p.gauges))
	looseSet := make([]bool, len(p.sets))
	for _, pt := range s.parts {
		for _, j := range pt.gauges {
			loose[j] = true
		}
		for _, si := range pt.sets {
			looseSet[si] = true
		}
	}
	for j, g := range p.gauges {
		if !loose[j] {
			s.off = s.off || !g.inside(0)
			p.now(&s.base, g)
		}
	}
	for si, st := range p.sets {
		if st.has && !looseSet[si] {
			now := max(st.now2, -st.now2)
			s.off = s.off || st.limit2 >= 0 && now > st.limit2
			s.base.off2 += now
		}
	}
	if kept, broken := p.noChange(); len(broken) == 0 {
		s.kept = kept
	}
	return s
}

// now adds a spec as it is to a tally.
func (p *problem) now(t *tally, g *gauge) {
	met, chance := g.meets(0, 0, &p.demand, &p.grid)
	t.unsure = t.unsure || !met
	t.p = min(t.p, chance)
	t.d += g.deviation(0)
	t.placeOut = t.placeOut || g.placeOut(0)
	t.pastAim = t.pastAim || g.pastAim(0)
}

// noChange is the option to leave everything, and the limits that it breaks.
func (p *problem) noChange() (c *candidate, broken []string) {
	c = &candidate{tally: tally{p: certain, kept: true}}
	for _, g := range p.gauges {
		p.now(&c.tally, g)
		if !g.inside(0) {
			broken = append(broken, outside(g, 0))
		}
	}
	for _, s := range p.sets {
		if s.has {
			now := max(s.now2, -s.now2)
			c.tally.off2 += now
			if s.limit2 >= 0 && now > s.limit2 {
				broken = append(broken, "offset_limit")
			}
		}
	}
	for i, pl := range p.places {
		if !pl.free() {
			continue
		}
		if n := len(pl.bodies); n < pl.minPieces() || n > pl.maxPieces() {
			broken = append(broken, "piece_limits")
		}
		c.tally.pieces += len(pl.bodies)
		for _, b := range pl.bodies {
			c.tally.total += b.p
		}
		c.fills = append(c.fills, placed{i, fill{stay: true}})
	}
	slices.Sort(broken)
	return c, slices.Compact(broken)
}

// outside says on which side a spec is out after a shift.
func outside(g *gauge, shift int64) string {
	if from, _ := g.window(); shift < from {
		return "below"
	}
	return "above"
}

func (s *solver) ranker() ranker {
	return ranker{goal: s.p.goal, g: s.p.g, q2: s.p.q2, best: s.best}
}

// aim settles d_best, where the classes of the objective need it.
func (s *solver) aim() {
	if s.p.goal != Closest || s.p.g == 0 {
		return
	}
	found := s.options(ranker{aim: true, goal: s.p.goal, q2: s.p.q2}, 1)
	if len(found) > 0 {
		s.best = found[0].tally.d
	}
}

// rank lists the best options in order; no change stands among them as an option that is kept. shelf buys nothing.
func (s *solver) rank(size int, shelf bool) []*candidate {
	s.p.shelf = shelf
	defer func() { s.p.shelf = false }()
	return s.options(s.ranker(), size)
}

func (s *solver) options(rk ranker, size int) []*candidate {
	q := &pool{p: s.p, size: size, first: rk.aim}
	if s.kept != nil {
		c := *s.kept
		c.rank = rk.rank(&c.tally)
		q.offer(&c)
	}
	if s.off || len(s.parts) == 0 {
		return q.items
	}
	if len(s.parts) == 1 {
		one := search{p: s.p, part: s.parts[0], rk: rk, pool: q, start: s.base, whole: true, keep: filter{least: math.MinInt64}}
		one.run()
		return q.items
	}
	e := engine{solver: s, rk: rk, pool: q}
	e.run()
	return q.items
}
