package shim

import (
	"cmp"
	"math"
	"slices"
)

// engine puts the options of several parts together. Parts share pieces and nothing else, so that every field of the
// order but the classes adds up over the parts. It goes through the tiers of the order one after another: sure or, from
// the most probable down, unsure; then with no place out, then with nothing past the aim.
type engine struct {
	*solver
	rk    ranker
	pool  *pool
	lists [][]*candidate
	cut   []bool // the list of a part holds its best only
	short []bool // a search came to the end of such a list
	least []leastOf
	lexi  []rank // best ranks of the parts from here on, added up
	used  []int
	picks []*candidate
	tier  tier
	fills []placed

	several []*part  // parts that are put together one by one
	buckets *buckets // the others; nil: none
	prices  *prices
}

// tier is what the options looked for have in common.
type tier struct {
	keep             filter
	unsure           bool
	p                int64
	placeOut, aimOut bool
}

// leastOf is a lower bound of each field over the parts from one on.
type leastOf struct {
	d, off2       int64
	fresh, pieces int
	total         int64 // upper bound
	p             int64 // upper bound of the least probability
	placeOut, aim bool  // some option has it
	unsure        bool
}

// firstList is how many options of a part are worked out at first, and lastList how many at most.
const (
	firstList = 48
	lastList  = 3072
)

func (e *engine) run() {
	e.several = e.parts
	e.sortOut()
	if !e.through(four(tier{p: certain, keep: filter{sure: true, least: math.MinInt64}})) {
		return
	}
	levels := e.levels()
	if e.buckets != nil {
		levels = e.buckets.possible(levels)
	}
	for _, p := range levels {
		if !e.through(four(tier{unsure: true, p: p, keep: filter{least: p}})) {
			return
		}
	}
}

// through looks through tiers until none that follows can bring anything into the pool.
func (e *engine) through(tiers []tier) (more bool) {
	for _, t := range tiers {
		if e.pool.full() && !e.tierCanEnter(t) {
			return false
		}
		e.level(t)
	}
	return true
}

// tierCanEnter reports whether an option of the tier could be better than the last of a full pool.
func (e *engine) tierCanEnter(t tier) bool {
	least := tally{unsure: t.unsure, p: t.p, placeOut: t.placeOut, pastAim: t.aimOut}
	if e.rk.aim {
		least.d = e.base.d
	}
	return !e.pool.hopeless(e.rk.rank(&least))
}

// four are the tiers of one demand, in the order of the ranking.
func four(t tier) []tier {
	var out []tier
	for _, placeOut := range []bool{false, true} {
		for _, aimOut := range []bool{false, true} {
			n := t
			n.placeOut, n.aimOut = placeOut, aimOut
			n.keep.noPlaceOut, n.keep.noPastAim = !placeOut, !aimOut
			out = append(out, n)
		}
	}
	return out
}

// levels are the probabilities that an option of any part can have, from the highest down.
func (e *engine) levels() []int64 {
	seen := map[int64]bool{}
	if e.base.unsure {
		seen[e.base.p] = true
	}
	for _, pt := range e.parts {
		for _, p := range e.p.chances(pt) {
			seen[p] = true
		}
	}
	var out []int64
	for p := range seen {
		out = append(out, p)
	}
	slices.SortFunc(out, func(a, b int64) int { return cmp.Compare(b, a) })
	return out
}

// level looks through one tier; lists that turn out too short are made longer.
func (e *engine) level(t tier) {
	if t.keep.sure && e.base.unsure || !t.placeOut && e.base.placeOut || !t.aimOut && e.base.pastAim || t.unsure && e.base.p < t.p {
		return
	}
	e.tier = t
	if e.buckets != nil && !e.buckets.enter(t) {
		return
	}
	for size := firstList; ; size *= 8 {
		if !e.list(size) {
			return
		}
		e.short = make([]bool, len(e.several))
		e.used = make([]int, len(e.p.kinds))
		e.picks = e.picks[:0]
		e.prices = e.price()
		e.walk(0, e.base, 0)
		if !slices.Contains(e.short, true) || e.p.left <= 0 {
			return
		}
		if size >= lastList {
			e.p.left = 0 // the bound of the lists is a bound of the work
			return
		}
	}
}

