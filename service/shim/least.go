package shim

import (
	"cmp"
	"math"
	"slices"
)

// leastAdded works out the least that cells of so many pieces that exist and so many new ones can add to the variance of
// each gauge.
func (p *problem) leastAdded(pl *place, from []source) {
	n := len(p.gauges)
	room := make([]int64, len(from)*n)
	for i := range from {
		if !from[i].cell.stay {
			from[i].v = room[i*n : (i+1)*n : (i+1)*n]
		}
	}
	var pieces []pieceVariance
	for j := range n {
		if pl.k[j] == 0 {
			continue // what does not move the gauge adds nothing
		}
		held, bought := p.leastHeld(pl, j, &pieces), pl.leastBought(j)
		for i := range from {
			if c := &from[i].cell; !c.stay {
				from[i].v[j] = held[min(c.pieces-c.fresh, len(held)-1)] + int64(c.fresh)*bought
			}
		}
	}
}

// pieceVariance is what each of so many pieces adds to a variance.
type pieceVariance struct {
	v     int64
	count int
}

// leastHeld is the least that none, one, two and more pieces that exist can add to the variance of a gauge together. The
// room is used again.
func (p *problem) leastHeld(pl *place, j int, room *[]pieceVariance) []int64 {
	held := (*room)[:0]
	for i := range pl.uses {
		if u := &pl.uses[i]; !u.fresh {
			held = append(held, pieceVariance{u.v[j], p.kinds[u.kind].cap})
		}
	}
	slices.SortFunc(held, func(a, b pieceVariance) int { return cmp.Compare(a.v, b.v) })
	*room = held
	sums := make([]int64, 1, pl.maxPieces()+1)
	for _, one := range held {
		for range min(one.count, cap(sums)-len(sums)) {
			sums = append(sums, sums[len(sums)-1]+one.v)
		}
	}
	return sums
}

// leastBought is the least that a new piece adds to the variance of a gauge; 0 where none can be bought.
func (pl *place) leastBought(j int) int64 {
	least := int64(math.MaxInt64)
	for i := range pl.uses {
		if u := &pl.uses[i]; u.fresh {
			least = min(least, u.v[j])
		}
	}
	if least == math.MaxInt64 {
		return 0
	}
	return least
}
