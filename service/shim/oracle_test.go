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

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// The oracle below plans by trying every way of putting physical pieces into places, one by one, with big rationals and
// the ranking written down field by field. It shares nothing with the package but the request and judge.Judge.

type thing struct {
	printed, mid *big.Rat
	u            float64
	origin       int // 1 fitted, 2 on hand, 3 to order
	home, set    int
	sku          string
	unlimited    bool
}

type world struct {
	in     shim.Request
	places []wplace
	things []thing
	specs  []wspec
	sets   []shim.Set
	best   *big.Rat
	g      *big.Rat
}

type wplace struct {
	set      int
	of       spec.Place
	old      []thing
	worn     bool
	min, max int
}

type wspec struct {
	m                shim.Measured
	held             judge.Held
	lower, upper     *big.Rat
	value, low, high *big.Rat
	lo, hi, aim      *big.Rat
}

// way is one filling with its key.
type way struct {
	pieces  [][]thing
	unsure  bool
	p       int64
	out     bool
	past    bool
	d, off  *big.Rat
	fresh   int
	count   int
	total   *big.Rat
	v       float64
	kept    bool
	exists  bool
	replace bool
}

func rat(d quantity.Decimal) *big.Rat { return d.Exact().Rat() }
func zero() *big.Rat                  { return new(big.Rat) }
func sub(a, b *big.Rat) *big.Rat      { return new(big.Rat).Sub(a, b) }
func add(a, b *big.Rat) *big.Rat      { return new(big.Rat).Add(a, b) }

func thingOf(p shim.Piece) thing {
	t := thing{printed: rat(p.Thickness), mid: rat(p.Thickness), sku: p.SKU, home: -1, set: -1}
	switch {
	case p.HasStandard:
		t.u = p.Standard.Float64()
	case p.Measured || !p.HasTolerance:
	default:
		t.mid = add(t.mid, new(big.Rat).Mul(big.NewRat(1, 2), add(rat(p.Tolerance.Lower), rat(p.Tolerance.Upper))))
		t.u = (p.Tolerance.Upper.Float64() - p.Tolerance.Lower.Float64()) / math.Sqrt(12)
	}
	return t
}

func newWorld(in shim.Request) *world {
	w := &world{in: in, g: zero(), best: zero(), sets: slices.Clone(in.Sets)}
	slices.SortFunc(w.sets, func(a, b shim.Set) int { return strings.Compare(string(a.Shims.Key), string(b.Shims.Key)) })
	for i, s := range w.sets {
		places := slices.Clone(s.Shims.Places)
		slices.SortFunc(places, func(a, b spec.Place) int { return strings.Compare(a.ID, b.ID) })
		for _, p := range places {
			w.places = append(w.places, wplace{set: i, of: p, min: p.MinPieces, max: p.MaxPieces})
		}
		for _, r := range s.Shims.Ladder {
			t := thingOf(shim.Piece{Thickness: r.Thickness, Tolerance: r.Tolerance, HasTolerance: true, SKU: r.SKU})
			t.origin, t.set, t.unlimited = 3, i, true
			w.things = append(w.things, t)
		}
	}
	for _, f := range in.Fitted {
		for i := range w.places {
			pl := &w.places[i]
			if pl.of.ID != f.Place || f.Set != "" && w.sets[pl.set].Shims.Key != f.Set {
				continue
			}
			for _, p := range f.Pieces {
				t := thingOf(p)
				t.origin, t.home = 1, i
				pl.old = append(pl.old, t)
				pl.worn = pl.worn || p.Worn
				if !p.Worn {
					w.things = append(w.things, t)
				}
			}
		}
	}
	for _, s := range in.OnHand {
		for range max(1, s.Count) {
			t := thingOf(s.Piece)
			t.origin = 2
			w.things = append(w.things, t)
		}
	}
	measured := slices.Clone(in.Measured)
	slices.SortFunc(measured, func(a, b shim.Measured) int {
		return strings.Compare(string(a.Check.Spec.Key), string(b.Check.Spec.Key))
	})
	for _, m := range measured {
		w.specs = append(w.specs, w.specOf(m))
	}
	return w
}

func (w *world) specOf(m shim.Measured) wspec {
	held, because := judge.Hold(m.Check)
	if because != "" {
		panic(because)
	}
	s := m.Check.Spec
	z := wspec{m: m, held: held, value: held.Value.Rat(), low: held.AgainstLower.Rat(), high: held.AgainstUpper.Rat(), lo: held.Lowest.Rat(), hi: held.Highest.Rat()}
	if s.Band.HasLower {
		z.lower = rat(s.Band.Lower)
	}
	if s.Band.HasUpper {
		z.upper = rat(s.Band.Upper)
	}
	switch {
	case s.HasTarget:
		z.aim = rat(s.Target)
	case z.lower != nil && z.upper != nil:
		z.aim = new(big.Rat).Mul(big.NewRat(1, 2), add(z.lower, z.upper))
	case z.lower != nil:
		z.aim = z.lower
	default:
		z.aim = z.upper
	}
	if held.HasStandard {
		g := big.NewRat(int64(math.RoundToEven(held.Standard*1e6)), 1_000_000)
		if g.Cmp(w.g) > 0 {
			w.g = g
		}
	}
	return z
}

func (w *world) change(i, j int) *big.Rat {
	sum := zero()
	for _, e := range w.places[i].of.PerMM {
		if e.Spec == w.specs[j].m.Check.Spec.Key {
			sum.Add(sum, rat(e.Change))
		}
	}
	return sum
}

