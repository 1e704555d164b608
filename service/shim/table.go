package shim

import (
	"cmp"
	"math"
	"slices"
)

// table is what a place can be filled with, sorted by total: rows of one total each.
type table struct {
	rows   []row
	totals []int64 // of the rows
	from   []source
	// bounds over all rows
	low, high     int64
	fresh, pieces int
}

// row is one total of thickness. Its cells are listed when they are needed.
type row struct {
	t             int64
	fresh, pieces int     // least of the cells
	v             []int64 // least of the cells, per gauge
	of            *table
	cells         []cell
}

// cell is a total made of so many pieces, so many of them new. Its fills are worked out when they are needed.
type cell struct {
	t             int64
	fresh, pieces int
	v             []int64 // least of the fills, per gauge
	groups        []group
	open          bool
	stay          bool // the whole place stays as it is, worn pieces and all
}

// group is the fills of a cell that predict the same: equal variance and equal printed total.
type group struct {
	v     []int64
	total int64
	fills []fill
}

// fill is pieces for one place: indices of its uses, thickest first. stay marks the place that stays with worn pieces.
type fill struct {
	uses []int
	stay bool
}

// build lists the rows of a place whose totals lie within low and high.
func (p *problem) build(i int, low, high int64) *table {
	t := &table{}
	p.join(t, p.sourcesOf(p.places[i]), low, high)
	return t
}

// sourcesOf lists the totals that a place can have; they are worked out once. Off the shelf it has those that take no new
// piece.
func (p *problem) sourcesOf(pl *place) []source {
	if pl.from == nil {
		pl.from = p.allSources(pl)
	}
	if !p.shelf {
		return pl.from
	}
	var held []source
	for _, s := range pl.from {
		if s.cell.fresh == 0 {
			held = append(held, s)
		}
	}
	return held
}

func (p *problem) allSources(pl *place) []source {
	stock, ladder := pl.supplies(p)
	most := pl.maxPieces()
	step, highest := span(stock, ladder, most)
	from := []source{}
	if highest > 0 || pl.minPieces() == 0 {
		from = p.sources(pl, step, highest, packs(step, highest, stock, most, p.spend), p.bought(pl.set, step, highest, ladder, most))
	}
	if n := len(pl.bodies); pl.worn && n >= pl.minPieces() && n <= pl.maxPieces() {
		own := newSums(1, 0)
		own.wide, own.list = true, []int64{pl.old}
		from = append(from, source{own, cell{pieces: n, stay: true}, p.keeps(pl)})
	}
	p.leastAdded(pl, from)
	return from
}

// keeps is what a place adds to the variances when all its pieces stay.
func (p *problem) keeps(pl *place) []int64 {
	v := make([]int64, len(p.gauges))
	for _, b := range pl.bodies {
		for j := range v {
			v[j] -= square(pl.rate[j] * b.standard)
		}
	}
	return v
}

// bought is the packs of a ladder, which places of one set share.
func (p *problem) bought(set int, step, highest int64, ladder []supply, most int) []*sums {
	key := [4]int64{int64(set), step, highest, int64(most)}
	if b := p.packs[key]; b != nil {
		return b
	}
	b := freePacks(step, highest, ladder, most, p.spend)
	p.packs[key] = b
	return b
}

// source is totals that are made of so many pieces.
type source struct {
	of   *sums
	cell cell
	v    []int64 // least that such a cell adds to the variance of each gauge
}

// sources lists the totals of every number of pieces that are held and bought together, fewest new pieces first.
func (p *problem) sources(pl *place, step, highest int64, held, bought []*sums) []source {
	var out []source
	for fresh := range bought {
		for old := 0; old+fresh < len(held); old++ {
			if old+fresh < pl.minPieces() || held[old].empty() || bought[fresh].empty() {
				continue
			}
			both := bought[fresh]
			if old > 0 && fresh > 0 {
				both = newSums(step, highest)
				held[old].each(0, highest, func(v int64) bool { return p.spend(both.join(bought[fresh], v)) })
			} else if old > 0 {
				both = held[old]
			}
			out = append(out, source{of: both, cell: cell{fresh: fresh, pieces: old + fresh}})
		}
	}
	return out
}

// cellWork is the nodes that one cell counts for, so that their number is bounded with the work.
const cellWork = 16