// list works out the best options of every part for the tier; it answers false where a part has none.
func (e *engine) list(size int) bool {
	e.lists, e.cut = make([][]*candidate, len(e.several)), make([]bool, len(e.several))
	for i, pt := range e.several {
		q := &pool{p: e.p, size: size, apart: true}
		one := search{p: e.p, part: pt, rk: ranker{goal: e.rk.goal, flat: true}, pool: q, start: tally{p: certain}, keep: e.tier.keep}
		one.run()
		if len(q.items) == 0 {
			return false
		}
		e.lists[i], e.cut[i] = q.items, len(q.items) == size
	}
	e.bounds()
	return true
}

// bounds adds up the least that the parts from each one on can come to.
func (e *engine) bounds() {
	n := len(e.several)
	e.least, e.lexi = make([]leastOf, n+1), make([]rank, n+1)
	e.least[n].p = math.MaxInt64
	if e.buckets != nil {
		e.least[n], e.lexi[n] = e.buckets.least, e.buckets.lexi
	}
	for i := n - 1; i >= 0; i-- {
		first := e.lists[i][0].tally
		l := leastOf{d: first.d, off2: first.off2, fresh: first.fresh, pieces: first.pieces, total: first.total}
		for _, c := range e.lists[i] {
			t := &c.tally
			l.d, l.off2, l.fresh, l.pieces = min(l.d, t.d), min(l.off2, t.off2), min(l.fresh, t.fresh), min(l.pieces, t.pieces)
			l.total, l.p = max(l.total, t.total), max(l.p, t.p)
			l.placeOut, l.aim, l.unsure = l.placeOut || t.placeOut, l.aim || t.pastAim, l.unsure || t.unsure
		}
		if e.cut[i] { // what is not listed may be better in every field but the first
			l.off2, l.pieces, l.total, l.p = 0, 0, math.MaxInt64/64, math.MaxInt64
			l.placeOut, l.aim, l.unsure = true, true, true
			if e.rk.goal == Closest {
				l.fresh = 0
			} else {
				l.d = 0
			}
		}
		m := e.least[i+1]
		e.least[i] = leastOf{l.d + m.d, l.off2 + m.off2, l.fresh + m.fresh, l.pieces + m.pieces, l.total + m.total, min(l.p, m.p),
			l.placeOut || m.placeOut, l.aim || m.aim, l.unsure || m.unsure}
		e.lexi[i] = addLexi(e.lexi[i+1], &first)
	}
}

// addLexi adds the fields of fewest_new, which add up and compare as one row of numbers.
func addLexi(r rank, t *tally) rank {
	r[1] += int64(t.fresh)
	r[2] += t.d
	r[3] += t.off2
	r[4] += int64(t.pieces)
	return r
}

// walk chooses options of the parts from i on.
func (e *engine) walk(i int, t tally, cost int64) {
	if i == len(e.several) {
		if e.buckets != nil {
			e.buckets.settle(t)
		} else {
			e.settle(t)
		}
		return
	}
	if !e.reachable(i, &t) {
		return
	}
	asked := int64(-1) // the deviation after which it was asked last whether anything may follow
	for n, c := range e.lists[i] {
		if !e.p.spend(1) {
			return
		}
		next := plus(&t, &c.tally)
		sum := cost
		if e.prices != nil {
			sum += e.prices.own[i][n]
		}
		if e.dear(i+1, sum) {
			continue
		}
		bound := e.bound(i+1, &next)
		if e.pool.full() && bound == e.pool.worst().rank && next.total+e.least[i+1].total < e.pool.worst().tally.total {
			continue // ties at best, and is thinner
		}
		if e.pool.hopeless(bound) {
			if c.tally.d != asked && e.noneAfter(i, &t, c) {
				return
			}
			asked = c.tally.d
			continue
		}
		if e.draw(c, 1) {
			e.picks = append(e.picks, c)
			e.walk(i+1, next, sum)
			e.picks = e.picks[:len(e.picks)-1]
			e.draw(c, -1)
		}
	}
	e.short[i] = e.short[i] || e.cut[i]
}

