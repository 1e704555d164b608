package sheets

import (
	"slices"

	"endfloat/api/judging"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// doNotClose is the caution of a gate that is blocked.
const doNotClose = "do_not_close"

// answer puts a judged sheet into words and signs it.
func (d *desk) answer() (*SheetAnswer, error) {
	rev, q, lang, f := d.r.Revision, d.req, d.r.Lang, d.engine.plan.Family
	a := &SheetAnswer{Revision: rev.Name, RevisionDate: rev.Date, Rules: spec.Rules, Policy: d.bench.Policy(), Family: f.Key, FamilyName: f.Name.In(lang),
		Variant: d.engine.sel.Variant, EngineNumber: q.EngineNumber, Scope: d.engine.plan.Scope, At: q.At, Claim: q.Claim, Customer: q.Customer, Note: q.Note,
		Lines: make([]Line, len(d.lines)), Missing: []Missing{}, Gates: []Gate{}, Contradictions: []Contradiction{}, Order: []Order{}, Warnings: []wire.Note{},
		Notice: d.h.book.Word(lang, "sheet_notice")}
	if q.Hours.Present() {
		a.Hours = wire.Dec(q.hours())
	}
	for _, n := range d.engine.open {
		a.Warnings = append(a.Warnings, wire.FromNote(n, lang, d.h.book))
	}
	waived := map[spec.Key]bool{}
	for i := range d.judged.Gates {
		g := &d.judged.Gates[i]
		for _, w := range g.Waived {
			waived[w.Key] = true
		}
		a.Gates = append(a.Gates, d.gate(g))
		if g.State == sheet.Blocked {
			d.bench.Caution(doNotClose)
		}
	}
	for i := range d.lines {
		a.Lines[i] = d.line(i, waived)
	}
	for _, m := range d.judged.Missing {
		s := m.Line.Spec()
		a.Missing = append(a.Missing, Missing{Spec: string(s.Key), Name: s.Name.In(lang), Component: m.Line.Component.Key, Gate: string(m.Line.Gate),
			Critical: s.Critical, Because: m.Because, Text: d.h.say(lang, "missing_"+m.Because, note.Str("spec", s.Name.In(lang)))})
	}
	for i := range d.judged.Contradictions {
		a.Contradictions = append(a.Contradictions, d.contradiction(&d.judged.Contradictions[i]))
	}
	a.Order = d.h.order(d.judged.Order, lang)
	a.Outcome = d.outcome()
	a.Cautions = d.bench.Cautions()
	return a, d.sign(a)
}

func (d *desk) outcome() Outcome {
	c, lang := d.judged.Counts, d.r.Lang
	n := len(d.judged.Contradictions)
	counts := d.h.say(lang, "outcome_counts", note.Count("lines", c.Lines), note.Count("pass", c.Pass), note.Count("conditional_pass", c.ConditionalPass),
		note.Count("conditional_fail", c.ConditionalFail), note.Count("fail", c.Fail), note.Count("not_judged", c.NotJudged), note.Count("estimated", c.Estimated),
		note.Count("missing", c.Missing), note.Count("waived", c.Waived), note.Count("contradictions", n))
	return Outcome{Verdict: string(d.judged.Verdict), Complete: d.judged.Complete, Text: d.h.book.Word(lang, "outcome_"+string(d.judged.Verdict)) + ". " + counts,
		Summary: OutcomeCounts{c.Lines, c.Pass, c.ConditionalPass, c.ConditionalFail, c.Fail, c.NotJudged, c.Estimated, c.Missing, c.Waived, c.Problems, n}}
}

// line is one line as answers show it.
func (d *desk) line(i int, waived map[spec.Key]bool) Line {
	x, rec, q, lang := &d.lines[i], &d.recs[i], d.lines[i].req, d.r.Lang
	w := Line{ID: q.ID, Index: i, Spec: q.Spec, Part: q.Part, ShimsBefore: q.ShimsBefore, ShimsAfter: q.ShimsAfter, Renewed: q.Renewed, Retorqued: q.Retorqued,
		By: q.By, At: q.At, Tool: q.Tool, Witness: q.Witness, Waiver: q.Waiver, Note: q.Note, Warnings: []wire.Note{}, Next: []wire.Note{}, Cautions: []string{},
		Verdict: string(judge.NotJudged), Action: string(judge.MeasureAgain)}
	if x.line != nil {
		s := x.line.Spec()
		w.Name, w.Gate, w.Critical = s.Name.In(lang), string(x.line.Gate), s.Critical
		w.Cautions = d.cautions(x)
		d.bench.Caution(w.Cautions...)
	}
	if rec.Bad {
		w.clean()
		w.Action, w.UndecidedBecause = string(judge.Ask), "problem"
		w.Problem, w.Text = d.bench.Problem(&x.bad)
		x.columns(&w.Problem)
	}
	w.AsFound, w.AsBuilt = x.found, x.built
	_, done := rec.Final()
	switch {
	case rec.Bad:
	case !done:
		w.UndecidedBecause = "missing"
		w.Text = d.h.say(lang, "verdict_not_judged", note.Str("reason", d.h.book.Word(lang, "because_missing")))
		if rec.Found.Has { // what was found stands beside what is still to be read
			w.Text = d.h.book.Joined(lang, w.Text, d.h.book.Word(lang, "sheet_as_found")+d.h.book.Word(lang, "word_colon")+x.found.Text)
		}
	case rec.Built.Has:
		w.final(x.built)
	default:
		w.final(x.found)
	}
	if x.line != nil && !done && x.line.Spec().LeftHand() {
		w.Text = d.h.book.Word(lang, "word_left_hand") + d.h.book.Word(lang, "word_colon") + w.Text
	}
	w.Waived = w.Estimated && waived[rec.Key]
	return w
}

// cautions are those of the spec of a line, which every result of it has.
func (d *desk) cautions(x *filled) []string {
	switch {
	case x.built != nil:
		return x.built.Cautions
	case x.found != nil:
		return x.found.Cautions
	}
	return d.r.Revision.Defaults.CautionsOf(x.line.Spec())
}

// final takes over what the stage that counts says.
func (w *Line) final(r *judging.Result) {
	w.Verdict, w.Decided, w.UndecidedBecause, w.Action, w.Text = r.Verdict, r.Decided, r.UndecidedBecause, r.Action, r.Text
	w.Warnings, w.Next, w.Estimated = r.Warnings, r.Next, r.UndecidedBecause == "estimated"
}

func (d *desk) gate(g *sheet.GateState) Gate {
	lang := d.r.Lang
	w := Gate{Gate: string(g.Gate), Name: d.h.book.Word(lang, "gate_"+string(g.Gate)), State: string(g.State), Proven: g.Proven,
		BlockedBy: d.items(g.Blocked), Waived: d.items(g.Waived), Unproven: d.items(g.Unproven)}
	unproven := note.Count("unproven", len(g.Unproven))
	switch {
	case g.State == sheet.Blocked:
		w.Text = d.h.say(lang, "state_blocked", note.Count("count", len(g.Blocked)))
	case len(g.Waived) > 0 && len(g.Unproven) > 0:
		w.Text = d.h.say(lang, "state_unproven_waiver", note.Count("count", len(g.Waived)), unproven)
	case g.State == sheet.WithWaiver:
		w.Text = d.h.say(lang, "state_with_waiver", note.Count("count", d.waivedUpTo(g.Gate)))
	case len(g.Unproven) > 0:
		w.Text = d.h.say(lang, "state_unproven", note.Count("count", len(g.Unproven)))
	default:
		w.Text = d.h.book.Word(lang, "state_may_close")
	}
	return w
}

// waivedUpTo counts the waivers of a gate and of those before it.
func (d *desk) waivedUpTo(last catalogue.Gate) (n int) {
	for _, g := range d.judged.Gates {
		n += len(g.Waived)
		if g.Gate == last {
			break
		}
	}
	return n
}

func (d *desk) items(list []sheet.Item) []GateItem {
	out, lang := make([]GateItem, len(list)), d.r.Lang
	for i, it := range list {
		w := GateItem{Spec: string(it.Key), Gate: string(it.Gate), Because: it.Because.Code, Text: d.said(it.Because)}
		if it.Record != nil {
			w.ID = it.Record.ID
		}
		if l, ok := d.engine.plan.Line(it.Key); ok {
			w.Name = l.Spec().Name.In(lang)
		}
		if it.Gate != "" {
			w.Name = d.h.book.Word(lang, "gate_"+string(it.Gate))
		}
		out[i] = w
	}
	return out
}

// said is the sentence of a note, in which a spec of the sheet is called by its name.
func (d *desk) said(n note.Note) string {
	if i := slices.IndexFunc(n.Params, func(p note.Param) bool { return p.Name == "spec" }); i >= 0 {
		n.Params = slices.Clone(n.Params)
		n.Params[i].Value = d.name(n.Params[i].Value)
	}
	return d.h.book.Note(d.r.Lang, n)
}

func (d *desk) contradiction(c *sheet.Contradiction) Contradiction {
	n := wire.FromNote(c.Note, d.r.Lang, d.h.book)
	w := Contradiction{Code: n.Code, Text: d.said(c.Note), Params: n.Params, Blocks: c.Blocks, Specs: []string{}, IDs: []string{}, Indexes: []int{},
		Suspects: wire.FromNotes(c.Suspects, d.r.Lang, d.h.book)}
	for _, k := range c.Keys {
		w.Specs = append(w.Specs, string(k))
	}
	for _, r := range c.Lines {
		w.IDs, w.Indexes = append(w.IDs, r.ID), append(w.Indexes, r.Index)
	}
	return w
}

func (h Handlers) order(list []sheet.Order, lang string) []Order {
	out := make([]Order, len(list))
	for i, o := range list {
		w := Order{SKU: o.SKU, Name: o.Part.Name.In(lang), Quantity: o.Quantity, Component: o.Component, Because: o.Because, Specs: []string{},
			Text: h.book.Word(lang, "order_"+o.Because)}
		if o.SKU != o.Part.SKU {
			w.Replaces = o.Part.SKU
		}
		for _, k := range o.Specs {
			w.Specs = append(w.Specs, string(k))
		}
		out[i] = w
	}
	return out
}
