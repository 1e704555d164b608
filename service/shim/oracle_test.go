package shim_test

import (
	"cmp"
	"math"
	"math/big"
	"slices"
	"strings"

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// The oracle here and in oracle_rank_test.go plans by trying every way of putting physical pieces into places, one by
// one, with big rationals and the ranking written down field by field. It shares nothing with the package but the
// request and judge.Judge.

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
	locked   bool
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
	pieces [][]thing
	unsure bool
	p      int64
	out    bool
	past   bool
	d, off *big.Rat
	fresh  int
	count  int
	total  *big.Rat
	v      float64
	kept   bool
	exists bool
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
			pl.locked = f.Locked
			for _, p := range f.Pieces {
				t := thingOf(p)
				t.origin, t.home = 1, i
				pl.old = append(pl.old, t)
				pl.worn = pl.worn || p.Worn
				if !p.Worn && !f.Locked {
					w.things = append(w.things, t)
				}
			}
		}
	}
	for _, s := range in.OnHand {
		for range max(1, s.Count) {
			t := thingOf(s.Piece)
			t.origin = 2
			for i := range w.sets {
				if w.sets[i].Shims.Key == s.Set {
					t.set = i
				}
			}
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
		if pl.locked {
			pieces[i] = pl.old
			choose(i+1, 0)
			pieces[i] = nil
			return
		}
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
		if pl := &w.places[i]; pl.worn && !pl.locked && len(pl.old) >= pl.min && len(pl.old) <= pl.max {
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
		if w.places[i].locked {
			continue
		}
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
	share := phi(z, shift, math.Sqrt(z.held.Standard*z.held.Standard+v))
	if z.held.Bracket {
		share = judge.Share(z.held, quantity.FromRat(shift), math.Sqrt(v))
	}
	p := int64(math.RoundToEven(share * 1e12))
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
