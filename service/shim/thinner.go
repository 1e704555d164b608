package shim

// thinner reports whether a choice of totals, or of cells where they are given, ties with the last of a full pool at best
// and loses the tie: equals rank by printed thickness, all together and then place by place, the thicker first.
func (s *search) thinner(r rank, v *vector, cells []*cell) bool {
	if !s.pool.full() || s.pool.first {
		return false
	}
	w := s.pool.worst()
	if r != w.rank || len(w.fills) != len(v.rows) {
		return false
	}
	total := s.start.total
	var lead int64 // of the first place that differs
	for n, i := range s.part.places {
		if w.fills[n].at != i {
			return false
		}
		pl := s.p.places[i]
		var most int64
		if cells != nil {
			most = pl.printedOf(cells[n])
		} else {
			most = pl.printedMost(v.rows[n])
		}
		total += most
		if lead == 0 {
			lead = most - s.p.printedTotal(w.fills[n])
		}
	}
	return total < w.tally.total || total == w.tally.total && lead < 0
}

// printedTotal is what is printed on the pieces of a fill, together.
func (p *problem) printedTotal(f placed) (total int64) {
	for n := 0; ; n++ {
		x, more := p.printedAt(f.at, f.fill, n)
		if !more {
			return total
		}
		total += x
	}
}

// printedOf is the most that can be printed on the pieces of a cell.
func (pl *place) printedOf(c *cell) int64 {
	if c.stay {
		return c.t + pl.stayOver
	}
	return c.t + int64(c.pieces)*pl.over
}

// printedMost is the most that can be printed on pieces that make up the total of a row.
func (pl *place) printedMost(r *row) int64 {
	over := max(int64(r.pieces)*pl.over, int64(pl.maxPieces())*pl.over)
	if pl.worn {
		over = max(over, pl.stayOver)
	}
	return r.t + over
}
