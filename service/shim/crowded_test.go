package shim_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// crowded is sixteen valves, in turn inlet and exhaust, over a ladder of 69 sizes, with a box of 30 pieces of about the
// thicknesses that are needed: everything within spread thousandths and on a grid of grain, so that many choices tie.
func crowded(seed uint64, spread, grain int, u string) shim.Request {
	r := rand.New(rand.NewPCG(seed, uint64(spread)))
	thick := func() quantity.Decimal { return thousandths((2500 + r.IntN(spread)) / grain * grain) }
	set := &spec.ShimSet{Key: "buckets", Unit: quantity.Millimetre, Decimals: 3}
	for t := 2000; t <= 3700; t += 25 {
		set.Ladder = append(set.Ladder, spec.Rung{Thickness: thousandths(t), SKU: fmt.Sprint("B", t)})
	}
	in := shim.Request{Unit: quantity.Millimetre, Sets: []shim.Set{{Shims: set}}}
	for v := range 16 {
		id := fmt.Sprintf("v%02d", v)
		set.Places = append(set.Places, at(id, 1, id+" -1"))
		s := play(id, "0.10", "0.16", "0.13", "")
		if v%2 == 1 {
			s = play(id, "0.17", "0.23", "0.20", "")
		}
		in.Measured = append(in.Measured, read(s, quantity.NewDecimal(int64(4+r.IntN(20)), 2).String(), u))
		in.Fitted = append(in.Fitted, shim.Fitted{Set: set.Key, Place: id, Known: true, Pieces: []shim.Piece{{Thickness: thick(), Measured: true}}})
	}
	for range 30 {
		in.OnHand = append(in.OnHand, shim.Stock{Piece: shim.Piece{Thickness: thick(), Measured: true}})
	}
	return in
}

// andStacks adds four stacks of two sides whose pieces lie in the same box.
func andStacks(in shim.Request, seed uint64) shim.Request {
	r := rand.New(rand.NewPCG(seed, 4))
	thin := func() quantity.Decimal { return quantity.NewDecimal(int64(50+r.IntN(80)), 2) }
	for n := range 4 {
		key := fmt.Sprintf("stack%d", n)
		s := stack(ladder(steps(50, 50+39*5, 5)...), "0.10", 3)
		s.Key = spec.Key(key)
		for i := range s.Places {
			s.Places[i].PerMM = []spec.Effect{{Spec: spec.Key(key + "/play"), Change: dec("-1")}}
		}
		in.Sets = append(in.Sets, shim.Set{Shims: s})
		in.Measured = append(in.Measured, read(play(key+"/play", "0.10", "0.40", "0.20", ""), quantity.NewDecimal(int64(r.IntN(80)), 2).String(), "0.01"))
		for _, id := range []string{"left", "right"} {
			f := fitted(id, thin().String())
			f.Set = spec.Key(key)
			in.Fitted = append(in.Fitted, f)
		}
	}
	for range 6 {
		in.OnHand = append(in.OnHand, shim.Stock{Piece: shim.Piece{Thickness: thin(), Measured: true}})
	}
	return in
}

// TestCrowdedBoxes proves the best of boxes in which many choices tie, within a small part of the nodes that it may use.
func TestCrowdedBoxes(t *testing.T) {
	t.Parallel()
	for _, goal := range []shim.Objective{shim.FewestNew, shim.Closest} {
		for _, u := range []string{"", "0.01"} {
			for _, grain := range []int{1, 5, 25} {
				for seed, spread := range []int{30, 60, 120, 200, 400, 1200} {
					in := crowded(uint64(seed), spread, grain, u)
					in.Objective = goal
					got, err := shim.New(t.Context(), in)
					if err != nil || !got.Proven || got.Used > 2_000_000 {
						t.Errorf("%s, u %s, grain %d, spread %d: %v, %d nodes", goal, u, grain, spread, err, got.Used)
					}
				}
			}
		}
	}
}

// TestWholeEngines proves the best of 24 places that share one box.
func TestWholeEngines(t *testing.T) {
	t.Parallel()
	for seed, spread := range []int{60, 200, 600} {
		for _, grain := range []int{5, 25} {
			got, err := shim.New(t.Context(), andStacks(crowded(uint64(seed), spread, grain, ""), uint64(seed)))
			if err != nil || !got.Proven || got.Used > 400_000 {
				t.Errorf("grain %d, spread %d: %v, %d nodes", grain, spread, err, got.Used)
			}
		}
	}
}

func BenchmarkCrowdedBox(b *testing.B) { bench(b, crowded(1, 200, 25, "")) }
func BenchmarkCrowdedClosest(b *testing.B) {
	in := crowded(1, 200, 25, "0.01")
	in.Objective = shim.Closest
	bench(b, in)
}
func BenchmarkCrowdedEngine(b *testing.B) { bench(b, andStacks(crowded(1, 200, 25, ""), 1)) }

func BenchmarkCrowdedEngineClose(b *testing.B) {
	in := andStacks(crowded(1, 200, 25, "0.01"), 1)
	in.Objective = shim.Closest
	bench(b, in)
}
