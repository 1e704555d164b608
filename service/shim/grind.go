package shim

import (
	"slices"

	"endfloat/service/quantity"
)

// grind offers pieces that could be ground to the thickness that puts every spec on its aim and every stack in the
// middle, where the source allows grinding. A part has one such thickness a place where it has as many places as specs
// and offsets, and they are not singular; of a stack of several places without an offset each place alone is offered.
func (s *solver) grind() []Grind {
	var out []Grind
	taken := make([]int, len(s.p.kinds))
	for _, pt := range s.parts {
		if to, ok := s.p.ideal(pt); ok {
			out = append(out, s.p.groundTo(pt.places, to, taken)...)
		} else if len(pt.gauges) == 1 && len(pt.sets) == 0 {
			for n, i := range pt.places {
				if one, ok := s.p.ideal(&part{places: pt.places[n : n+1], gauges: pt.gauges}); ok {
					out = append(out, s.p.groundTo([]int{i}, one, slices.Clone(taken))...)
				}
			}
		}
	}
	return out
}

// ideal solves the relation of a part for the totals of its places, in mm; ok is false where there is not one answer.
func (p *problem) ideal(pt *part) (to []quantity.Exact, ok bool) {
	n := len(pt.places)
	if n != len(pt.gauges)+len(pt.sets) {
		return nil, false
	}
	var rows [][]quantity.Exact // one equation each: what a mm at every place changes, and what is to be changed
	for _, j := range pt.gauges {
		g := p.gauges[j]
		row := make([]quantity.Exact, 0, n+1)
		for _, i := range pt.places {
			row = append(row, p.places[i].change[j])
		}
		rows = append(rows, append(row, g.aimExact.Sub(g.held.Value).Mul(g.perUnit)))
	}
	for _, si := range pt.sets {
		z := p.sets[si]
		row := make([]quantity.Exact, n+1)
		for m, i := range pt.places {
			switch i {
			case z.first:
				row[m] = quantity.Int(1)
			case z.second:
				row[m] = quantity.Int(-1)
			}
		}
		row[n] = p.grid.thickOf(-z.now2)
		rows = append(rows, row)
	}
	if !eliminate(rows) {
		return nil, false
	}
	for m, i := range pt.places {
		to = append(to, p.grid.thickOf(p.places[i].old).Add(rows[m][n]))
	}
	return to, true
}

// eliminate solves equations exactly (Gauss and Jordan): the unknowns are left in the last column. It answers false
// where they are singular.
func eliminate(rows [][]quantity.Exact) bool {
	for c := range rows {
		at := slices.IndexFunc(rows[c:], func(r []quantity.Exact) bool { return r[c].Sign() != 0 })
		if at < 0 {
			return false
		}
		rows[c], rows[c+at] = rows[c+at], rows[c]
		pivot := rows[c][c]
		for k := range rows[c] {
			rows[c][k] = rows[c][k].Quo(pivot)
		}
		for r := range rows {
			if f := rows[r][c]; r != c && f.Sign() != 0 {
				for k := range rows[r] {
					rows[r][k] = rows[r][k].Sub(f.Mul(rows[c][k]))
				}
			}
		}
	}
	return true
}

// groundTo finds the next thicker piece for every place, or one of just that thickness, which needs no grinding; nil
// where a place must not or cannot be filled with one, and where nothing is to be ground.
func (p *problem) groundTo(places []int, to []quantity.Exact, taken []int) (out []Grind) {
	needed := false
	for n, i := range places {
		pl := p.places[i]
		set := p.sets[pl.set].shims
		if !set.GrindTo || pl.minPieces() > 1 || to[n].Sign() <= 0 {
			return nil
		}
		if len(pl.bodies) == 1 && p.grid.thickOf(pl.old).Equal(to[n]) && !pl.worn {
			continue
		}
		best := -1
		for m, u := range pl.uses {
			if c := p.kinds[u.kind].cap; c > 0 && taken[u.kind] >= c || p.grid.thickOf(u.m).Less(to[n]) {
				continue
			}
			if best < 0 || u.m < pl.uses[best].m || u.m == pl.uses[best].m && !u.fresh && pl.uses[best].fresh {
				best = m
			}
		}
		if best < 0 {
			return nil
		}
		taken[pl.uses[best].kind]++
		needed = needed || !p.grid.thickOf(pl.uses[best].m).Equal(to[n])
		k := p.kinds[pl.uses[best].kind]
		out = append(out, Grind{PlaceRef{set.Key, pl.of.ID}, to[n], p.shown(k.body, pl, k.from)})
	}
	if !needed {
		return nil
	}
	return out
}
