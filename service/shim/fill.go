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

// pile is what a place can use of one sort, thinnest first by the middle of the zone.
type pile struct {
	uses []int
	m    []int64
}

// byThickness is the uses of a place: those that exist, and those that are bought.
type byThickness [2]pile

// order sorts the uses of a place once.
func (pl *place) order() *byThickness {
	if pl.by != nil {
		return pl.by
	}
	by := &byThickness{}
	for n := range pl.uses {
		z := &by[flag(pl.uses[n].fresh)]
		z.uses = append(z.uses, n)
	}
	for i := range by {
		z := &by[i]
		slices.SortStableFunc(z.uses, func(a, b int) int { return cmp.Compare(pl.uses[a].m, pl.uses[b].m) })
		for _, n := range z.uses {
			z.m = append(z.m, pl.uses[n].m)
		}
	}
	pl.by = by
	return by
}

// least and most are what n pieces of the pile come to at least and at most.
func (z *pile) least(n int) int64 {
	if n == 0 || len(z.m) == 0 {
		return 0
	}
	return int64(n) * z.m[0]
}

func (z *pile) most(n int) int64 {
	if n == 0 || len(z.m) == 0 {
		return 0
	}
	return int64(n) * z.m[len(z.m)-1]
}

// filler lists every choice of uses that makes up a cell.
type filler struct {
	p      *problem
	pl     *place
	c      *cell
	picked []int
	v      []int64
	room   []int // for the fills that are kept
}

// all lists the choices: pieces of the smaller pile in every way, and with each of them those of the other that make up
// the rest.
func (f *filler) all() {
	by := f.pl.order()
	held, bought := &by[0], &by[1]
	old, fresh := f.c.pieces-f.c.fresh, f.c.fresh
	if old > 0 && fresh > 0 && len(held.m) > len(bought.m) {
		f.some(bought, fresh, 0, f.c.t, func(rest int64) { f.exact(held, old, 0, rest) }, held, old)
		return
	}
	f.some(held, old, 0, f.c.t, func(rest int64) { f.exact(bought, fresh, 0, rest) }, bought, fresh)
}

// some picks n pieces of a pile from one on in every way that leaves room for so many of the other.
func (f *filler) some(z *pile, n, from int, rest int64, then func(rest int64), other *pile, others int) {
	if others == 0 {
		f.exact(z, n, from, rest)
		return
	}
	if n == 0 {
		then(rest)
		return
	}
	for i := from; i < len(z.m) && f.p.spend(1); i++ {
		if rest-int64(n)*z.m[i] < other.least(others) {
			return
		}
		if rest-z.m[i]-z.most(n-1) > other.most(others) || !f.left(z.uses[i]) {
			continue
		}
		f.picked = append(f.picked, z.uses[i])
		f.some(z, n-1, i, rest-z.m[i], then, other, others)
		f.picked = f.picked[:len(f.picked)-1]
	}
}

// exact picks n pieces of a pile from one on that come to the rest.
func (f *filler) exact(z *pile, n, from int, rest int64) {
	switch n {
	case 0:
		if rest == 0 {
			f.keep()
		}
		return
	case 1:
		i, _ := slices.BinarySearch(z.m[from:], rest)
		for i += from; i < len(z.m) && z.m[i] == rest; i++ {
			f.last(z.uses[i])
		}
		return
	case 2:
		f.pairs(z, from, rest)
		return
	}
	for i := from; i < len(z.m) && f.p.spend(1); i++ {
		if int64(n)*z.m[i] > rest {
			return
		}
		if z.m[i]+z.most(n-1) < rest || !f.left(z.uses[i]) {
			continue
		}
		f.picked = append(f.picked, z.uses[i])
		f.exact(z, n-1, i, rest-z.m[i])
		f.picked = f.picked[:len(f.picked)-1]
	}
}

// pairs picks two pieces from one on that come to the rest, the thinner from below and the thicker from above.
func (f *filler) pairs(z *pile, from int, rest int64) {
	low, high := from, len(z.m)-1
	if !f.p.spend(1 + (high-low)/pairWork) {
		return
	}
	for low <= high {
		switch sum := z.m[low] + z.m[high]; {
		case sum < rest:
			low++
		case sum > rest:
			high--
		default:
			above := high
			for ; above >= low && z.m[above] == z.m[high]; above-- {
				if f.left(z.uses[low]) {
					f.picked = append(f.picked, z.uses[low])
					f.last(z.uses[above])
					f.picked = f.picked[:len(f.picked)-1]
				}
			}
			low++
		}
	}
}

// pairWork is how many steps of a search for pairs count as one node.
const pairWork = 16

// last adds the last piece and keeps the choice.
func (f *filler) last(n int) {
	if f.left(n) {
		f.picked = append(f.picked, n)
		f.keep()
		f.picked = f.picked[:len(f.picked)-1]
	}
}

// left reports whether there is one more of a use than was picked.
func (f *filler) left(n int) bool {
	have := f.p.kinds[f.pl.uses[n].kind].cap
	if have == 0 {
		return true
	}
	for _, m := range f.picked {
		if m == n {
			have--
		}
	}
	return have > 0
}

// keep puts what is picked into its group, thickest first.
func (f *filler) keep() {
	f.p.spend(cellWork / 2)
	clear(f.v)
	var total int64
	for _, n := range f.picked {
		u := &f.pl.uses[n]
		total += u.p
		for j, x := range u.v {
			f.v[j] += x
		}
	}
	n := len(f.picked)
	if len(f.room) < n {
		f.room = make([]int, fillRoom*n)
	}
	one := fill{uses: f.room[:n:n]}
	f.room = f.room[n:]
	copy(one.uses, f.picked)
	slices.Sort(one.uses)
	for i := range f.c.groups {
		if g := &f.c.groups[i]; g.total == total && slices.Equal(g.v, f.v) {
			g.fills = append(g.fills, one)
			return
		}
	}
	f.c.groups = append(f.c.groups, group{v: slices.Clone(f.v), total: total, fills: []fill{one}})
}

// fillRoom is for how many fills room is made at a time.
const fillRoom = 8
