package shim

import (
	"math"

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Thickness is the total of the adjustable pieces that one spec accepts, in mm, both ends inside, and the total that
// would meet its aim.
type Thickness struct {
	Spec         spec.Key
	Places       []PlaceRef
	Lower, Upper judge.Limit
	Ideal        quantity.Exact
	Now          quantity.Exact
}

// Practical is the value nearest the aim at which the demand is met with the uncertainty of the reading alone.
type Practical struct {
	Spec  *spec.Spec
	Value quantity.Exact
}

// Sensitivity says what one step of thickness more at a place changes.
type Sensitivity struct {
	PlaceRef
	Step      quantity.Exact // mm
	Changes   []Effect
	Offset    quantity.Exact // mm, positive towards the second place
	Towards   string         // the place that the stack moves to
	HasOffset bool
}

// Effect is the change of one spec, in its unit.
type Effect struct {
	Spec   *spec.Spec
	Change quantity.Exact
}

// OrderLine is one size to buy for the option that is ranked first.
type OrderLine struct {
	Set spec.Key
	Chosen
	Count int
}

// Grind is a piece that could be ground to the ideal thickness, where the source allows it.
type Grind struct {
	PlaceRef
	To   quantity.Exact // mm
	From Chosen
}

// common is the change per mm that all free places share in the one planned spec.
func (p *problem) common() (change quantity.Exact, ok bool) {
	if len(p.gauges) != 1 {
		return change, false
	}
	for _, pl := range p.places {
		if !pl.free() {
			continue
		}
		if ok && !change.Equal(pl.change[0]) {
			return change, false
		}
		change, ok = pl.change[0], true
	}
	return change, ok && change.Sign() != 0
}

func (p *problem) thickness() *Thickness {
	change, ok := p.common()
	if !ok {
		return nil
	}
	g := p.gauges[0]
	t := &Thickness{Spec: g.key}
	for _, pl := range p.places {
		if pl.free() {
			t.Places = append(t.Places, PlaceRef{p.sets[pl.set].shims.Key, pl.of.ID})
			t.Now = t.Now.Add(p.grid.thickOf(pl.old))
		}
	}
	at := func(shift quantity.Exact) quantity.Exact { return t.Now.Add(shift.Mul(g.perUnit).Quo(change)) }
	if g.hasLower {
		t.Lower = judge.Limit{At: at(g.held.Lower.At.Sub(g.held.AgainstLower)), Has: true}
	}
	if g.hasUpper {
		t.Upper = judge.Limit{At: at(g.held.Upper.At.Sub(g.held.AgainstUpper)), Has: true}
	}
	if change.Sign() < 0 {
		t.Lower, t.Upper = t.Upper, t.Lower
	}
	if t.Upper.Has && t.Upper.At.Sign() < 0 {
		return nil
	}
	if t.Lower.Has && t.Lower.At.Sign() < 0 {
		t.Lower.At = quantity.Exact{}
	}
	t.Ideal = at(g.aimExact.Sub(g.held.Value))
	return t
}

// practical finds the nearest value to the aim that meets the demand, on a grid of a hundredth of the last digit, towards
// the middle of the band. It is nil where no value meets it or there is more than one spec.
func (p *problem) practical() *Practical {
	if len(p.gauges) != 1 {
		return nil
	}
	g := p.gauges[0]
	fine := quantity.NewDecimal(1, min(g.spec.Decimals+2, 9)).Exact()
	meets := func(value quantity.Exact) bool { return p.meetsAt(g, value) }
	aim := g.aimExact
	if meets(aim) {
		return &Practical{g.spec, aim}
	}
	for _, dir := range inward(g) {
		span := g.span()
		far := math.Min(math.Ceil(span/fine.Float64()), 1e7)
		steps := int64(far)
		if good := firstMet(steps, func(n int64) bool { return meets(aim.Add(fine.MulInt(n * dir))) }); good > 0 {
			return &Practical{g.spec, aim.Add(fine.MulInt(good*dir)).Print(g.spec.Decimals, 2).Exact()}
		}
	}
	return nil
}

// firstMet is the least n from 1 to steps that meets, 0 for none: the demand is met on one stretch at most, which a
// coarse look finds and a bisection pins down.
func firstMet(steps int64, meets func(int64) bool) int64 {
	const looks = 64
	last := int64(0)
	for i := int64(1); i <= looks; i++ {
		n := (steps*i + looks - 1) / looks
		if n == last {
			continue
		}
		if !meets(n) {
			last = n
			continue
		}
		for low := last + 1; low < n; {
			if mid := (low + n) / 2; meets(mid) {
				n = mid
			} else {
				low = mid + 1
			}
		}
		return n
	}
	return 0
}

// inward is the ways to go from the aim: only forwards where the policy forbids one side, else to the wider side first.
func inward(g *gauge) []int64 {
	switch {
	case g.policy == spec.NotBelow:
		return []int64{1}
	case g.policy == spec.NotAbove:
		return []int64{-1}
	case g.hasUpper && (!g.hasLower || g.aimExact.Sub(g.held.Lower.At).Cmp(g.held.Upper.At.Sub(g.aimExact)) > 0):
		return []int64{-1, 1}
	}
	return []int64{1, -1}
}

// span is how far from the aim a value may lie at most.
func (g *gauge) span() float64 {
	far := 20*g.held.Standard + 20*math.Abs(g.held.High-g.held.Low)
	if g.hasLower && g.hasUpper {
		far = math.Max(far/20, g.held.Upper.At.Sub(g.held.Lower.At).Float64())
	}
	return far
}

// meetsAt reports whether a value meets the demand with the reading's own uncertainty.
func (p *problem) meetsAt(g *gauge, value quantity.Exact) bool {
	shift := value.Sub(g.held.Value)
	if g.hasLower && g.held.AgainstLower.Add(shift).Less(g.held.Lower.At) || g.hasUpper && g.held.Upper.At.Less(g.held.AgainstUpper.Add(shift)) {
		return false
	}
	if !g.held.HasStandard {
		return true
	}
	u := g.held.Standard
	if g.held.Bracket {
		u = 0
	}
	share := judge.Share(g.held, shift, u)
	if share >= float64(p.demand.least)/1e12 {
		return true
	}
	if p.demand.explicit || share < 0.5 { // nothing that is as likely out passes
		return false
	}
	c := g.check
	c.Shift = shift
	return judge.Judge(c).Verdict == judge.Pass
}
