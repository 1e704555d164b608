package shim_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

func rapidPlan(t *rapid.T, in shim.Request) *shim.Plan {
	got, err := shim.New(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func both(p *shim.Plan) []string {
	var out []string
	for _, list := range [][]shim.Option{p.ToOrder, p.FitNow, p.Rejected} {
		for _, o := range list {
			out = append(out, describe(o))
		}
		out = append(out, "")
	}
	return out
}

// TestOrderOfInput shuffles everything that a request lists: the plan stays the same.
func TestOrderOfInput(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		in := draw(rt)
		want := rapidPlan(rt, in)
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		shuffle := func(n int, swap func(i, j int)) { r.Shuffle(n, swap) }
		in.Sets = slices.Clone(in.Sets)
		for i := range in.Sets {
			s := *in.Sets[i].Shims
			s.Ladder, s.Places = slices.Clone(s.Ladder), slices.Clone(s.Places)
			shuffle(len(s.Ladder), func(i, j int) { s.Ladder[i], s.Ladder[j] = s.Ladder[j], s.Ladder[i] })
			shuffle(len(s.Places), func(i, j int) { s.Places[i], s.Places[j] = s.Places[j], s.Places[i] })
			in.Sets[i].Shims = &s
		}
		shuffle(len(in.Sets), func(i, j int) { in.Sets[i], in.Sets[j] = in.Sets[j], in.Sets[i] })
		shuffle(len(in.Measured), func(i, j int) { in.Measured[i], in.Measured[j] = in.Measured[j], in.Measured[i] })
		shuffle(len(in.Fitted), func(i, j int) { in.Fitted[i], in.Fitted[j] = in.Fitted[j], in.Fitted[i] })
		shuffle(len(in.OnHand), func(i, j int) { in.OnHand[i], in.OnHand[j] = in.OnHand[j], in.OnHand[i] })
		got := rapidPlan(rt, in)
		if d := cmp.Diff(both(want), both(got)); d != "" {
			rt.Fatal(d)
		}
		if d := cmp.Diff(lines(want.ToOrder), lines(got.ToOrder)); d != "" {
			rt.Fatal(d)
		}
	})
}

// TestMoreStock adds pieces on hand: under the key of the larger problem its first option is never worse than the first
// one of the smaller, which the larger problem still holds.
func TestMoreStock(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		in := draw(rt)
		in.Objective, in.MaxOptions = shim.FewestNew, 50
		less := rapidPlan(rt, in)
		in.OnHand = append(slices.Clone(in.OnHand), shim.Stock{Piece: piece(rt, false), Count: 2})
		more := rapidPlan(rt, in)
		if len(less.ToOrder) == 0 {
			return
		}
		if len(more.ToOrder) == 0 {
			rt.Fatal("more stock, and no option is left")
		}
		a, b := less.ToOrder[0], more.ToOrder[0]
		switch {
		case a.Meets && !b.Meets:
			rt.Fatalf("more stock, and less sure: %s, then %s", describe(a), describe(b))
		case a.Meets == b.Meets && !a.Meets && b.Least < a.Least-1e-12:
			rt.Fatalf("more stock, and less probable: %s, then %s", describe(a), describe(b))
		case a.Meets && a.PlaceOut == b.PlaceOut && a.PastAim == b.PastAim && b.NewPieces > a.NewPieces:
			rt.Fatalf("more stock, and more to buy: %s, then %s", describe(a), describe(b))
		}
	})
}

// TestShifted moves play, band and aim together: the same pieces rank in the same order.
func TestShifted(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		in := draw(rt)
		want := rapidPlan(rt, in)
		by := int64(rapid.IntRange(1, 40).Draw(rt, "by"))
		move := func(d quantity.Decimal) quantity.Decimal { return quantity.NewDecimal(d.Coef()+by, d.Places()) }
		in.Measured = slices.Clone(in.Measured)
		for i := range in.Measured {
			m := &in.Measured[i]
			s := *m.Check.Spec
			s.Band.Lower, s.Band.Upper = move(s.Band.Lower), move(s.Band.Upper)
			if s.HasTarget {
				s.Target = move(s.Target)
			}
			s.Plausible = quantity.Between(dec("-100"), dec("100"))
			m.Check.Spec = &s
			m.Check.Readings = slices.Clone(m.Check.Readings)
			for n := range m.Check.Readings {
				r := &m.Check.Readings[n]
				r.Value, r.Blades = move(r.Value), slices.Clone(r.Blades)
				for b := range r.Blades {
					r.Blades[b].Size = move(r.Blades[b].Size)
				}
			}
		}
		if got := rapidPlan(rt, in); !slices.Equal(both(want), both(got)) {
			rt.Fatal(cmp.Diff(both(want), both(got)))
		}
	})
}

