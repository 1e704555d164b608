package shim

import "slices"

// cut leaves out the arcs of a row that none of the options asked for can have. Take the arcs of one sort: scarce pieces,
// or pieces to buy, or none at all, with the same flags. All other places together hold less than n pieces, so that they
// keep less than n of the scarce ones from the row; what is bought is always there. If an option has an arc that comes
// after n + k others of its sort with other marks, then k of those are free: each of them makes another option of the
// same tier and the same number of new pieces that ranks before it. So it is not among the best k.
func (b *buckets) cut(arcs []arc) []arc {
	most := maxUseful(b.e.p) + b.e.pool.size + 1 // one more, as what is fitted now is not offered
	if len(arcs) <= most {
		return arcs
	}
	type sort struct {
		column int
		flags  uint8
	}
	seen := map[sort]map[int]bool{}
	slices.SortFunc(arcs, func(x, y arc) int { return slices.Compare(x.cost, y.cost) })
	return slices.DeleteFunc(arcs, func(a arc) bool {
		at := sort{a.column, a.flags}
		if at.column >= 0 && at.column < len(b.kinds) {
			at.column = 0 // scarce, whichever it is
		}
		marks := seen[at]
		if marks == nil {
			marks = map[int]bool{}
			seen[at] = marks
		}
		if len(marks) >= most {
			return true
		}
		marks[a.mark] = true
		return false
	})
}
