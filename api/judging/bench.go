package judging

import (
	"endfloat/api/picture"
	"endfloat/api/problem"
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Ground is what holds for every check of a bench. At is where its words stand in the request.
type Ground struct {
	Engine      catalogue.Selection
	Rule, Guard string
	At          wire.At
}

// Bench judges checks one by one, for answers that hold more than verdicts. It collects the cautions of all of them. It
// serves one request and is not safe for concurrent use.
type Bench struct {
	b *batch
}

// Bench is where the checks of a request are judged. Words of the ground that are none are added to bad.
func (h Handlers) Bench(r *rim.Request, g Ground, bad *fault.List) *Bench {
	b := h.batch(r)
	b.whole, b.top = g.Engine, words{rule: g.Rule, guard: g.Guard}
	b.top.check(g.At, bad)
	return &Bench{b}
}

// Row is a check that was read, and its answer once it is judged.
type Row struct {
	row    row
	basis  judge.Result
	answer Result
}

// Read reads a check; what is wrong with it is told by Faults.
func (x *Bench) Read(c *CheckRequest, at wire.At) *Row {
	w := &Row{}
	x.b.toRow(&w.row, c, at)
	return w
}

// Faults gives out everything that is wrong with a check.
func (w *Row) Faults(add func(fault.Violation)) { w.row.bad.Each(add) }

// Judge answers a check without faults, and says what the answer rests on.
func (x *Bench) Judge(w *Row, index int) (*Result, *judge.Check, *judge.Result) {
	x.b.fromJudged(&w.answer, &w.basis, &w.row, index)
	return &w.answer, &w.row.check, &w.basis
}

// Problem is why a row cannot be judged, and the sentence for it.
func (x *Bench) Problem(bad *fault.List) (p RowProblem, text string) {
	doc, _ := problem.Of(bad.Err(), "", problem.Voice{Book: x.b.book, Lang: x.b.lang})
	p = RowProblem{Type: doc.Type, Title: doc.Title, Errors: doc.Errors, ErrorsOmitted: doc.ErrorsOmitted}
	if len(doc.Errors) > 0 {
		p.Code, p.Detail = doc.Errors[0].Code, doc.Errors[0].Detail
	}
	return p, x.b.say("verdict_problem", note.Str("reason", p.Detail))
}

// Policy is the policy in force where a check says nothing else.
func (x *Bench) Policy() Policy { return x.b.shown() }

// Caution adds codes to those that the answer resolves.
func (x *Bench) Caution(codes ...string) { x.b.codes.Add(codes...) }

// Cautions resolves every code that came up, the most severe first.
func (x *Bench) Cautions() []wire.Caution { return x.b.cautions() }

// Band is the picture of a spec and, where there is one, of a result; its cautions stand elsewhere in the answer.
func (x *Bench) Band(s *spec.Spec, w *Result) picture.Band { return x.b.band(s, w) }
