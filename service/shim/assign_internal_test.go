package shim

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawBoard is a small assignment problem. The last numbers of a cost tell the marks of the rows apart, so that no two
// choices cost the same.
func drawBoard(t *rapid.T) *board {
	b := &board{n: 3, work: func(int) bool { return true }}
	for range rapid.IntRange(0, 3).Draw(t, "columns") {
		b.caps = append(b.caps, rapid.IntRange(0, 2).Draw(t, "cap"))
	}
	scale := int64(1)
	for range rapid.IntRange(1, 4).Draw(t, "rows") {
		var arcs []arc
		for mark := range rapid.IntRange(1, 4).Draw(t, "arcs") {
			for c := -1; c < len(b.caps); c++ {
				if !rapid.Bool().Draw(t, "there") {
					continue
				}
				arcs = append(arcs, arc{column: c, mark: mark, flags: uint8(rapid.IntRange(0, 3).Draw(t, "flags")),
					cost: []int64{int64(rapid.IntRange(0, 2).Draw(t, "first")), int64(rapid.IntRange(0, 3).Draw(t, "second")), scale * int64(mark)}})
			}
		}
		sortArcs(arcs)
		b.arcs = append(b.arcs, arcs)
		scale *= 8
	}
	return b
}

// everyChoice lists the least cost of every choice of marks that has the flags, in order.
func everyChoice(b *board, need uint8) [][]int64 {
	best := map[[4]int][]int64{}
	load := make([]int, len(b.caps))
	var walk func(row int, sum []int64, marks [4]int, flags uint8)
	walk = func(row int, sum []int64, marks [4]int, flags uint8) {
		if row == len(b.arcs) {
			if known, ok := best[marks]; flags&need == need && (!ok || slices.Compare(sum, known) < 0) {
				best[marks] = slices.Clone(sum)
			}
			return
		}
		for _, a := range b.arcs[row] {
			if a.column >= 0 {
				if load[a.column] == b.caps[a.column] {
					continue
				}
				load[a.column]++
			}
			next := slices.Clone(sum)
			for i, x := range a.cost {
				next[i] += x
			}
			marks[row] = a.mark + 1
			walk(row+1, next, marks, flags|a.flags)
			if a.column >= 0 {
				load[a.column]--
			}
		}
	}
	walk(0, make([]int64, b.n), [4]int{}, 0)
	var out [][]int64
	for _, sum := range best {
		out = append(out, sum)
	}
	slices.SortFunc(out, slices.Compare)
	return out
}

// TestFeasible holds whether every row finds room against trying everything.
func TestFeasible(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBoard(rt)
		if want := len(everyChoice(b, 0)) > 0; b.feasible() != want {
			rt.Fatalf("room for every row: want %t", want)
		}
	})
}

// TestRankedChoices holds every rank of small boards against trying everything. With flags a choice of marks may come
// again, at a higher cost or the same.
func TestRankedChoices(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		b := drawBoard(rt)
		need := uint8(rapid.IntRange(0, 3).Draw(rt, "need"))
		want := everyChoice(b, need)
		list, seen := newRanked(b, need), map[[4]int]bool{}
		for n := 0; ; n++ {
			s := list.nth(n)
			if s == nil {
				break
			}
			var marks [4]int
			for row, a := range s.arc {
				marks[row] = b.arcs[row][a].mark + 1
			}
			if seen[marks] && need != 0 {
				continue
			}
			if at := len(seen); at >= len(want) || !slices.Equal(s.sum, want[at]) {
				rt.Fatalf("choice %d costs %v, want %v", at, s.sum, want[min(at, len(want)):])
			}
			seen[marks] = true
		}
		if len(seen) != len(want) {
			rt.Fatalf("%d choices, want %d", len(seen), len(want))
		}
	})
}
