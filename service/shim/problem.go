package shim

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// problem is a request on its grid, in an order that does not depend on the order of input.
type problem struct {
	in       Request
	grid     grid
	sets     []*set
	places   []*place // by set and id bytewise
	gauges   []*gauge // planned specs by key
	refused  []Refusal
	kinds    []*kind
	demand   demand
	goal     Objective
	g        int64 // class width in steps of specs; 0: none
	q2       int64 // twice the width of an offset class, in steps of thickness
	nodes    int
	left     int             // nodes that are left
	ctx      context.Context //nolint:containedctx // a problem lives as long as one call of New
	shelf    bool            // buy nothing
	packs    map[[4]int64][]*sums
	queue    queue
	alone    bool // there is one part only
	wearLook bool // a planned spec is past its own wear limit
}

type set struct {
	shims  *spec.ShimSet
	said   bool  // where it stands now
	now2   int64 // twice the offset now, in steps of thickness
	limit2 int64 // twice its limit; negative: none
	first  int   // places of the offset, -1: none or not in the plan
	second int
	has    bool
}

// place is one spot with what sits there.
type place struct {
	set      int
	of       *spec.Place
	state    *Fitted
	locked   bool
	held     bool // by a refused point
	bodies   []body
	worn     bool
	old      int64            // total of the fitted pieces, middle of zone
	change   []quantity.Exact // per gauge
	k        []int64          // per gauge: steps of the spec for a step of thickness
	rate     []float64        // per gauge: change as a float, for variances
	uses     []use
	over     int64 // most that a piece it can use is printed thicker than the middle of its zone; under 0: thinner at least
	stayOver int64 // so much are the fitted ones printed thicker together
	by       *byThickness
	from     []source
}

// use is a kind as seen from a place.
type use struct {
	kind  int
	p, m  int64
	fresh bool
	v     []int64 // what it adds to the variance of each gauge
}

func newProblem(ctx context.Context, in Request) *problem {
	p := &problem{ctx: ctx, in: in, packs: map[[4]int64][]*sums{}, nodes: cmp.Or(in.Nodes, DefaultNodes)}
	p.left = p.nodes
	for i := range in.Sets {
		p.sets = append(p.sets, &set{shims: in.Sets[i].Shims, said: in.Sets[i].HasOffset, first: -1, second: -1, limit2: -1})
	}
	slices.SortFunc(p.sets, func(a, b *set) int { return strings.Compare(string(a.shims.Key), string(b.shims.Key)) })
	for si, s := range p.sets {
		for pi := range s.shims.Places {
			p.places = append(p.places, &place{set: si, of: &s.shims.Places[pi]})
		}
	}
	slices.SortStableFunc(p.places, func(a, b *place) int {
		return cmp.Or(cmp.Compare(a.set, b.set), strings.Compare(a.of.ID, b.of.ID))
	})
	for i := range in.Fitted {
		f := &in.Fitted[i]
		if at := p.find(f.Set, f.Place); at >= 0 {
			p.places[at].state = f
			p.places[at].locked = f.Locked
		}
	}
	return p
}

// find is the place with that id in that set; with one set its key may be left out.
func (p *problem) find(key spec.Key, id string) int {
	for i, pl := range p.places {
		if pl.of.ID == id && (p.sets[pl.set].shims.Key == key || key == "" && len(p.sets) == 1) {
			return i
		}
	}
	return -1
}

// free reports whether the place may be filled anew.
func (pl *place) free() bool { return !pl.locked && !pl.held }

// changes is what a millimetre at the place changes of a spec.
func (pl *place) changes(key spec.Key) quantity.Exact {
	var sum quantity.Exact
	for _, e := range pl.of.PerMM {
		if e.Spec == key {
			sum = sum.Add(e.Change.Exact())
		}
	}
	return sum
}

func (pl *place) minPieces() int { return pl.of.MinPieces }
func (pl *place) maxPieces() int { return max(pl.of.MaxPieces, pl.of.MinPieces) }

// load reads pieces, stock and numbers, once it is known what is planned.
func (p *problem) load() error {
	for _, pl := range p.places {
		pl.change = make([]quantity.Exact, len(p.gauges))
		for j, g := range p.gauges {
			pl.change[j] = pl.changes(g.key)
			pl.rate = append(pl.rate, pl.change[j].Float64())
		}
		if pl.state == nil {
			continue
		}
		own := []*spec.ShimSet{p.sets[pl.set].shims}
		for _, in := range pl.state.Pieces {
			pl.bodies = append(pl.bodies, bodyOf(in, p.in.Unit, own))
			pl.worn = pl.worn || in.Worn
		}
		slices.SortStableFunc(pl.bodies, func(a, b body) int {
			return cmp.Or(-a.printed.Cmp(b.printed), -a.mid.Cmp(b.mid), cmp.Compare(a.standard, b.standard), comparePieces(a.piece, b.piece))
		})
	}
	p.aims()
	p.gather()
	if err := p.onGrid(); err != nil {
		return err
	}
	p.merge()
	p.offsets()
	p.see()
	return nil
}