// TestWhatStaysIsCertain: a place that keeps its pieces adds no uncertainty, however coarsely they are known.
func TestWhatStaysIsCertain(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		in := draw(rt)
		for _, o := range rapidPlan(rt, in).ToOrder {
			moved := map[spec.Key]bool{}
			for _, f := range o.Places {
				if !f.Changed {
					continue
				}
				for _, s := range in.Sets {
					for _, p := range s.Shims.Places {
						if s.Shims.Key == f.Set && p.ID == f.Place {
							for _, e := range p.PerMM {
								moved[e.Spec] = true
							}
						}
					}
				}
			}
			for _, pr := range o.Predicted {
				if !moved[pr.Spec.Key] && pr.HasStandard {
					for _, m := range in.Measured {
						if held, _ := judge.Hold(m.Check); m.Check.Spec.Key == pr.Spec.Key && pr.Standard != held.Standard {
							rt.Fatalf("%s: u is %v and nothing moved", describe(o), pr.Standard)
						}
					}
				}
			}
		}
	})
}

// TestFewerOptions asks for fewer options: they are the first of those that a longer list has, however early what cannot
// enter a short list is given up.
func TestFewerOptions(t *testing.T) {
	t.Parallel()
	prefix := func(t rapid.TB, in shim.Request, few, many int) {
		in.MaxOptions = many
		long, err := shim.New(context.Background(), in)
		in.MaxOptions = few
		short, err2 := shim.New(context.Background(), in)
		if err != nil || err2 != nil || !long.Proven || !short.Proven {
			t.Fatal(err, err2, long.Proven, short.Proven)
		}
		for _, l := range [][2][]shim.Option{{short.ToOrder, long.ToOrder}, {short.FitNow, long.FitNow}} {
			if want := lines(l[1]); !slices.Equal(lines(l[0]), want[:min(few, len(want))]) {
				t.Fatalf("%d options: %s", few, cmp.Diff(want, lines(l[0])))
			}
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		prefix(rt, draw(rt), rapid.IntRange(1, 5).Draw(rt, "few"), 50)
	})
	for seed := range uint64(200) {
		prefix(t, mixed(seed), 2, 50)
		prefix(t, mixed(seed), 8, 50)
	}
	for seed := range uint64(4) {
		for _, u := range []string{"", "0.01"} {
			in := andStacks(crowded(seed, 200, 5, u), seed)
			in.Objective = shim.Closest
			prefix(t, in, 4, 12)
		}
	}
}

// mixed is two sides of up to three pieces, old and new ones of about the same sizes, so that many options tie.
func mixed(seed uint64) shim.Request {
	r := rand.New(rand.NewPCG(seed, 3))
	size := func(least, steps int) string { return hundredth(int64(least + 5*r.IntN(steps))).String() }
	rungs := ladder(steps(50, 65+5*r.IntN(8), 5)...)
	if r.IntN(2) == 0 {
		for i := range rungs {
			rungs[i].Tolerance = quantity.Between(dec("-0.02"), dec("0"))
		}
	}
	in := shim.Request{Unit: quantity.Millimetre, Sets: []shim.Set{{Shims: stack(rungs, []string{"", "0.10"}[r.IntN(2)], 3)}},
		Measured: []shim.Measured{read(play("play", "0.08", "0.35", "0.20", ""), size(20, 20), []string{"", "0.02"}[r.IntN(2)])},
		Fitted:   []shim.Fitted{fitted("left", size(50, 10), size(50, 10)), fitted("right", size(50, 10))}}
	for range r.IntN(5) {
		in.OnHand = append(in.OnHand, shim.Stock{Piece: shim.Piece{Thickness: dec(size(50, 14)), Measured: true}, Count: 1 + r.IntN(2)})
	}
	in.Objective = []shim.Objective{shim.Closest, shim.FewestNew}[r.IntN(2)]
	return in
}
