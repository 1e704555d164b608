package shim_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"endfloat/service/fault"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// hostile is the largest problem that a request can hold: 32 places, 32 pieces each, 500 sizes and 500 lines on hand
// without a common step, all places changing all specs.
func hostile(coupled bool) shim.Request {
	in := shim.Request{Unit: quantity.Millimetre, MaxOptions: 50}
	set := &spec.ShimSet{Key: "s", Unit: quantity.Millimetre, Decimals: 6}
	for i := range 500 {
		d := quantity.NewDecimal(int64(100_000+i*7919+i*i*13), 6)
		set.Ladder = append(set.Ladder, spec.Rung{Thickness: d, Tolerance: quantity.Between(dec("-0.01"), dec("0.003")), SKU: fmt.Sprint(i)})
		in.OnHand = append(in.OnHand, shim.Stock{Piece: shim.Piece{Thickness: quantity.NewDecimal(int64(130_001+i*7907+i*i*11), 6), Measured: true}, Count: 1000})
	}
	for i := range 32 {
		id := fmt.Sprintf("p%02d", i)
		p := spec.Place{ID: id, MinPieces: 0, MaxPieces: 32}
		for j := range 32 {
			if coupled && (i+j)%4 == 0 || i == j {
				p.PerMM = append(p.PerMM, spec.Effect{Spec: spec.Key(fmt.Sprintf("q%02d", j)), Change: quantity.NewDecimal(int64(-1000+j*3-i), 3)})
			}
		}
		set.Places = append(set.Places, p)
		in.Measured = append(in.Measured, read(play(fmt.Sprintf("q%02d", i), "0.10", "0.40", "0.20", ""), "0.5", "0.02"))
		in.Fitted = append(in.Fitted, fitted(id, "1.00", "0.5", "0.25"))
	}
	in.Sets = []shim.Set{{Shims: set}}
	return in
}

// TestHostile ends by its count of nodes, whatever it is asked.
func TestHostile(t *testing.T) {
	t.Parallel()
	for _, coupled := range []bool{false, true} {
		in := hostile(coupled)
		in.Nodes = 200_000
		got, err := shim.New(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		if got.Proven || got.Used > in.Nodes {
			t.Errorf("coupled %t: proven %t with %d nodes", coupled, got.Proven, got.Used)
		}
	}
}

// TestGivenUp gives no half plan.
func TestGivenUp(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	if _, err := shim.New(ctx, hostile(true)); !errors.Is(err, context.DeadlineExceeded) {
		t.Error(err)
	}
}

// TestTooFine refuses numbers that have no common grid in 64 bits, rather than rounding them.
func TestTooFine(t *testing.T) {
	t.Parallel()
	_, err := shim.New(t.Context(), shim.Request{Unit: quantity.Millimetre,
		Sets:     []shim.Set{{Shims: setOf("s", ladder("1.000000001"), at("p", 1, "play -0.123456789"))}},
		Measured: []shim.Measured{read(play("play", "0.1", "0.4", "", ""), "0.123456789", "")}, Fitted: []shim.Fitted{fitted("p", "123.000000001")}})
	var f *fault.Error
	if !errors.As(err, &f) || f.Code != shim.TooFine || f.Kind != fault.Invalid {
		t.Error(err)
	}
}

// hostileValves is as many valves as a request can hold, with 500 sizes and 500 lines on hand without a common step.
func hostileValves() shim.Request {
	in := hostile(false)
	s := in.Sets[0].Shims
	for i := range s.Places {
		s.Places[i].MinPieces, s.Places[i].MaxPieces = 1, 1
		in.Fitted[i].Pieces = in.Fitted[i].Pieces[:1]
	}
	for i := range in.OnHand {
		in.OnHand[i].Count = 1
	}
	return in
}

// TestHostileValves proves the best of as many valves as a request can hold, and takes no piece twice.
func TestHostileValves(t *testing.T) {
	t.Parallel()
	for _, goal := range []shim.Objective{shim.FewestNew, shim.Closest} {
		in := hostileValves()
		in.Objective = goal
		got := plan(t, in)
		if len(got.ToOrder) != in.MaxOptions || got.Used > 3_000_000 {
			t.Errorf("%s: %d options with %d nodes", goal, len(got.ToOrder), got.Used)
		}
		for _, o := range got.ToOrder {
			taken := map[quantity.Decimal]bool{}
			for _, f := range o.Places {
				for _, c := range f.Pieces {
					if c.From == shim.FromOnHand && taken[c.Thickness] {
						t.Errorf("%s: rank %d has the only %s twice", goal, o.Rank, c.Thickness)
					}
					taken[c.Thickness] = c.From == shim.FromOnHand
				}
			}
		}
	}
}

// BenchmarkHostileValves proves the best of all of it.
func BenchmarkHostileValves(b *testing.B) {
	for _, goal := range []shim.Objective{shim.FewestNew, shim.Closest} {
		b.Run(string(goal), func(b *testing.B) {
			in := hostileValves()
			in.Objective = goal
			bench(b, in)
		})
	}
}

func BenchmarkHostile(b *testing.B) {
	for _, coupled := range []bool{false, true} {
		b.Run(fmt.Sprint(coupled), func(b *testing.B) {
			b.ReportAllocs()
			in := hostile(coupled)
			for b.Loop() {
				if _, err := shim.New(b.Context(), in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
