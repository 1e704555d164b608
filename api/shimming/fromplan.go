package shimming

import (
	"strconv"
	"strings"

	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/shim"
)

// shower shows one plan in one language.
type shower struct {
	h       Handlers
	lang    string
	in      shim.Request
	rev     *catalogue.Revision
	several bool
}

func (s *shower) fromPlan(p *shim.Plan) *PlanAnswer {
	a := &PlanAnswer{Outcome: string(p.Outcome), Reason: p.Reason, Needed: p.Needed, Objective: string(p.Objective), Unit: string(s.in.Unit),
		FitNow: s.options(p.FitNow), ToOrder: s.options(p.ToOrder), Rejected: s.options(p.Rejected), Order: s.order(p),
		RefusedPoints: s.refused(p), Sensitivity: s.sensitivity(p), GrindTo: s.grind(p), Warnings: s.notes(p.Warnings), Next: s.notes(p.Next),
		Trace: s.notes(p.Trace), Proven: p.Proven, Nodes: p.Nodes}
	if p.NoChange != nil {
		o := s.option(p.NoChange)
		a.NoChange = NoChange{Allowed: p.Allowed, Text: o.Text, Places: o.Places, Predicted: o.Predicted, Offset: o.Offset, Offsets: o.Offsets,
			NewPieces: o.NewPieces, Pieces: o.Pieces, MeetsDemand: o.MeetsDemand, PlaceOut: o.PlaceOut, PastAim: o.PastAim, Why: o.Why, Reasons: o.Reasons}
		a.Demand = Demand{wire.Estimate(p.Demand, 9), p.Explicit}
	}
	if p.Tight != nil {
		a.Nearest.Tight = s.near(p.Tight)
	}
	if p.Loose != nil {
		a.Nearest.Loose = s.near(p.Loose)
	}
	if t := p.Thickness; t != nil {
		a.Thickness = s.thickness(t)
	}
	if t := p.Practical; t != nil {
		a.PracticalTarget = wire.Dec(t.Value.Print(t.Spec.Decimals, 2))
		a.PracticalText = text.Value(a.PracticalTarget.Quantity().String(), t.Spec.Unit)
	}
	a.Text = s.headline(p, a)
	return a
}

func (s *shower) say(code string, params ...note.Param) string {
	return s.h.book.Note(s.lang, note.New(code, params...))
}

func (s *shower) options(list []shim.Option) []Option {
	out := make([]Option, 0, len(list))
	for i := range list {
		out = append(out, s.option(&list[i]))
	}
	return out
}

func (s *shower) option(o *shim.Option) Option {
	w := Option{Rank: o.Rank, Places: []Place{}, Predicted: []Prediction{}, NewPieces: o.NewPieces, Pieces: o.Pieces, MeetsDemand: o.Meets,
		PlaceOut: o.PlaceOut, PastAim: o.PastAim, Why: []string{}, Reasons: s.notes(o.Why)}
	for _, f := range o.Places {
		w.Places = append(w.Places, s.place(&f))
	}
	for i := range o.Predicted {
		w.Predicted = append(w.Predicted, s.prediction(&o.Predicted[i]))
	}
	for _, n := range o.Why {
		w.Why = append(w.Why, n.Code)
	}
	s.offsets(&w, o.Offsets)
	w.Text = s.line(&w, o)
	return w
}

// near is an option outside the band, with its value and miss where there is one spec.
func (s *shower) near(o *shim.Option) Option {
	w := s.option(o)
	if len(w.Predicted) == 1 {
		w.Value, w.Miss = w.Predicted[0].Value, w.Predicted[0].Miss
	}
	return w
}

func (s *shower) place(f *shim.Filling) Place {
	w := Place{Place: f.Place, Against: f.Against, Changed: f.Changed, Pieces: []Piece{}}
	if s.several {
		w.Shims = string(f.Set)
	}
	var parts []string
	for _, c := range f.Pieces {
		w.Pieces = append(w.Pieces, s.piece(c))
		parts = append(parts, c.Shown.String())
	}
	w.Display = "–"
	if len(parts) > 0 {
		w.Display = text.Value(strings.Join(parts, " + "), s.in.Unit)
	}
	return w
}

func (s *shower) piece(c shim.Chosen) Piece {
	p := Piece{Thickness: wire.Dec(c.Thickness), Unit: string(s.in.Unit), From: string(c.From), SKU: c.SKU, Worn: c.Worn}
	if c.Home != nil {
		p.FromPlace = c.Home.Place
		if s.several {
			p.FromShims = string(c.Home.Set)
		}
	}
	return p
}

