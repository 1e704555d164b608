package shim_test

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/shim"
)

// phi is the share of a normal error inside the limits.
func phi(z *wspec, shift *big.Rat, u float64) float64 {
	cdf := func(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }
	from, to := 0.0, 1.0
	float := func(r *big.Rat) float64 { f, _ := r.Float64(); return f }
	if z.lower != nil {
		from = cdf(float(sub(z.lower, add(z.low, shift))) / u)
	}
	if z.upper != nil {
		to = cdf(float(sub(z.upper, add(z.high, shift))) / u)
	}
	return to - from
}

// variance is Σ ((change after − change before) · u)² over the physical pieces.
func (w *world) variance(j int, pieces [][]thing, _ bool) float64 {
	c := func(i int) float64 { f, _ := w.change(i, j).Float64(); return f }
	v := 0.0
	left := make([][]thing, len(w.places))
	for i, pl := range w.places {
		left[i] = slices.Clone(pl.old)
	}
	for i, list := range pieces {
		for _, t := range list {
			before := 0.0
			if t.origin == 1 {
				before = c(t.home)
				at := slices.IndexFunc(left[t.home], func(o thing) bool { return o.printed.Cmp(t.printed) == 0 && o.mid.Cmp(t.mid) == 0 && o.u == t.u })
				left[t.home] = slices.Delete(left[t.home], at, at+1)
			}
			v += (c(i) - before) * (c(i) - before) * t.u * t.u
		}
	}
	for i, list := range left {
		for _, t := range list {
			v += c(i) * c(i) * t.u * t.u
		}
	}
	return v
}

func (y *way) name() string {
	var b strings.Builder
	for _, list := range y.pieces {
		b.WriteString("|")
		for _, t := range list {
			b.WriteString(" " + t.printed.FloatString(3))
		}
	}
	return b.String()
}

// compare is the order of the ranking.
func (w *world) compare(a, b *way) int {
	yes := func(x bool) int {
		if x {
			return 1
		}
		return 0
	}
	if c := yes(a.unsure) - yes(b.unsure); c != 0 {
		return c
	}
	if a.unsure {
		if c := cmp.Compare(b.p, a.p); c != 0 {
			return c
		}
	}
	if c := cmp.Or(yes(a.out)-yes(b.out), yes(a.past)-yes(b.past)); c != 0 {
		return c
	}
	goal := w.in.Objective
	if goal == "" {
		goal = shim.FewestNew
		if len(w.specs) == 1 {
			goal = shim.Closest
		}
	}
	var c int
	if goal == shim.Closest {
		c = cmp.Or(w.class(a).Cmp(w.class(b)), w.offClass(a).Cmp(w.offClass(b)), a.fresh-b.fresh, a.count-b.count, a.d.Cmp(b.d))
	} else {
		c = cmp.Or(a.fresh-b.fresh, a.d.Cmp(b.d), a.off.Cmp(b.off), a.count-b.count)
	}
	if c = cmp.Or(c, yes(b.kept)-yes(a.kept), b.total.Cmp(a.total)); c != 0 {
		return c
	}
	for i := range a.pieces {
		ta, tb := zero(), zero()
		for _, t := range a.pieces[i] {
			ta.Add(ta, t.printed)
		}
		for _, t := range b.pieces[i] {
			tb.Add(tb, t.printed)
		}
		if c := tb.Cmp(ta); c != 0 {
			return c
		}
		for n := range min(len(a.pieces[i]), len(b.pieces[i])) {
			if c := b.pieces[i][n].printed.Cmp(a.pieces[i][n].printed); c != 0 {
				return c
			}
		}
	}
	if c := cmp.Compare(math.Round(a.v*1e14), math.Round(b.v*1e14)); c != 0 {
		return c
	}
	for _, field := range []func(a, b thing, i int) int{
		func(a, b thing, i int) int { return a.from(w.free(i)) - b.from(w.free(i)) },
		func(a, b thing, _ int) int { return strings.Compare(a.sku, b.sku) },
	} {
		for i := range a.pieces {
			for n := range min(len(a.pieces[i]), len(b.pieces[i])) {
				if c := field(a.pieces[i][n], b.pieces[i][n], i); c != 0 {
					return c
				}
			}
		}
	}
	return a.off.Cmp(b.off)
}

// free is the place of the n-th filling of a way.
func (w *world) free(n int) int {
	for i, pl := range w.places {
		if pl.locked {
			continue
		}
		if n--; n < 0 {
			return i
		}
	}
	panic("no such place")
}

func (w *world) class(y *way) *big.Rat {
	if w.g.Sign() == 0 {
		return y.d
	}
	q := new(big.Rat).Quo(sub(y.d, w.best), w.g)
	n := new(big.Int).Neg(new(big.Int).Div(new(big.Int).Neg(q.Num()), q.Denom())) // ceiling
	n.Sub(n, big.NewInt(1))
	if n.Sign() < 0 {
		n.SetInt64(0)
	}
	return new(big.Rat).SetInt(n)
}