// aims settles the demand, the objective and the widths of the classes.
func (p *problem) aims() {
	p.goal = p.in.Objective
	if p.goal == "" {
		p.goal = FewestNew
		if len(p.gauges) == 1 {
			p.goal = Closest
		}
	}
	p.demand = demand{explicit: p.in.HasMin, least: int64(math.RoundToEven(p.in.MinProbability * 1e12))}
	if !p.in.HasMin {
		p.demand.least = int64(math.RoundToEven(DefaultDemand(p.gauges[0].check) * 1e12))
	}
}

// DefaultDemand is the probability that an option must reach where nobody says: 0.977 with guard U, 0.95 with 1.65u,
// 0.5 under the simple rule.
func DefaultDemand(c judge.Check) float64 {
	switch rule, guard := cmp.Or(c.Rule, c.Policy.Rule), cmp.Or(c.Guard, c.Policy.Guard); {
	case rule == judge.Simple:
		return 0.5
	case guard == judge.Guard95:
		return 0.95
	}
	return 0.977
}

// width is the standard uncertainty of the readings alone, the largest of several, in whole nanometres.
func (p *problem) width() quantity.Exact {
	var nm int64
	for _, g := range p.gauges {
		if g.held.HasStandard {
			nm = max(nm, int64(math.RoundToEven(math.Min(g.held.Standard*g.perUnit.Float64()*1e6, 1e12))))
		}
	}
	return quantity.Frac(nm, 1_000_000)
}

// OffsetStep is the least width of a class of offsets: 0.01 mm.
func OffsetStep() quantity.Exact { return quantity.Frac(1, 100) }

func (p *problem) onGrid() error {
	width := p.width()
	class := width
	if class.Less(OffsetStep()) {
		class = OffsetStep()
	}
	thick := []quantity.Exact{class, quantity.Frac(1, 2)}
	for _, k := range p.kinds {
		thick = append(thick, k.printed, k.mid)
	}
	for _, pl := range p.places {
		for _, b := range pl.bodies {
			thick = append(thick, b.printed, b.mid)
		}
	}
	for i := range p.in.Sets {
		s := &p.in.Sets[i]
		thick = append(thick, millimetres(s.OffsetNow.Exact(), p.in.Unit))
		if s.Shims.Offset.HasLimit {
			thick = append(thick, millimetres(s.Shims.Offset.Limit.Exact(), s.Shims.Unit))
		}
	}
	var changes []quantity.Exact
	for _, pl := range p.places {
		changes = append(changes, pl.change...)
	}
	specs := []quantity.Exact{width}
	for _, g := range p.gauges {
		specs = append(specs, g.numbers()...)
	}
	var ok [3]bool
	p.grid.thick, ok[0] = common(1, thick)
	if !ok[0] {
		return tooFine()
	}
	per, ok1 := common(1, changes)
	p.grid.specs, ok[1] = lcm(p.grid.thick, 1)
	if !ok1 || p.grid.specs > math.MaxInt64/max(per, 1) {
		return tooFine()
	}
	if p.grid.specs, ok[2] = common(p.grid.thick*per, specs); !ok[1] || !ok[2] || !p.room(specs) {
		return tooFine()
	}
	p.g, p.q2 = p.grid.spec(width), 2*p.grid.thickness(class)
	for _, g := range p.gauges {
		g.place(&p.grid)
	}
	return nil
}

// room reports whether no sum that a search can form leaves 64 bits.
func (p *problem) room(specs []quantity.Exact) bool {
	thickest := 0.0
	for _, k := range p.kinds {
		thickest = math.Max(thickest, math.Max(k.mid.Float64(), k.printed.Float64()))
	}
	sum, steepest := 0.0, 1.0
	for _, pl := range p.places {
		sum += thickest * float64(pl.maxPieces())
		for _, b := range pl.bodies {
			sum += math.Max(b.mid.Float64(), b.printed.Float64())
		}
		for _, r := range pl.rate {
			steepest = math.Max(steepest, math.Abs(r))
		}
	}
	for _, x := range specs {
		sum += math.Abs(x.Float64())
	}
	for i := range p.in.Sets {
		sum += math.Abs(millimetres(p.in.Sets[i].OffsetNow.Exact(), p.in.Unit).Float64())
	}
	return 4*sum*steepest*float64(p.grid.specs)*float64(1+len(p.gauges)) < most
}