// join makes rows of all totals within low and high, and finds the bounds over them.
func (p *problem) join(t *table, from []source, low, high int64) {
	if len(from) == 0 || p.left <= 0 {
		return
	}
	all := union(from, low, high)
	t.from, t.rows = from, make([]row, 0, len(all))
	step := from[0].of.step
	for _, v := range all {
		r := row{t: v, fresh: math.MaxInt, pieces: math.MaxInt, of: t}
		reached, at := 0, v/step
		for i := range from {
			f := &from[i]
			if s := f.of; !s.wide && s.step == step && at*step == v && s.at(at) || (s.wide || s.step != step) && s.has(v) {
				reached++
				r.fresh, r.pieces = min(r.fresh, f.cell.fresh), min(r.pieces, f.cell.pieces)
				r.v = lower(r.v, f.v)
			}
		}
		if !p.spend(cellWork * reached) {
			break
		}
		t.rows = append(t.rows, r)
	}
	t.totals = all[:len(t.rows)]
	t.edges()
}

// edges finds the bounds over the rows.
func (t *table) edges() {
	if len(t.rows) == 0 {
		return
	}
	t.low, t.high, t.fresh, t.pieces = t.rows[0].t, t.rows[len(t.rows)-1].t, t.rows[0].fresh, t.rows[0].pieces
	for i := range t.rows {
		t.fresh, t.pieces = min(t.fresh, t.rows[i].fresh), min(t.pieces, t.rows[i].pieces)
	}
}

// list is the packs that reach the total, fewest new pieces first.
func (r *row) list() []cell {
	if r.cells == nil {
		for i := range r.of.from {
			if f := &r.of.from[i]; f.of.has(r.t) {
				c := f.cell
				c.t, c.v = r.t, f.v
				r.cells = append(r.cells, c)
			}
		}
	}
	return r.cells
}

// union lists the totals of all sources within low and high, in order.
func union(from []source, low, high int64) (all []int64) {
	put := func(v int64) bool {
		all = append(all, v)
		return true
	}
	dense := &sums{step: from[0].of.step, bits: slices.Clone(from[0].of.bits)}
	for _, f := range from {
		if f.of.wide || f.of.step != dense.step || len(f.of.bits) != len(dense.bits) {
			dense = nil
			break
		}
		for i, w := range f.of.bits {
			dense.bits[i] |= w
		}
	}
	if dense != nil {
		all = make([]int64, 0, dense.count())
		dense.each(low, high, put)
		return all
	}
	for _, f := range from {
		f.of.each(low, high, put)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// lower is the lesser of each field; it keeps a where that is lower everywhere.
func lower(a, b []int64) []int64 {
	if a == nil {
		return b
	}
	for j := range a {
		if b[j] < a[j] {
			a = slices.Clone(a)
			for i := range a {
				a[i] = min(a[i], b[i])
			}
			break
		}
	}
	return a
}

// supplies is what the place can use, by thickness: pieces that exist, and what can be bought.
func (pl *place) supplies(p *problem) (stock, ladder []supply) {
	add := func(list []supply, m int64, most int) []supply {
		for i := range list {
			if list[i].m == m {
				if most == 0 || list[i].cap == 0 {
					list[i].cap = 0
				} else {
					list[i].cap += most
				}
				return list
			}
		}
		return append(list, supply{m, most})
	}
	for _, u := range pl.uses {
		if u.fresh {
			ladder = add(ladder, u.m, 0)
		} else {
			stock = add(stock, u.m, p.kinds[u.kind].cap)
		}
	}
	return stock, ladder
}

// span is the common step of all thicknesses and the highest total.
func span(stock, ladder []supply, most int) (step, highest int64) {
	for _, list := range [][]supply{stock, ladder} {
		for _, s := range list {
			a, b := step, s.m
			for b != 0 {
				a, b = b, a%b
			}
			step, highest = a, max(highest, s.m)
		}
	}
	return max(step, 1), highest * int64(most)
}

// groups works out the fills of a cell, grouped by what they predict.
func (p *problem) groups(i int, c *cell) []group {
	if c.open {
		return c.groups
	}
	c.open = true
	pl := p.places[i]
	if c.stay {
		g := group{v: p.keeps(pl), fills: []fill{{stay: true}}}
		for _, b := range pl.bodies {
			g.total += b.p
		}
		c.groups = []group{g}
		return c.groups
	}
	f := filler{p: p, pl: pl, c: c, v: make([]int64, len(p.gauges))}
	f.all()
	for _, g := range c.groups {
		if len(g.fills) == 1 {
			continue
		}
		slices.SortFunc(g.fills, func(a, b fill) int {
			if c := pl.compareSizes(a, b); c != 0 {
				return c
			}
			return cmp.Or(p.compareOrigins(i, a, b), p.compareSKUs(i, a, b), p.compareKept(i, a, b))
		})
	}
	return c.groups
}
