package judging

import (
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// mostNearest is how many keys of a batch that do not exist are told the nearest that does: each is held against every
// key of the catalogue.
const mostNearest = 100

// batch is what holds for every check of a request, and what its answers gather.
type batch struct {
	voice
	codes   wire.Codes
	rev     *catalogue.Revision
	whole   catalogue.Selection
	marks   []wire.MarkRequest // of the whole, as they were sent
	top     words
	policy  spec.JudgePolicy
	pinned  bool
	trace   bool
	today   string
	kept    *sayings
	unknown int      // keys of specs that do not exist
	last    struct { // of whose spec something was said last: both stages of a line, and most rows of a long batch, have one
		spec *spec.Spec
		said *said
	}
	own struct { // the caller's own spec that was read last; rows of a table share one
		from *wire.CallerSpecRequest
		spec *spec.Spec
	}
}

// words are the axes that the top of a request and each of its rows may name.
type words struct{ stage, part, rule, guard, view string }

// or is w where it says something, else what holds for the whole.
func (w words) or(whole words) words {
	pick := func(a, b string) string {
		if a == "" {
			return b
		}
		return a
	}
	return words{pick(w.stage, whole.stage), pick(w.part, whole.part), pick(w.rule, whole.rule), pick(w.guard, whole.guard), pick(w.view, whole.view)}
}

func (w words) check(at wire.At, bad *fault.List) {
	_, _ = wire.Word(w.stage, at.Key("stage"), bad, judge.AsBuilt, judge.AsFound)
	_, _ = wire.Word(w.part, at.Key("part"), bad, judge.New, judge.Reused)
	_, _ = wire.Word(w.rule, at.Key("rule"), bad, judge.Guarded, judge.Simple)
	_, _ = wire.Word(w.guard, at.Key("guard"), bad, judge.GuardU, judge.Guard95)
	_, _ = wire.Word(w.view, at.Key("view"), bad, "shop", "both")
}

// row is a check with what its answer needs beside the result.
type row struct {
	id       string
	key      string // of the spec, as asked
	resolved catalogue.Resolved
	check    judge.Check
	both     bool
	open     []note.Note // what an engine number left open
	at       wire.At
	line     int      // of a table, from 1
	readings []string // the columns of its readings
	oneUnit  bool     // a table whose spec is in the unit of the readings
	bad      fault.List
}

// sound is the check of a row without faults; nil where there are some.
func (r *row) sound() *judge.Check {
	if r.bad.Len() > 0 {
		return nil
	}
	return &r.check
}

// toRow reads one check into a row, whose memory it is given. What is wrong with its values is the row's alone; only then
// is it worth a pointer.
func (b *batch) toRow(r *row, c *CheckRequest, at wire.At) *row {
	if b.readRow(r, c, wire.Unplaced); r.bad.Len() > 0 {
		b.readRow(r, c, at)
	}
	return r
}

// readRow fills in a row, over whatever it was.
func (b *batch) readRow(r *row, c *CheckRequest, at wire.At) {
	*r = row{id: c.ID, key: c.Spec, at: at}
	bad := &r.bad
	c.texts(at, bad)
	own := words{c.Stage, c.Part, c.Rule, c.Guard, c.View}
	own.check(at, bad)
	axes := b.pin(own.or(b.top))
	how, _ := wire.Word(c.How, at.Key("how"), bad, "measured", "estimated", "check")
	coverage, _ := wire.Word(c.Coverage, at.Key("coverage"), bad, "t")
	s := b.specOf(c, r)
	if s == nil {
		return
	}
	r.both = axes.view == "both"
	r.check = judge.Check{Spec: s, Undecided: r.resolved.Undecided, How: how, Stage: axes.stage, Part: axes.part, Rule: axes.rule,
		Guard: axes.guard, Coverage: coverage, Condition: c.Condition, Defaults: b.rev.Defaults.Instruments, Policy: b.policy,
		Today: b.today, Trace: b.trace || c.Trace, Notes: r.open}
	if !r.resolved.Undecided {
		c.measured(r)
	}
}

// pin lets a pinned policy stand against what the request asks for.
func (b *batch) pin(w words) words {
	if b.pinned {
		w.rule, w.guard = b.policy.Rule, b.policy.Guard
	}
	return w
}

func (c *CheckRequest) texts(at wire.At, bad *fault.List) {
	wire.Fits(c.ID, MaxID, bad, at, "id")
	wire.Fits(c.Spec, MaxKey, bad, at, "spec")
	wire.Fits(c.Condition, wire.MaxName, bad, at, "condition")
	wire.Fits(c.Note, MaxNote, bad, at, "note")
}

// specOf is the spec that a check names or brings; nil where it does neither rightly.
func (b *batch) specOf(c *CheckRequest, r *row) *spec.Spec {
	bad := &r.bad
	switch {
	case c.Spec != "" && c.CallerSpec != nil:
		bad.Add(r.at.Key("caller_spec").Fault("two_specs", note.New("found_check_held_one_spec"), note.New("fix_send_either_spec")))
		if entry, ok := b.rev.Entry(spec.Key(c.Spec)); ok {
			r.resolved.Spec = entry.Base // for its cautions
		}
		return nil
	case c.CallerSpec != nil:
		if b.own.spec == nil || b.own.from != c.CallerSpec {
			s, ok := c.CallerSpec.ToSpec(r.at.Key("caller_spec"), bad)
			if !ok {
				return nil
			}
			b.own.from, b.own.spec = c.CallerSpec, s
		}
		s := b.own.spec
		r.key = string(s.Key)
		r.resolved = catalogue.Resolved{Spec: s}
		return s
	case c.Spec == "":
		bad.Add(r.at.Fault("missing_spec", note.New("found_check_names_spec_held"), note.New("fix_send_spec_key_catalogue")))
		return nil
	}
	return b.listed(c, r)
}

// listed is the spec of the catalogue that a check names, for the engine that the check or the whole request names; nil
// where there is none.
func (b *batch) listed(c *CheckRequest, r *row) *spec.Spec {
	bad := &r.bad
	entry, ok := b.rev.Entry(spec.Key(c.Spec))
	if !ok {
		var in *catalogue.Revision
		if r.at != wire.Unplaced && b.unknown < mostNearest { // else the row is read once more, with its place
			in, b.unknown = b.rev, b.unknown+1
		}
		bad.Add(wire.UnknownSpec(in, spec.Key(c.Spec), r.at.Key("spec")))
		return nil
	}
	wire.CheckSelection(c.Variant, c.EngineNumber, c.Marks, r.at, bad)
	wire.CheckEngine(b.rev, spec.Key(c.Spec), c.Variant, c.Marks, r.at, bad)
	sel := wire.ToSelection(c.Variant, c.EngineNumber, c.Marks, b.whole)
	at := r.at
	if c.Variant == "" && c.EngineNumber == "" {
		at = ""
		if sel.Variant != "" {
			wire.CheckEngine(b.rev, spec.Key(c.Spec), sel.Variant, nil, at, bad)
		}
	}
	if len(b.marks) > 0 {
		wire.CheckEngine(b.rev, spec.Key(c.Spec), "", b.marks, "", bad)
	}
	if differs := len(entry.Overrides) > 0; differs || at != "" {
		if sel, r.open = b.narrow(spec.Key(c.Spec), sel, at, bad); !differs {
			r.open = nil
		}
	}
	r.resolved = entry.Resolve(sel)
	return r.resolved.Spec
}

// narrow fills in what an engine number means in the family of a key. What stands at the top of a request is only held
// against the family of a row whose spec differs between engines. A number of another family is a fault; what else
// it leaves open is said beside the verdict.
func (b *batch) narrow(key spec.Key, sel catalogue.Selection, at wire.At, bad *fault.List) (catalogue.Selection, []note.Note) {
	f, ok := b.rev.FamilyOf(key)
	if !ok {
		return sel, nil
	}
	sel, open, _ := wire.Narrow(b.rev, f, sel, at, note.New("fix_name_spec_family"), bad)
	return sel, open
}
