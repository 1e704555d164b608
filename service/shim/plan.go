package shim

import (
	"cmp"
	"context"
	"slices"

	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Outcome is the word for what a plan came to.
type Outcome string

// The outcomes.
const (
	Change     Outcome = "change"
	Leave      Outcome = "leave"
	NoneSure   Outcome = "none_sure"
	NoneInBand Outcome = "none_in_band"
	Refused    Outcome = "refused"
)

// Plan is the answer to a Request. Lists are in order of rank; what has no value is nil or empty.
type Plan struct {
	Outcome     Outcome
	Reason      string
	Needed      bool // what is planned is no decided pass now; nothing planned: what was asked about
	Now         []Reading
	NoChange    *Option
	Allowed     bool // no change keeps every limit
	FitNow      []Option
	Stay        bool // of all that buys nothing, leaving everything ranks first
	ToOrder     []Option
	Rejected    []Option
	Tight       *Option // nearest below the band, where nothing is inside
	Loose       *Option // nearest above it
	Refused     []Refusal
	Thickness   *Thickness
	Practical   *Practical
	Sensitivity []Sensitivity
	Order       []OrderLine
	Grind       []Grind
	Warnings    []note.Note
	Next        []note.Note
	Trace       []note.Note
	Objective   Objective
	Demand      float64
	Explicit    bool // the demand was asked for
	Proven      bool
	Nodes       int // bound of the search
	Used        int
}

// Reading is what a planned spec says now.
type Reading struct {
	Spec   *spec.Spec
	Result judge.Result
}

// New plans. The only errors are a fault of kind Invalid for numbers without a common grid, and that of a context that
// ended: half a plan is never given.
func New(ctx context.Context, in Request) (*Plan, error) {
	p := newProblem(ctx, in)
	out := &Plan{Nodes: p.nodes, Proven: true, Objective: in.Objective}
	because, about := p.sort()
	out.Refused = p.refused
	if because != "" {
		out.Outcome, out.Reason = Refused, because
		out.Next = p.nextRefused(because, about)
		out.Now, out.Needed = p.now0(), p.undecided(because)
		return out, ctx.Err()
	}
	if err := p.load(); err != nil {
		return nil, err
	}
	p.answer(out)
	return out, ctx.Err()
}

// now0 is what is known of the planned specs before anything was refused as a whole.
func (p *problem) now0() (out []Reading) {
	for _, g := range p.gauges {
		out = append(out, Reading{g.spec, g.now})
	}
	return out
}

// undecided reports whether anything asked about is no decided pass now, where nothing can be planned.
func (p *problem) undecided(because string) bool {
	if because == "worn_part" {
		return true
	}
	for i := range p.in.Measured {
		c := p.in.Measured[i].Check
		c.Stage, c.Part = judge.AsBuilt, judge.New
		if !p.wearOf(c.Spec.Key) && judge.Judge(c).Verdict != judge.Pass {
			return true
		}
	}
	return slices.ContainsFunc(p.refused, func(r Refusal) bool { return !r.HasNow })
}

func (p *problem) answer(out *Plan) {
	s := p.newSolver()
	size := cmp.Or(p.in.MaxOptions, DefaultOptions)
	s.aim()
	all := s.rank(size+1, false)
	shelf := s.rank(size+1, true)
	out.Objective = p.goal
	out.Demand, out.Explicit = float64(p.demand.least)/1e12, p.demand.explicit
	out.Now = p.now0()
	for _, g := range p.gauges {
		out.Needed = out.Needed || g.now.Verdict != judge.Pass
	}
	kept, broken := p.noChange()
	out.NoChange, out.Allowed = p.present(kept), len(broken) == 0
	out.NoChange.Why = append(out.NoChange.Why, p.whyBroken(out.NoChange, broken)...)
	out.ToOrder, out.FitNow = p.options(all, size), p.options(shelf, size)
	out.Stay = len(shelf) > 0 && shelf[0].tally.kept
	p.outcome(out, all)
	out.Proven, out.Used = p.left > 0, p.nodes-max(0, p.left)
	n := s.near(out.Outcome == NoneInBand)
	out.Rejected = p.rejected(n)
	if out.Outcome == NoneInBand {
		out.Tight, out.Loose = n.nearest(p)
	}
	out.Thickness, out.Practical = p.thickness(), p.practical()
	out.Sensitivity = p.sensitivity()
	out.Order = orderOf(out)
	out.Grind = s.grind()
	out.Warnings, out.Next = p.warnings(out), p.next(out)
	if p.in.Trace {
		out.Trace = p.trace(s, out)
	}
}

// outcome reads the whole ranking.
func (p *problem) outcome(out *Plan, all []*candidate) {
	switch {
	case len(all) == 0:
		out.Outcome, out.Reason = NoneInBand, "nothing_in_band"
		if p.left <= 0 {
			out.Reason = "bound_reached"
		}
	case all[0].tally.unsure:
		out.Outcome, out.Reason = NoneSure, "none_meets_demand"
	case all[0].tally.kept:
		out.Outcome, out.Reason = Leave, "best_as_it_is"
		if !out.Needed {
			out.Reason = "in_order"
		}
	default:
		out.Outcome, out.Reason = Change, "better_found"
		if out.Needed {
			out.Reason = "out_of_order"
		}
	}
}

func (p *problem) options(list []*candidate, size int) []Option {
	var out []Option
	for _, c := range list {
		if !c.tally.kept && len(out) < size {
			o := p.present(c)
			o.Rank = len(out) + 1
			out = append(out, *o)
		}
	}
	return out
}