// every tries all ways; it is exponential and for small worlds only.
func (w *world) every() []*way {
	var all []*way
	pieces := make([][]thing, len(w.places))
	used := make([]bool, len(w.things))
	var choose func(i, from int)
	choose = func(i, from int) {
		if i == len(w.places) {
			all = append(all, w.weigh(pieces, false))
			return
		}
		pl := &w.places[i]
		if n := len(pieces[i]); n >= pl.min {
			choose(i+1, 0)
		}
		if len(pieces[i]) == pl.max {
			return
		}
		for n := from; n < len(w.things); n++ {
			t := w.things[n]
			if used[n] || t.set >= 0 && t.set != pl.set {
				continue
			}
			used[n] = !t.unlimited
			pieces[i] = append(pieces[i], t)
			choose(i, n)
			pieces[i] = pieces[i][:len(pieces[i])-1]
			used[n] = false
		}
	}
	var stays func(i int)
	stays = func(i int) { // which places with worn pieces stay whole
		if i == len(w.places) {
			choose(0, 0)
			return
		}
		stays(i + 1)
		if pl := &w.places[i]; pl.worn && len(pl.old) >= pl.min && len(pl.old) <= pl.max {
			pieces[i] = slices.Clone(pl.old)
			taken := []int{}
			for n, t := range w.things {
				if t.origin == 1 && t.home == i && !used[n] {
					used[n] = true
					taken = append(taken, n)
				}
			}
			wasMin, wasMax := pl.min, pl.max
			pl.min, pl.max = len(pl.old), len(pl.old)
			stays(i + 1)
			pl.min, pl.max = wasMin, wasMax
			for _, n := range taken {
				used[n] = false
			}
			pieces[i] = nil
		}
	}
	stays(0)
	return all
}

// from is 0 for a piece fitted here, 1 elsewhere, 2 on hand, 3 to order.
func (t thing) from(i int) int {
	if t.origin == 1 && t.home == i {
		return 0
	}
	return t.origin
}

// weigh works out what a filling predicts.
func (w *world) weigh(pieces [][]thing, kept bool) *way {
	y := &way{exists: true, d: zero(), off: zero(), total: zero(), p: 1e12, kept: kept}
	for i, list := range pieces {
		sorted := slices.Clone(list)
		slices.SortStableFunc(sorted, func(a, b thing) int {
			return cmp.Or(b.printed.Cmp(a.printed), a.from(i)-b.from(i), strings.Compare(a.sku, b.sku))
		})
		y.pieces = append(y.pieces, sorted)
		y.count += len(list)
		for _, t := range list {
			y.total.Add(y.total, t.printed)
			if t.origin == 3 {
				y.fresh++
			}
		}
	}
	grown := make([]*big.Rat, len(w.places))
	for i, pl := range w.places {
		grown[i] = zero()
		for _, t := range pieces[i] {
			grown[i].Add(grown[i], t.mid)
		}
		for _, t := range pl.old {
			grown[i].Sub(grown[i], t.mid)
		}
	}
	for j := range w.specs {
		w.weighSpec(y, j, pieces, grown)
	}
	for si, s := range w.sets {
		if s.Shims.Offset.Between[0] == "" {
			continue
		}
		off := rat(s.OffsetNow)
		for i, pl := range w.places {
			half := new(big.Rat).Mul(big.NewRat(1, 2), grown[i])
			if pl.set == si && pl.of.ID == s.Shims.Offset.Between[0] {
				off.Add(off, half)
			}
			if pl.set == si && pl.of.ID == s.Shims.Offset.Between[1] {
				off.Sub(off, half)
			}
		}
		off.Abs(off)
		if s.Shims.Offset.HasLimit && off.Cmp(rat(s.Shims.Offset.Limit)) > 0 {
			y.exists = false
		}
		y.off.Add(y.off, off)
	}
	return y
}

func (w *world) weighSpec(y *way, j int, pieces [][]thing, grown []*big.Rat) {
	z := &w.specs[j]
	shift := zero()
	for i := range w.places {
		shift.Add(shift, new(big.Rat).Mul(w.change(i, j), grown[i]))
	}
	v := w.variance(j, pieces, y.kept)
	y.v += v
	if z.lower != nil && add(z.low, shift).Cmp(z.lower) < 0 || z.upper != nil && add(z.high, shift).Cmp(z.upper) > 0 {
		y.exists = false
	}
	s := z.m.Check.Spec
	if z.held.PlacesCount && (add(z.lo, shift).Cmp(z.lower) < 0 || add(z.hi, shift).Cmp(z.upper) > 0) {
		y.out = true
	}
	dev := sub(add(z.value, shift), z.aim)
	if s.TargetPolicy == spec.NotBelow && dev.Sign() < 0 || s.TargetPolicy == spec.NotAbove && dev.Sign() > 0 {
		y.past = true
	}
	y.d.Add(y.d, dev.Abs(dev))
	if !z.held.HasStandard {
		return
	}
	p := int64(math.RoundToEven(phi(z, shift, math.Sqrt(z.held.Standard*z.held.Standard+v)) * 1e12))
	y.p = min(y.p, p)
	least := int64(math.RoundToEven(shim.DefaultDemand(z.m.Check) * 1e12))
	if w.in.HasMin {
		least = int64(math.RoundToEven(w.in.MinProbability * 1e12))
	}
	if p >= least {
		return
	}
	if !w.in.HasMin && v == 0 {
		c := z.m.Check
		c.Shift = quantity.FromRat(shift)
		if judge.Judge(c).Verdict == judge.Pass {
			return
		}
	}
	y.unsure = true
}

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
func (w *world) variance(j int, pieces [][]thing, kept bool) float64 {
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
		func(a, b thing, i int) int { return a.from(i) - b.from(i) },
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
		limits = limits && len(pl.old) >= pl.min && len(pl.old) <= pl.max
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
	for i, pl := range w.places {
		if !pl.worn {
			continue
		}
		for _, t := range y.pieces[i] {
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
