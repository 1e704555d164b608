package shim

import (
	"math/bits"
	"slices"
	"strings"
)

// price gives every arc its cost, in the order in which options compare: the fields of the ranking, then the thicker
// ones, then place by place the larger, then the least variance, and then place by place the origins, the SKUs and the
// kinds. What counts place by place stands in the digits of whole numbers, the first place highest.
func (b *buckets) price() {
	p := b.e.p
	var by [4]digits
	type row struct {
		ranks [4][]int
		at    [4]digit
	}
	rows := make([]row, len(b.rows))
	for i, r := range b.rows {
		z := &rows[i]
		fill := func(a *arc) fill { return a.of.fills[0].fill }
		z.ranks[0] = ranksOf(r.arcs, func(x, y *arc) int { return p.comparePrinted(r.at, fill(x), fill(y)) })
		z.ranks[1] = ranksOf(r.arcs, func(x, y *arc) int { return p.originOf(r.at, fill(x)) - p.originOf(r.at, fill(y)) })
		z.ranks[2] = ranksOf(r.arcs, func(x, y *arc) int { return strings.Compare(p.skuOf(r.at, fill(x)), p.skuOf(r.at, fill(y))) })
		z.ranks[3] = ranksOf(r.arcs, func(x, y *arc) int { return kindOf(p, x.of) - kindOf(p, y.of) })
		for n := range by {
			z.at[n] = by[n].next(slices.Max(z.ranks[n]))
		}
	}
	for i, r := range b.rows {
		thickest, least := int64(0), r.arcs[0].of.v
		for n := range r.arcs {
			thickest, least = max(thickest, r.arcs[n].of.tally.total), min(least, r.arcs[n].of.v)
		}
		for n := range r.arcs {
			a := &r.arcs[n]
			a.mark = rows[i].ranks[0][n]
			a.cost = append(b.e.rk.sums(&a.of.tally), thickest-a.of.tally.total)
			a.cost = by[0].put(a.cost, rows[i].at[0], a.mark)
			if f := a.of.fills[0].fill; p.places[r.at].worn && !f.stay && p.comparePrinted(r.at, f, fill{stay: true}) == 0 {
				a.mark = len(r.arcs) // a new piece in place of a worn one is another choice, though it is printed alike
			}
			a.cost = append(a.cost, a.of.v-least)
			for m := 1; m < len(by); m++ {
				a.cost = by[m].put(a.cost, rows[i].at[m], rows[i].ranks[m][n])
			}
		}
		r.arcs = b.cut(r.arcs)
		sortArcs(r.arcs)
	}
}

// columnOf is what an option takes up: a scarce piece, one of those that are bought, or a place that stays empty.
func (b *buckets) columnOf(c *candidate) int {
	k := kindOf(b.e.p, c)
	switch {
	case k >= 0 && b.column[k] >= 0:
		return b.column[k]
	case c.tally.fresh > 0:
		return len(b.kinds)
	case c.tally.pieces == 0:
		return len(b.kinds) + 1
	}
	return -1
}

// sums are the fields that a ranking of buckets goes by: those of the order; for closeness, under a bound of the pieces
// bought and of the places left empty, as many of these as there may be, and then the deviation.
func (r *ranker) sums(t *tally) []int64 {
	switch {
	case r.aim:
		return []int64{t.d}
	case r.goal == Closest:
		return []int64{1 - int64(t.fresh), int64(t.pieces), t.d}
	}
	return []int64{int64(t.fresh), t.d, t.off2, int64(t.pieces)}
}

// originOf and skuOf are what the one piece of a fill is told apart by; a place that stays comes first.
func (p *problem) originOf(i int, f fill) int {
	if f.stay || len(f.uses) == 0 {
		return -1
	}
	return originRank(p.kinds[p.places[i].uses[f.uses[0]].kind], i)
}

func (p *problem) skuOf(i int, f fill) string {
	if f.stay || len(f.uses) == 0 {
		return ""
	}
	return p.kinds[p.places[i].uses[f.uses[0]].kind].piece.SKU
}

// ranksOf numbers arcs by an order, from 0; equal ones have one number.
func ranksOf(arcs []arc, compare func(a, b *arc) int) []int {
	at := make([]int, len(arcs))
	for i := range at {
		at[i] = i
	}
	slices.SortStableFunc(at, func(a, b int) int { return compare(&arcs[a], &arcs[b]) })
	out, n := make([]int, len(arcs)), 0
	for i := range at {
		if i > 0 && compare(&arcs[at[i-1]], &arcs[at[i]]) != 0 {
			n++
		}
		out[at[i]] = n
	}
	return out
}

// digits are places for small numbers in whole numbers of 62 bits.
type digits struct {
	words int
	free  int // bits of the last word
}

// digit is one such place.
type digit struct{ word, shift int }

// next is room for numbers from 0 to most, below everything before.
func (d *digits) next(most int) digit {
	n := bits.Len(uint(most))
	if d.words == 0 || d.free < n {
		d.words++
		d.free = 62
	}
	d.free -= n
	return digit{d.words - 1, d.free}
}

// put appends the words with one number in its place.
func (d *digits) put(cost []int64, at digit, x int) []int64 {
	for w := range d.words {
		v := int64(0)
		if w == at.word {
			v = int64(x) << at.shift
		}
		cost = append(cost, v)
	}
	return cost
}