// reachable reports whether the rest can still make the options what the tier says they are.
func (e *engine) reachable(i int, t *tally) bool {
	l := e.least[i]
	return (!e.tier.placeOut || t.placeOut || l.placeOut) && (!e.tier.aimOut || t.pastAim || l.aim) &&
		(!e.tier.unsure || t.unsure || l.unsure)
}

// bound is a lower bound of the rank of t with any options of the parts from i on that can enter the pool.
func (e *engine) bound(i int, t *tally) rank {
	l := &e.least[i]
	b := *t
	b.unsure, b.p, b.placeOut, b.pastAim = e.tier.unsure, e.tier.p, e.tier.placeOut, e.tier.aimOut
	if e.rk.aim || e.rk.goal == Closest {
		b.d, b.off2, b.fresh, b.pieces = b.d+l.d, b.off2+l.off2, b.fresh+l.fresh+e.dearer(&b, l), b.pieces+l.pieces
		return e.rk.rank(&b)
	}
	r := e.rk.rank(&b)
	for f := 1; f < 5; f++ {
		r[f] += e.lexi[i][f]
	}
	return r
}

// noneAfter reports whether no later option of part i can enter either, given that c cannot.
func (e *engine) noneAfter(i int, t *tally, c *candidate) bool {
	if e.rk.goal != Closest && !e.rk.aim {
		return true
	}
	b := *t
	b.d += c.tally.d
	b.off2 += e.least[i].off2 - e.least[i+1].off2
	b.fresh += e.least[i].fresh - e.least[i+1].fresh
	b.pieces += e.least[i].pieces - e.least[i+1].pieces
	return e.pool.hopeless(e.bound(i+1, &b))
}

func plus(a, b *tally) tally {
	return tally{p: min(a.p, b.p), d: a.d + b.d, off2: a.off2 + b.off2, total: a.total + b.total, fresh: a.fresh + b.fresh,
		pieces: a.pieces + b.pieces, unsure: a.unsure || b.unsure, placeOut: a.placeOut || b.placeOut, pastAim: a.pastAim || b.pastAim}
}

func (e *engine) draw(c *candidate, sign int) bool {
	for n, f := range c.fills {
		if !e.p.draw(e.used, f.at, f.fill, sign) {
			for _, g := range c.fills[:n] {
				e.p.draw(e.used, g.at, g.fill, -sign)
			}
			return false
		}
	}
	return true
}

// settle offers what was chosen, if it belongs to the tier; it answers false where it cannot enter the pool.
func (e *engine) settle(t tally) bool {
	if t.unsure != e.tier.unsure || t.unsure && t.p != e.tier.p || t.placeOut != e.tier.placeOut || t.pastAim != e.tier.aimOut {
		return true
	}
	c := candidate{tally: t, rank: e.rk.rank(&t), fills: e.fills[:0]}
	for _, pick := range e.picks {
		c.fills = append(c.fills, pick.fills...)
		c.v += pick.v
	}
	slices.SortFunc(c.fills, func(a, b placed) int { return cmp.Compare(a.at, b.at) })
	e.fills = c.fills
	return e.p.equalsFitted(c.fills) || e.pool.offer(&c)
}

// chances lists the probabilities that the options of a part can have.
func (p *problem) chances(pt *part) []int64 {
	seen := map[int64]bool{}
	w := &search{p: p, part: pt, pool: &pool{p: p, size: 1}, start: tally{p: certain}, keep: filter{least: math.MinInt64}}
	w.visit = func(t *tally) { seen[t.p] = true }
	w.run()
	var out []int64
	for c := range seen {
		out = append(out, c)
	}
	return out
}
