package shim

import (
	"cmp"
	"slices"
)

// compareUses orders what a place can use: thickest first, then fitted here, fitted elsewhere, on hand, order, then SKU.
func compareUses(p *problem, i int, a, b use) int {
	ka, kb := p.kinds[a.kind], p.kinds[b.kind]
	return cmp.Or(-cmp.Compare(a.p, b.p), cmp.Compare(originRank(ka, i), originRank(kb, i)), comparePieces(ka.piece, kb.piece),
		cmp.Compare(a.kind, b.kind))
}

// originRank is 0 for a piece fitted here, 1 for one fitted elsewhere, 2 on hand, 3 to order.
func originRank(k *kind, i int) int {
	switch {
	case k.from == FromFitted && k.home == i:
		return 0
	case k.from == FromFitted:
		return 1
	case k.from == FromOnHand:
		return 2
	}
	return 3
}

// filler lists every choice of uses, in the order of the uses, that makes up a cell.
type filler struct {
	p      *problem
	pl     *place
	c      *cell
	picked []int
	by     *byThickness
}

// byThickness is the uses of a place sorted by the middle of their zone, and the thinnest and thickest of what exists
// and of what is bought.
type byThickness struct {
	uses        []int
	thin, thick [2]int64
}

// order sorts the uses of a place once.
func (pl *place) order() *byThickness {
	if pl.by != nil {
		return pl.by
	}
	by := &byThickness{}
	for n := range pl.uses {
		u := &pl.uses[n]
		s := side(u)
		if by.thick[s] == 0 {
			by.thin[s] = u.m
		}
		by.thin[s], by.thick[s] = min(by.thin[s], u.m), max(by.thick[s], u.m)
		by.uses = append(by.uses, n)
	}
	slices.SortStableFunc(by.uses, func(a, b int) int { return cmp.Compare(pl.uses[a].m, pl.uses[b].m) })
	pl.by = by
	return by
}

func side(u *use) int {
	if u.fresh {
		return 1
	}
	return 0
}

// next picks the rest of a cell: a total of rest from so many pieces that exist and so many new ones.
func (f *filler) next(from int, rest int64, old, fresh int) {
	if old+fresh == 0 {
		if rest == 0 {
			f.keep()
		}
		return
	}
	if !f.p.spend(1) {
		return
	}
	if old+fresh == 1 {
		f.last(from, rest, fresh)
		return
	}
	for n := from; n < len(f.pl.uses); n++ {
		u := &f.pl.uses[n]
		o, w := old, fresh
		if u.fresh {
			w--
		} else {
			o--
		}
		if o < 0 || w < 0 || f.p.shelf && u.fresh || !f.left(n) {
			continue
		}
		left := rest - u.m
		if left < int64(o)*f.by.thin[0]+int64(w)*f.by.thin[1] || left > int64(o)*f.by.thick[0]+int64(w)*f.by.thick[1] {
			continue
		}
		f.picked = append(f.picked, n)
		f.next(n, left, o, w)
		f.picked = f.picked[:len(f.picked)-1]
	}
}

// last looks up the piece that makes up the rest.
func (f *filler) last(from int, rest int64, fresh int) {
	at, _ := slices.BinarySearchFunc(f.by.uses, rest, func(n int, m int64) int { return cmp.Compare(f.pl.uses[n].m, m) })
	for ; at < len(f.by.uses) && f.pl.uses[f.by.uses[at]].m == rest; at++ {
		n := f.by.uses[at]
		if n < from || side(&f.pl.uses[n]) != fresh || !f.left(n) {
			continue
		}
		f.picked = append(f.picked, n)
		f.keep()
		f.picked = f.picked[:len(f.picked)-1]
	}
}

// left reports whether there is one more of a use than was picked.
func (f *filler) left(n int) bool {
	k := f.p.kinds[f.pl.uses[n].kind]
	if k.cap == 0 {
		return true
	}
	have := k.cap
	for _, m := range f.picked {
		if m == n {
			have--
		}
	}
	return have > 0
}

// keep puts what is picked into its group. Fills of a group come thickest first because uses do.
func (f *filler) keep() {
	f.p.spend(cellWork / 2)
	v := make([]int64, len(f.p.gauges))
	var total int64
	for _, n := range f.picked {
		u := &f.pl.uses[n]
		total += u.p
		for j := range v {
			v[j] += u.v[j]
		}
	}
	one := fill{uses: slices.Clone(f.picked)}
	for i := range f.c.groups {
		if g := &f.c.groups[i]; g.total == total && slices.Equal(g.v, v) {
			g.fills = append(g.fills, one)
			return
		}
	}
	f.c.groups = append(f.c.groups, group{v: v, total: total, fills: []fill{one}})
}
