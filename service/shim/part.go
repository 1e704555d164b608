package shim

import (
	"math"
	"slices"
)

// part is free places that hang together through specs and offsets. Parts share nothing but pieces.
type part struct {
	places  []int // in order
	gauges  []int
	sets    []int // with an offset
	bounds  []bound
	windows [][2]int64 // totals of each place that no bound forbids
	tables  map[bool][]*table
	around  []*table          // as far as the widest gap outside the windows, where they were built
	vectors map[bool]*vectors // all choices of totals, where they are few
	base    []int64           // variance per gauge if every fitted piece were taken out
}

// bound holds Σ k · (new total − old total) of the places of a part between two ends, both inside.
type bound struct {
	k        []int64
	from, to int64
}

// split finds the parts, in the order of their first place.
func (p *problem) split() []*part {
	root := make([]int, len(p.places))
	for i := range root {
		root[i] = i
	}
	var find func(i int) int
	find = func(i int) int {
		if root[i] != i {
			root[i] = find(root[i])
		}
		return root[i]
	}
	join := func(a, b int) { root[max(find(a), find(b))] = min(find(a), find(b)) }
	for j := range p.gauges {
		first := -1
		for i, pl := range p.places {
			if !pl.free() || pl.k[j] == 0 {
				continue
			}
			if first < 0 {
				first = i
			}
			join(first, i)
		}
	}
	for _, s := range p.sets {
		if s.has && s.first >= 0 && s.second >= 0 {
			join(s.first, s.second)
		}
	}
	var parts []*part
	at := map[int]*part{}
	for i, pl := range p.places {
		if !pl.free() {
			continue
		}
		pt := at[find(i)]
		if pt == nil {
			pt = &part{tables: map[bool][]*table{}, vectors: map[bool]*vectors{}, base: make([]int64, len(p.gauges))}
			at[find(i)] = pt
			parts = append(parts, pt)
		}
		pt.places = append(pt.places, i)
	}
	for _, pt := range parts {
		p.equip(pt)
	}
	return parts
}

// equip gives a part its gauges, offsets and bounds.
func (p *problem) equip(pt *part) {
	for j, g := range p.gauges {
		b := bound{k: make([]int64, len(pt.places))}
		touched := false
		for n, i := range pt.places {
			b.k[n] = p.places[i].k[j]
			touched = touched || b.k[n] != 0
			for _, body := range p.places[i].bodies {
				pt.base[j] += square(p.places[i].rate[j] * body.standard)
			}
		}
		if touched {
			pt.gauges = append(pt.gauges, j)
			b.from, b.to = g.window()
			pt.bounds = append(pt.bounds, b)
		}
	}
	for si, s := range p.sets {
		b := bound{k: make([]int64, len(pt.places))}
		touched := false
		for n, i := range pt.places {
			switch i {
			case s.first:
				b.k[n], touched = 1, true
			case s.second:
				b.k[n], touched = -1, true
			}
		}
		if touched && s.has {
			pt.sets = append(pt.sets, si)
			b.from, b.to = math.MinInt64/4, math.MaxInt64/4
			if s.limit2 >= 0 {
				b.from, b.to = -s.limit2-s.now2, s.limit2-s.now2
			}
			pt.bounds = append(pt.bounds, b)
		}
	}
	p.narrow(pt)
}

// narrow finds which totals each place may have at all, by passing the bounds round until little moves.
func (p *problem) narrow(pt *part) {
	pt.windows = make([][2]int64, len(pt.places))
	for n, i := range pt.places {
		pl := p.places[i]
		low, high := int64(0), pl.old
		for _, u := range pl.uses {
			high = max(high, u.m*int64(pl.maxPieces()))
		}
		pt.windows[n] = [2]int64{low, high}
	}
	for range 4 {
		for _, b := range pt.bounds {
			for n := range pt.places {
				from, to := b.from, b.to
				for m, w := range pt.windows {
					if m != n {
						low, high := b.reach(m, w, p.places[pt.places[m]].old)
						from, to = from-high, to-low
					}
				}
				b.cut(n, from, to, p.places[pt.places[n]].old, &pt.windows[n])
			}
		}
	}
}

// reach is how much place m can add to the sum of the bound.
func (b *bound) reach(m int, w [2]int64, old int64) (low, high int64) {
	x, y := b.k[m]*(w[0]-old), b.k[m]*(w[1]-old)
	return min(x, y), max(x, y)
}

// cut narrows a window to the totals with from ≤ k · (t − old) ≤ to.
func (b *bound) cut(n int, from, to, old int64, w *[2]int64) {
	k := b.k[n]
	if k == 0 {
		return
	}
	if k < 0 {
		k, from, to = -k, -to, -from
	}
	w[0] = max(w[0], old+ceilDiv(from, k))
	w[1] = min(w[1], old+floorDiv(to, k))
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b != 0 && (a < 0) != (b < 0) {
		q--
	}
	return q
}

func ceilDiv(a, b int64) int64 { return -floorDiv(-a, b) }

// table is what the n-th place of the part can be filled with.
func (p *problem) table(pt *part) []*table {
	if t := pt.tables[p.shelf]; t != nil {
		return t
	}
	var out []*table
	if p.alone && !p.shelf { // the look round for near misses goes over the same rows
		pt.around = p.wide(pt, false)
		for n, t := range pt.around {
			out = append(out, t.within(pt.windows[n]))
		}
	} else {
		for n, i := range pt.places {
			out = append(out, p.build(i, pt.windows[n][0], pt.windows[n][1]))
		}
	}
	pt.tables[p.shelf] = out
	return out
}

// within is the rows of a table whose totals lie in a window.
func (t *table) within(w [2]int64) *table {
	from, to := t.rowsIn(w)
	out := &table{rows: t.rows[from:to], totals: t.totals[from:to], from: t.from}
	out.edges()
	return out
}

// rowsIn are the indices of the rows of a table with totals in a window.
func (t *table) rowsIn(w [2]int64) (from, to int) {
	from, _ = slices.BinarySearch(t.totals, w[0])
	to, found := slices.BinarySearch(t.totals, w[1])
	if found {
		to++
	}
	return from, max(from, to)
}