func (s *shower) prediction(p *shim.Prediction) Prediction {
	d := p.Spec.Decimals
	w := Prediction{Spec: string(p.Spec.Key), Name: p.Spec.Name.In(s.lang), Value: wire.Dec(p.Value.Print(d, 2)), Unit: string(p.Spec.Unit),
		Lowest: wire.Dec(p.Lowest.Print(d, 2)), Highest: wire.Dec(p.Highest.Print(d, 2)), NoUncertainty: !p.HasStandard,
		TargetDeviation: wire.Dec(p.Deviation.Print(d, 2)), Verdict: string(p.Verdict), Because: p.Because, Position: string(p.Position),
		Hot: wire.DecIf(p.Hot.Print(d, 2), p.HasHot), Miss: wire.DecIf(p.Miss.Print(d, 2), p.Miss.Sign() != 0)}
	if p.HasStandard {
		w.StandardU = wire.Dec(quantity.FromFloat(p.Standard).Print(d, 4))
		w.Probability = wire.Estimate(judge.PrintProbability(p.Probability), 3)
	}
	w.Display = text.Value(p.Value.Shown(d, limitsOf(p.Spec)...).String(), p.Spec.Unit)
	return w
}

func (s *shower) offsets(w *Option, list []shim.Offset) {
	for _, o := range list {
		v := s.length(o.Value, o.Set)
		if s.several {
			w.Offsets = append(w.Offsets, Offset{string(o.Set), v, string(s.in.Unit)})
		} else {
			w.Offset = v
		}
	}
}

// order is what to buy: a size in another unit than its ladder has what the ladder says behind it.
func (s *shower) order(p *shim.Plan) []OrderLine {
	out := []OrderLine{}
	for _, l := range p.Order {
		show := strconv.Itoa(l.Count) + " × " + text.Value(l.Shown.String(), s.in.Unit)
		if l.StatedIn != s.in.Unit {
			show += " (" + text.Value(l.Stated.String(), l.StatedIn) + ")"
		}
		if l.SKU != "" {
			show += " " + l.SKU
		}
		out = append(out, OrderLine{string(l.Set), l.SKU, wire.Dec(l.Thickness), string(s.in.Unit), l.Count, show})
	}
	return out
}

func (s *shower) refused(p *shim.Plan) []RefusedPoint {
	out := []RefusedPoint{}
	for _, r := range p.Refused {
		w := RefusedPoint{Spec: string(r.Spec), Reason: r.Because, Text: s.called(string(r.Spec)) + s.say("word_colon") + s.say("refused_"+r.Because), Places: []PlaceName{}, Next: s.notes(r.Next)}
		if r.HasNow {
			w.Basis = string(r.Now.Basis)
		} else if r.Because == string(judge.Missing) {
			w.Basis = r.Because
		}
		for _, at := range r.Places {
			w.Places = append(w.Places, PlaceName{string(at.Set), at.Place})
		}
		out = append(out, w)
	}
	return out
}

func (s *shower) sensitivity(p *shim.Plan) []Sensitivity {
	out := []Sensitivity{}
	for _, z := range p.Sensitivity {
		w := Sensitivity{Shims: string(z.Set), Place: z.Place, Step: s.length(z.Step, z.Set), Unit: string(s.in.Unit), Changes: []Effect{}}
		moves := []string{}
		for _, c := range z.Changes {
			d := wire.Dec(c.Change.Print(c.Spec.Decimals, 2))
			w.Changes = append(w.Changes, Effect{string(c.Spec.Key), d, string(c.Spec.Unit)})
			moves = append(moves, s.called(string(c.Spec.Key))+" "+signed(d.Quantity(), c.Spec.Unit))
		}
		if z.HasOffset {
			w.Offset = s.length(z.Offset, z.Set)
			moves = append(moves, s.say("plan_offset", s.shown("offset", z.Offset.Abs(), z.Set), note.Str("place", s.site(string(z.Set), z.Towards))))
		}
		w.Text = s.say("plan_sensitivity", s.shown("step", z.Step, z.Set), note.Str("place", s.spot(string(z.Set), z.Place)), note.Str("changes", strings.Join(moves, ", ")))
		out = append(out, w)
	}
	return out
}

// signed is a change for an eye: with its sign, and a true minus.
func signed(d quantity.Decimal, u quantity.Unit) string {
	if d.Sign() < 0 {
		return "−" + text.Value(d.Neg().String(), u)
	}
	return "+" + text.Value(d.String(), u)
}

func (s *shower) grind(p *shim.Plan) []Grind {
	var out []Grind
	for _, g := range p.Grind {
		out = append(out, Grind{string(g.Set), g.Place, s.piece(g.From), s.length(g.To, g.Set), string(s.in.Unit)})
	}
	return out
}
