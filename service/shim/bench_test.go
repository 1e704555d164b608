package shim_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

func thousandths(n int) quantity.Decimal { return quantity.NewDecimal(int64(n), 3) }

// twoSides is a stack of two sides with 40 sizes and up to three pieces a side.
func twoSides(limit string, tolerance bool) shim.Request {
	rungs := ladder(steps(50, 50+39*5, 5)...)
	if tolerance {
		for i := range rungs {
			rungs[i].Tolerance = quantity.Between(dec("-0.02"), dec("0"))
		}
	}
	return shim.Request{Unit: quantity.Millimetre, Sets: []shim.Set{{Shims: stack(rungs, limit, 3)}},
		Measured: []shim.Measured{read(play("play", "0.08", "0.35", "0.08", spec.NotBelow), "0.62 0.60 0.63", "0.010")},
		Fitted:   []shim.Fitted{fitted("left", "1.00", "0.55"), fitted("right", "1.30")},
		OnHand:   []shim.Stock{{Piece: shim.Piece{Thickness: dec("1.20")}, Count: 2}, {Piece: shim.Piece{Thickness: dec("1.237"), Measured: true}}}}
}

// sixteen is the valves of one engine: 69 sizes, 30 buckets on hand, everything within spread thousandths.
func sixteen(spread int, u string) shim.Request {
	r := rand.New(rand.NewPCG(16, uint64(spread)))
	set := &spec.ShimSet{Key: "buckets", Unit: quantity.Millimetre, Decimals: 3}
	for t := 2000; t <= 3700; t += 25 {
		set.Ladder = append(set.Ladder, spec.Rung{Thickness: thousandths(t), SKU: fmt.Sprint("B", t)})
	}
	in := shim.Request{Unit: quantity.Millimetre, Sets: []shim.Set{{Shims: set}}}
	for v := range 16 {
		id := fmt.Sprintf("v%02d", v)
		set.Places = append(set.Places, at(id, 1, id+" -1"))
		s := play(id, "0.10", "0.16", "0.13", "")
		in.Measured = append(in.Measured, read(s, quantity.NewDecimal(int64(4+r.IntN(20)), 2).String(), u))
		in.Fitted = append(in.Fitted, shim.Fitted{Place: id, Known: true, Pieces: []shim.Piece{{Thickness: thousandths(2500 + r.IntN(spread)), Measured: true}}})
	}
	for range 30 {
		in.OnHand = append(in.OnHand, shim.Stock{Piece: shim.Piece{Thickness: thousandths((2500 + r.IntN(spread)) / 5 * 5), Measured: true}})
	}
	return in
}

// engine is 24 places: sixteen valves and four stacks of two sides, sharing one box.
func wholeEngine() shim.Request {
	in := sixteen(600, "")
	for n := range 4 {
		key := fmt.Sprintf("stack%d", n)
		s := stack(ladder(steps(50, 50+39*5, 5)...), "0.10", 3)
		s.Key = spec.Key(key)
		for i := range s.Places {
			s.Places[i].PerMM = []spec.Effect{{Spec: spec.Key(key + "/play"), Change: dec("-1")}}
		}
		in.Sets = append(in.Sets, shim.Set{Shims: s})
		in.Measured = append(in.Measured, read(play(key+"/play", "0.10", "0.40", "0.20", ""), "0.62", "0.01"))
		for _, id := range []string{"left", "right"} {
			f := fitted(id, "1.00")
			f.Set = spec.Key(key)
			in.Fitted = append(in.Fitted, f)
		}
	}
	for i := range in.Fitted[:16] {
		in.Fitted[i].Set = "buckets"
	}
	return in
}

func bench(b *testing.B, in shim.Request) {
	b.ReportAllocs()
	for b.Loop() {
		got, err := shim.New(b.Context(), in)
		if err != nil || !got.Proven || len(got.ToOrder) == 0 {
			b.Fatal(err, got.Outcome, got.Used)
		}
	}
}

func BenchmarkOnePlace(b *testing.B) {
	bench(b, shim.Request{Unit: quantity.Millimetre, Sets: []shim.Set{{Shims: setOf("set", ladder(steps(150, 250, 5)...), at("p", 1, "play -1"))}},
		Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.10", spec.NotBelow), "0.50", "0.01")}, Fitted: []shim.Fitted{fitted("p", "2.00")}})
}
func BenchmarkTwoSides(b *testing.B)         { bench(b, twoSides("0.10", true)) }
func BenchmarkTwoSidesNoLimit(b *testing.B)  { bench(b, twoSides("", true)) }
func BenchmarkTwoSidesExact(b *testing.B)    { bench(b, twoSides("0.10", false)) }
func BenchmarkSixteenValves(b *testing.B)    { bench(b, sixteen(1200, "")) }
func BenchmarkSixteenClose(b *testing.B)     { bench(b, sixteen(200, "")) }
func BenchmarkSixteenUncertain(b *testing.B) { bench(b, sixteen(600, "0.005")) }
func BenchmarkWholeEngine(b *testing.B)      { bench(b, wholeEngine()) }
func BenchmarkWholeEngineClose(b *testing.B) {
	in := wholeEngine()
	in.Objective = shim.Closest
	bench(b, in)
}
