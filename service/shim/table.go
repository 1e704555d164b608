package shim

import (
	"cmp"
	"slices"
)

// table is what a place can be filled with, sorted by total: rows of one total each.
type table struct {
	rows []row
	// bounds over all rows
	low, high     int64
	fresh, pieces int
}

// row is one total of thickness with the packs that reach it, fewest new pieces first.
type row struct {
	t             int64
	fresh, pieces int // least of the cells
	cells         []cell
}

// cell is a total made of so many pieces, so many of them new. Its fills are worked out when they are needed.
type cell struct {
	t             int64
	fresh, pieces int
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
	pl := p.places[i]
	t := &table{}
	stock, ladder := pl.supplies(p)
	most := pl.maxPieces()
	step, highest := span(stock, ladder, most)
	if highest > 0 || pl.minPieces() == 0 {
		held := packs(step, highest, stock, most, p.spend)
		bought := packs(step, highest, ladder, most, p.spend)
		for old := 0; old <= most; old++ {
			for fresh := 0; old+fresh <= most; fresh++ {
				if old+fresh < pl.minPieces() {
					continue
				}
				p.cross(t, held[old], bought[fresh], cell{fresh: fresh, pieces: old + fresh}, low, high, highest)
			}
		}
	}
	if n := len(pl.bodies); pl.worn && n >= pl.minPieces() && n <= pl.maxPieces() && low <= pl.old && pl.old <= high {
		t.add(cell{t: pl.old, pieces: n, stay: true})
	}
	t.sort()
	return t
}

// cross adds the totals of held and bought pieces together.
func (p *problem) cross(t *table, held, bought *sums, c cell, low, high, highest int64) {
	both := bought
	if c.pieces > c.fresh {
		both = newSums(bought.step, highest)
		held.each(0, highest, func(v int64) { p.spend(both.join(bought, v)) })
	}
	both.each(low, high, func(v int64) {
		c.t = v
		t.add(c)
	})
}

func (t *table) add(c cell) {
	t.rows = append(t.rows, row{t: c.t, fresh: c.fresh, pieces: c.pieces, cells: []cell{c}})
}

// sort joins rows of the same total.
func (t *table) sort() {
	slices.SortStableFunc(t.rows, func(a, b row) int {
		return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.fresh, b.fresh), cmp.Compare(a.pieces, b.pieces))
	})
	out := t.rows[:0]
	for _, r := range t.rows {
		if n := len(out); n > 0 && out[n-1].t == r.t {
			l := &out[n-1]
			l.fresh, l.pieces = min(l.fresh, r.fresh), min(l.pieces, r.pieces)
			l.cells = append(l.cells, r.cells...)
			continue
		}
		out = append(out, r)
	}
	t.rows = out
	if len(out) == 0 {
		return
	}
	t.low, t.high, t.fresh, t.pieces = out[0].t, out[len(out)-1].t, out[0].fresh, out[0].pieces
	for _, r := range out {
		t.fresh, t.pieces = min(t.fresh, r.fresh), min(t.pieces, r.pieces)
	}
}

// supplies is what the place can use, by thickness: pieces that exist, and what can be bought.
func (pl *place) supplies(p *problem) (stock, ladder []supply) {
	add := func(list []supply, m int64, cap int) []supply {
		for i := range list {
			if list[i].m == m {
				if cap == 0 || list[i].cap == 0 {
					list[i].cap = 0
				} else {
					list[i].cap += cap
				}
				return list
			}
		}
		return append(list, supply{m, cap})
	}
	for _, u := range pl.uses {
		if u.fresh {
			if !p.shelf {
				ladder = add(ladder, u.m, 0)
			}
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
		g := group{v: make([]int64, len(p.gauges)), fills: []fill{{stay: true}}}
		for _, b := range pl.bodies {
			g.total += b.p
			for j := range p.gauges {
				g.v[j] -= square(pl.rate[j] * b.standard)
			}
		}
		c.groups = []group{g}
		return c.groups
	}
	f := filler{p: p, pl: pl, c: c}
	f.prepare()
	f.next(0, c.t, c.pieces-c.fresh, c.fresh)
	for _, g := range c.groups {
		slices.SortFunc(g.fills, func(a, b fill) int {
			return cmp.Or(p.comparePrinted(i, a, b), p.compareOrigins(i, a, b), p.compareSKUs(i, a, b), p.compareKept(i, a, b))
		})
	}
	return c.groups
}