func (w *world) offClass(y *way) *big.Rat {
	step := big.NewRat(1, 100)
	if w.g.Cmp(step) > 0 {
		step = w.g
	}
	q := new(big.Rat).Quo(y.off, step)
	return new(big.Rat).SetInt(new(big.Int).Div(q.Num(), q.Denom()))
}

// rank lists the best ways, one for each filling.
func (w *world) rank(shelf bool, k int) (list []*way, all []*way) {
	kept := make([][]thing, len(w.places))
	limits := true
	for i, pl := range w.places {
		kept[i] = pl.old
		limits = limits && (pl.locked || len(pl.old) >= pl.min && len(pl.old) <= pl.max)
	}
	stay := w.weigh(kept, true)
	stay.exists = stay.exists && limits
	byName := map[string]*way{}
	ways := []*way{}
	for _, y := range w.every() {
		if !y.exists || y.name() == stay.name() && !w.replacesWorn(y) {
			continue
		}
		ways = append(ways, y)
	}
	if stay.exists {
		ways = append(ways, stay)
	}
	w.settle(ways)
	for _, y := range ways {
		if shelf && y.fresh > 0 {
			continue
		}
		name := y.name() + fmt.Sprint(y.kept)
		if o := byName[name]; o == nil || w.compare(y, o) < 0 {
			byName[name] = y
		}
	}
	for _, y := range byName {
		list = append(list, y)
	}
	slices.SortFunc(list, w.compare)
	return list[:min(k, len(list))], ways
}

func (w *world) replacesWorn(y *way) bool {
	at := -1
	for i, pl := range w.places {
		if pl.locked {
			continue
		}
		if at++; !pl.worn {
			continue
		}
		for _, t := range y.pieces[at] {
			if t.origin != 1 || t.home != i {
				return true
			}
		}
	}
	return false
}

// settle finds d_best.
func (w *world) settle(ways []*way) {
	w.best = zero()
	for tier := range 3 {
		var best *big.Rat
		for _, y := range ways {
			if tier < 2 && y.unsure || tier == 0 && (y.out || y.past) {
				continue
			}
			if best == nil || y.d.Cmp(best) < 0 {
				best = y.d
			}
		}
		if best != nil {
			w.best = best
			return
		}
	}
}

// describe is a way as the package's options are described.
func (w *world) describe(y *way) string {
	return fmt.Sprintf("%s new %d d %s off %s unsure %t out %t past %t p %d", y.name(), y.fresh, y.d.FloatString(6), y.off.FloatString(6), y.unsure, y.out, y.past, y.p/1e6)
}

func describe(o shim.Option) string {
	var b strings.Builder
	for _, f := range o.Places {
		if f.Kept {
			continue
		}
		b.WriteString("|")
		for _, c := range f.Pieces {
			b.WriteString(" " + rat(c.Thickness).FloatString(3))
		}
	}
	d, off, p := zero(), zero(), 1.0
	for _, pr := range o.Predicted {
		d.Add(d, pr.Deviation.Abs().Rat())
		if pr.HasStandard {
			p = min(p, pr.Probability)
		}
	}
	for _, f := range o.Offsets {
		off.Add(off, f.Value.Abs().Rat())
	}
	return fmt.Sprintf("%s new %d d %s off %s unsure %t out %t past %t p %d", b.String(), o.NewPieces, d.FloatString(6), off.FloatString(6), !o.Meets, o.PlaceOut, o.PastAim, int64(math.RoundToEven(p*1e12))/1e6)
}

// TestOracle holds the ranks 1 to k of small problems of every shape against trying everything.
func TestOracle(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		in := draw(rt)
		compareWithOracle(rt, in)
	})
}

func compareWithOracle(t rapid.TB, in shim.Request) {
	got, err := shim.New(context.Background(), in)
	if err != nil {
		t.Fatal(err)
	}
	w := newWorld(in)
	list, _ := w.rank(false, 7)
	held, _ := w.rank(true, 7)
	for _, c := range []struct {
		name string
		want []*way
		got  []shim.Option
	}{{"to_order", list, got.ToOrder}, {"fit_now", held, got.FitNow}} {
		var want, have []string
		for _, y := range c.want {
			if !y.kept && len(want) < 6 {
				want = append(want, w.describe(y))
			}
		}
		for _, o := range c.got {
			have = append(have, describe(o))
		}
		if !slices.Equal(want, have) {
			t.Fatalf("%s:\nwant %s\n got %s\n", c.name, strings.Join(want, "\n     "), strings.Join(have, "\n     "))
		}
	}
	outcome := shim.NoneInBand
	if len(list) > 0 {
		switch outcome = shim.Change; {
		case list[0].unsure:
			outcome = shim.NoneSure
		case list[0].kept:
			outcome = shim.Leave
		}
	}
	if got.Outcome != outcome || !got.Proven {
		t.Fatalf("outcome %s, want %s; proven %t", got.Outcome, outcome, got.Proven)
	}
}
