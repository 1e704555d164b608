package shim

import (
	"slices"

	"endfloat/service/spec"
)

// gather lists every piece that an option may use: removed ones that are not worn, those on hand, the ladders.
func (p *problem) gather() {
	for i, pl := range p.places {
		if !pl.free() {
			continue
		}
		for _, b := range pl.bodies {
			if !b.piece.Worn {
				p.kinds = append(p.kinds, &kind{body: b, from: FromFitted, home: i, set: p.setOf(b.piece.Set), cap: 1, all: []lot{{b.piece, 1}}})
			}
		}
	}
	useful := maxUseful(p)
	for i := range p.in.OnHand {
		st := p.in.OnHand[i]
		only := p.setOf(st.Set)
		k := &kind{body: bodyOf(st.Piece, p.in.Unit, p.ladders(st.Set)), from: FromOnHand, home: -1, set: only, cap: max(1, st.Count)}
		if !st.Worn && only != missingSet {
			k.cap = min(k.cap, useful)
			k.all = []lot{{k.piece, k.cap}}
			p.kinds = append(p.kinds, k)
		}
	}
	for i, s := range p.sets {
		for _, r := range s.shims.Ladder {
			if !r.Fits(p.in.Serial) {
				continue
			}
			sku, ok := sold(s.shims.Ladder, &r)
			if !ok {
				continue
			}
			in := Piece{Thickness: r.Thickness, Unit: s.shims.Unit, Tolerance: r.Tolerance, HasTolerance: true, SKU: sku}
			p.kinds = append(p.kinds, &kind{body: bodyOf(in, p.in.Unit, nil), from: FromOrder, home: -1, set: i, all: []lot{{in, 1}}})
		}
	}
}

// sold is the part number under which a size is bought: that of its successor, if it has one. A size whose successor is a
// size of the ladder itself is no longer sold, whatever is still on hand of it.
func sold(ladder []spec.Rung, r *spec.Rung) (sku string, ok bool) {
	if r.SupersededBy == "" {
		return r.SKU, true
	}
	return r.SupersededBy, !slices.ContainsFunc(ladder, func(o spec.Rung) bool { return o.SKU == r.SupersededBy })
}

// maxUseful is how many pieces all places together can take.
func maxUseful(p *problem) int {
	n := 0
	for _, pl := range p.places {
		n += pl.maxPieces()
	}
	return max(1, n)
}

// missingSet is the set of a piece that fits none of the sets asked about.
const missingSet = -2

func (p *problem) setOf(key spec.Key) int {
	if key == "" {
		return -1
	}
	for i, s := range p.sets {
		if s.shims.Key == key {
			return i
		}
	}
	return missingSet
}

// merge puts the pieces on the grid, sorts them, and makes one kind of those that are alike.
func (p *problem) merge() {
	place := func(b *body) { b.p, b.m = p.grid.thickness(b.printed), p.grid.thickness(b.mid) }
	for _, k := range p.kinds {
		place(&k.body)
	}
	for _, pl := range p.places {
		for i := range pl.bodies {
			place(&pl.bodies[i])
			pl.old += pl.bodies[i].m
		}
	}
	slices.SortStableFunc(p.kinds, compareKinds)
	var kinds []*kind
	for _, k := range p.kinds {
		if n := len(kinds); n > 0 && kinds[n-1].alike(k) {
			kinds[n-1].cap += k.cap
			kinds[n-1].all = append(kinds[n-1].all, k.all...)
			continue
		}
		kinds = append(kinds, k)
	}
	for _, k := range kinds {
		slices.SortStableFunc(k.all, func(a, b lot) int { return comparePieces(a.piece, b.piece) })
		k.piece = k.all[0].piece
	}
	p.kinds = kinds
}

// offsets puts where the stacks stand on the grid.
func (p *problem) offsets() {
	for i := range p.in.Sets {
		in := &p.in.Sets[i]
		o := in.Shims.Offset
		for si, s := range p.sets {
			if s.shims != in.Shims || o.Between[0] == "" {
				continue
			}
			s.has = true
			s.now2 = 2 * p.grid.thickness(millimetres(in.OffsetNow.Exact(), p.in.Unit))
			if o.HasLimit {
				s.limit2 = 2 * p.grid.thickness(millimetres(o.Limit.Exact(), s.shims.Unit))
			}
			for j, pl := range p.places {
				if pl.set != si || !pl.free() {
					continue
				}
				switch pl.of.ID {
				case o.Between[0]:
					s.first = j
				case o.Between[1]:
					s.second = j
				}
			}
		}
	}
}

// see works out what every free place can use, and what that adds to the variances.
func (p *problem) see() {
	for i, pl := range p.places {
		pl.k = make([]int64, len(p.gauges))
		for j, c := range pl.change {
			pl.k[j] = p.grid.perThick(c)
		}
		if !pl.free() {
			continue
		}
		pl.uses = make([]use, 0, len(p.kinds))
		room := make([]int64, len(p.kinds)*len(p.gauges))
		for n, k := range p.kinds {
			if k.set != -1 && k.set != pl.set && k.home != i { // what sits in a set that it is not for may stay there
				continue
			}
			u := use{kind: n, p: k.p, m: k.m, fresh: k.from == FromOrder, v: room[:len(p.gauges):len(p.gauges)]}
			room = room[len(p.gauges):]
			for j := range p.gauges {
				if pl.k[j] != 0 { // what does not move the gauge adds nothing
					u.v[j] = p.adds(k, i, j)
				}
			}
			pl.uses = append(pl.uses, u)
		}
		slices.SortStableFunc(pl.uses, func(a, b use) int { return compareUses(p, i, a, b) })
		for n, u := range pl.uses {
			if n == 0 || u.p-u.m > pl.over {
				pl.over = u.p - u.m
			}
		}
		for _, b := range pl.bodies {
			pl.stayOver += b.p - b.m
		}
	}
}

// adds is what a piece fitted at place i adds to the variance of gauge j, over having been taken out.
func (p *problem) adds(k *kind, i, j int) int64 {
	c := p.places[i].rate[j]
	if k.home < 0 {
		return square(c * k.standard)
	}
	was := p.places[k.home].rate[j]
	moved := int64(0)
	if k.home != i {
		moved = square((c - was) * k.standard)
	}
	return moved - square(was*k.standard)
}
