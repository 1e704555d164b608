package shim

import (
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Option is one filling of the places with what it predicts.
type Option struct {
	Rank      int
	Places    []Filling
	Predicted []Prediction
	Offsets   []Offset
	NewPieces int
	Pieces    int
	Meets     bool // the demand
	PlaceOut  bool
	PastAim   bool
	Least     float64 // least probability of the specs; 1 where none has an uncertainty
	Why       []note.Note
}

// Filling is the adjustable pieces of one place, thickest first from the face it lies against.
type Filling struct {
	Set     spec.Key
	Place   string
	Against string
	Pieces  []Chosen
	Changed bool
	Kept    bool // locked, or held because a spec that it changes is not planned
}

// Chosen is one piece of an option. Thickness is the stated one, in the unit of the request; Shown is that for an eye, in
// the Digits of its set where it was converted. Stated is what the ladder or the caller says, in unit StatedIn.
type Chosen struct {
	Thickness quantity.Decimal
	Shown     quantity.Decimal
	Stated    quantity.Decimal
	StatedIn  quantity.Unit
	From      Origin
	SKU       string
	Home      *PlaceRef // where it is fitted now, if that is another place
	Worn      bool
}

// Offset is where the stack of a set would stand, in mm.
type Offset struct {
	Set   spec.Key
	Value quantity.Exact
}

// Prediction is what a spec would read, in its own unit.
type Prediction struct {
	Spec        *spec.Spec
	Value       quantity.Exact
	Lowest      quantity.Exact
	Highest     quantity.Exact
	Standard    float64
	HasStandard bool
	Probability float64
	Deviation   quantity.Exact
	Verdict     judge.Verdict
	Because     string
	Position    judge.Position
	Hot         quantity.Exact
	HasHot      bool
	Miss        quantity.Exact // how far outside the band; 0 inside
	Moved       bool           // the option changes it
}

// present shows a candidate. Pieces of one kind are handed out in the order of the places, lowest SKU first.
func (p *problem) present(c *candidate) *Option {
	t := &c.tally
	o := &Option{NewPieces: t.fresh, Pieces: t.pieces, Meets: !t.unsure, PlaceOut: t.placeOut, PastAim: t.pastAim}
	taken := make([]int, len(p.kinds))
	shift := make([]int64, len(p.gauges))
	v := make([]int64, len(p.gauges))
	added := map[int]int64{}
	for _, f := range c.fills {
		pl := p.places[f.at]
		fl := Filling{Set: p.sets[pl.set].shims.Key, Place: pl.of.ID, Against: pl.of.Against}
		m := p.chosen(&fl, f, taken, v)
		fl.Changed = !p.stays(f)
		added[f.at] = m - pl.old
		for j := range p.gauges {
			shift[j] += pl.k[j] * (m - pl.old)
		}
		o.Places = append(o.Places, fl)
	}
	if len(c.fills) == p.frees() {
		p.kept(o)
	}
	o.Least = 1
	for j, g := range p.gauges {
		pr := p.predict(g, shift[j], v[j])
		pr.Moved = shift[j] != 0
		if pr.HasStandard {
			o.Least = min(o.Least, pr.Probability)
		}
		o.Predicted = append(o.Predicted, pr)
	}
	for _, s := range p.sets {
		if s.has {
			twice := s.now2 + added[s.first] - added[s.second]
			o.Offsets = append(o.Offsets, Offset{s.shims.Key, p.grid.thickOf(twice).DivInt(2)})
		}
	}
	o.Why = p.why(o, t)
	return o
}

// frees is how many places may be filled anew.
func (p *problem) frees() (n int) {
	for _, pl := range p.places {
		if pl.free() {
			n++
		}
	}
	return n
}

// kept adds the places that keep what they have, locked or not planned, where it is known what that is: an option says
// what sits everywhere.
func (p *problem) kept(o *Option) {
	all := make([]Filling, 0, len(p.places))
	for _, pl := range p.places {
		if pl.free() {
			all = append(all, o.Places[0])
			o.Places = o.Places[1:]
			continue
		}
		if pl.state == nil || !pl.state.Known {
			continue
		}
		fl := Filling{Set: p.sets[pl.set].shims.Key, Place: pl.of.ID, Against: pl.of.Against, Kept: true}
		for _, b := range pl.bodies {
			fl.Pieces = append(fl.Pieces, p.shown(b, pl, FromFitted))
		}
		o.Pieces += len(fl.Pieces)
		all = append(all, fl)
	}
	o.Places = all
}

// chosen fills in the pieces of a place and their part in the variances; it is their total.
func (p *problem) chosen(fl *Filling, f placed, taken []int, v []int64) (total int64) {
	pl := p.places[f.at]
	for j := range p.gauges {
		for _, b := range pl.bodies {
			v[j] += square(pl.rate[j] * b.standard)
		}
	}
	if f.fill.stay {
		for _, b := range pl.bodies {
			fl.Pieces = append(fl.Pieces, p.shown(b, pl, FromFitted))
			total += b.m
			for j := range p.gauges {
				v[j] -= square(pl.rate[j] * b.standard)
			}
		}
		return total
	}
	for _, n := range f.fill.uses {
		u := &pl.uses[n]
		k := p.kinds[u.kind]
		piece := k.nth(taken[u.kind])
		if k.cap > 0 {
			taken[u.kind]++
		}
		b := k.body
		b.piece = piece
		ch := p.shown(b, pl, k.from)
		if k.home >= 0 && k.home != f.at {
			home := p.places[k.home]
			ch.Home = &PlaceRef{p.sets[home.set].shims.Key, home.of.ID}
		}
		fl.Pieces = append(fl.Pieces, ch)
		total += u.m
		for j := range p.gauges {
			v[j] += u.v[j]
		}
	}
	return total
}

// stays reports whether a place keeps exactly the pieces that it has.
func (p *problem) stays(f placed) bool {
	pl := p.places[f.at]
	if f.fill.stay || len(f.fill.uses) != len(pl.bodies) {
		return f.fill.stay
	}
	for _, n := range f.fill.uses {
		if p.kinds[pl.uses[n].kind].home != f.at {
			return false
		}
	}
	return true
}

func (p *problem) predict(g *gauge, shift, v int64) Prediction {
	x := g.shifted(shift, &p.grid)
	pr := Prediction{Spec: g.spec, Value: g.held.Value.Add(x), Lowest: g.held.Lowest.Add(x), Highest: g.held.Highest.Add(x)}
	pr.Deviation = pr.Value.Sub(g.aimExact)
	if g.held.HasStandard {
		pr.HasStandard, pr.Standard = true, g.standard(v)
		pr.Probability = float64(g.chance(shift, v, &p.grid)) / 1e12
	}
	r := g.judged(shift, &p.grid)
	pr.Verdict, pr.Because, pr.Position = r.Verdict, r.Because, r.Position
	if g.in.HasHeat {
		pr.Hot, pr.HasHot = pr.Value.Add(g.in.Heat.gain(g.spec.Unit)), true
	}
	from, to := g.window()
	switch {
	case shift < from:
		pr.Miss = g.shifted(from-shift, &p.grid)
	case shift > to:
		pr.Miss = g.shifted(shift-to, &p.grid)
	}
	return pr
}

// gain is what the heat adds to the spec, in its unit: length · rise · (around − inside), plain linear expansion.
func (h *Heat) gain(unit quantity.Unit) quantity.Exact {
	x := h.Length.Exact().Mul(h.Rise.Exact()).Mul(h.Around.Exact().Sub(h.Inside.Exact()))
	out, ok := quantity.Convert(x, h.Unit, unit)
	if !ok {
		return x
	}
	return out
}
