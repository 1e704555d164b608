package judging

import (
	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Evaluate answers POST /v1/evaluations.
//
//	@Summary		Verdicts on readings
//	@Description	Judges up to 5,000 checks, each readings against a spec of the catalogue or one that the caller brings. Order is kept, ids are echoed, and a row that cannot be read is not_judged with its problem and fails no other. Exactly one of spec and caller_spec stands in a check, and exactly one of value, repeats, blades and category in a reading. A table has the columns id, spec, variant, engine_number, stage, part, how, unit, reading_1 to reading_8, instrument, standard_uncertainty, accuracy, accuracy_percent, kind, spec_unit, lower, upper, target, target_policy, wear_lower, wear_upper, plausible_lower and plausible_upper, in any order, and up to 10,000 rows; a cell of a reading is 0.15, repeats 0.15 0.16, or blades 0.10:free 0.15:drag 0.20:forced. The counts stand in the header Evaluation-Summary too.
//	@ID				evaluate
//	@Tags			judging
//	@Accept			json,text/csv
//	@Produce		json,text/csv
//	@Param			body		body		EvaluationRequest	true	"the checks"
//	@Param			lang		query		string				false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string				false	"form of the answer"	Enums(json, csv)
//	@Param			revision	query		string				false	"a catalogue revision that is still held"
//	@Param			delimiter	query		string				false	"of a CSV body and answer"		Enums(comma, semicolon, tab)
//	@Param			decimal		query		string				false	"mark of a CSV body and answer"	Enums(point, comma)
//	@Success		200			{object}	EvaluationAnswer
//	@Header		200			{string}	Evaluation-Summary	"With a table: the counts of the verdicts and problems"
//	@x-body-bytes	8388608
//	@Router			/v1/evaluations [post]
func (h Handlers) Evaluate(r *rim.Request) (rim.Reply, error) {
	f, err := table.FormOf(r)
	if err != nil {
		return rim.Reply{}, err
	}
	if r.BodyMedia == rim.MediaCSV && r.Media == rim.MediaCSV {
		return h.tabled(r, f)
	}
	q, err := h.asked(r, f)
	if err != nil {
		return rim.Reply{}, err
	}
	answer, err := q.judged(r)
	if err != nil {
		return rim.Reply{}, err
	}
	reply := rim.JSON(answer)
	if r.Media == rim.MediaCSV {
		reply = rim.Ready(answer.table(f))
	}
	reply.Header = append(reply.Header, answer.Summary.header())
	return reply, nil
}

// questions are the rows of a request, read one after another: of one that is answered nothing is kept.
type questions struct {
	batch *batch
	count int                                 // as far as is known before they are read; else 0
	next  func(r *row) (more bool, err error) // reads a row over whatever it was
}

// asked is the checks of a body, JSON or a table.
func (h Handlers) asked(r *rim.Request, f table.Form) (q questions, err error) {
	if r.BodyMedia == rim.MediaCSV {
		q.batch = h.batch(r)
		t, err := q.batch.tableOf(r.Body, f)
		if err != nil {
			return q, err
		}
		q.next = t.next
		return q, nil
	}
	var req EvaluationRequest
	if err := r.Decode(&req); err != nil {
		return q, err
	}
	if q.batch, err = h.toBatch(&req, r); err != nil {
		return q, err
	}
	list := checkList{batch: q.batch, all: req.Checks}
	q.count, q.next = len(req.Checks), list.next
	return q, nil
}

// checkList is the checks of a request that are still to be read.
type checkList struct {
	batch *batch
	all   []CheckRequest
	read  int
}

func (l *checkList) next(r *row) (more bool, err error) {
	if l.read == len(l.all) {
		return false, nil
	}
	c := &l.all[l.read]
	if l.batch.readRow(r, c, wire.Unplaced); r.bad.Len() > 0 {
		l.batch.readRow(r, c, wire.At("/checks").Index(l.read))
	}
	l.read++
	return true, nil
}

// toBatch reads what stands at the top of a request. Its faults are those of the whole request.
func (h Handlers) toBatch(req *EvaluationRequest, r *rim.Request) (*batch, error) {
	b := h.batch(r)
	b.top, b.trace = words{req.Stage, req.Part, req.Rule, req.Guard, req.View}, req.Trace
	b.whole, b.marks = wire.ToSelection(req.Variant, req.EngineNumber, req.Marks, catalogue.Selection{}), req.Marks
	if req.check(wire.Unplaced) == nil {
		return b, nil
	}
	return b, req.check("")
}

// check is what is wrong with what stands at the top.
func (req *EvaluationRequest) check(at wire.At) error {
	var bad fault.List
	words{req.Stage, req.Part, req.Rule, req.Guard, req.View}.check(at, &bad)
	wire.CheckSelection(req.Variant, req.EngineNumber, req.Marks, at, &bad)
	wire.Fits(req.Note, MaxNote, &bad, at, "note")
	if req.Checks == nil {
		bad.Add(at.Key("checks").Fault("missing_checks", note.New("found_nothing_judge"), note.New("fix_send_checks_list_up", note.Str("most", "5000"))))
	}
	wire.Limit(len(req.Checks), MaxChecks, at.Key("checks"), &bad)
	return bad.Err()
}

// batch is what holds for every check, before the request says anything. A review is overdue by the date of the
// revision and not by the clock, so that the same revision always answers the same.
func (h Handlers) batch(r *rim.Request) *batch {
	v := voice{book: h.book, lang: r.Lang, buf: make([]byte, 0, 256), colon: h.book.Word(r.Lang, "word_colon"),
		semicolon: h.book.Word(r.Lang, "word_semicolon")}
	return &batch{voice: v, kept: h.kept, codes: make(wire.Codes, 0, 8), rev: r.Revision, policy: r.Policy, pinned: r.Pinned, today: r.Revision.Date}
}

// judged answers every row and counts the verdicts. It ends early where the time for the answer is up.
func (q questions) judged(r *rim.Request) (*EvaluationAnswer, error) {
	var (
		line  row
		res   judge.Result
		alike judge.Likeness
	)
	b := q.batch
	a := &EvaluationAnswer{Revision: b.rev.Name, RevisionDate: b.rev.Date, Rules: spec.Rules, Policy: b.shown(), Results: make([]Result, 0, q.count)}
	for i := 0; ; i++ {
		more, err := q.next(&line)
		if err != nil {
			return nil, err
		}
		if !more {
			break
		}
		if i%256 == 255 && r.Context().Err() != nil {
			return nil, r.Context().Err()
		}
		a.Results = append(a.Results, Result{})
		res = judge.Result{}
		b.fromJudged(&a.Results[i], &res, &line, i)
		a.Summary.count(&a.Results[i])
		alike.Add(line.sound())
	}
	a.Notes, a.Cautions = b.notes(alike.Notes()), b.cautions()
	return a, nil
}

// cautions resolves every code that came up, the most severe first.
func (b *batch) cautions() []wire.Caution {
	b.codes.Add(catalogue.VerifyMaker)
	return wire.Resolved(b.codes, b.lang, b.book, b.rev.Defaults)
}

// shown is the policy in force where the rows say nothing else.
func (b *batch) shown() Policy {
	p := Policy{Name: b.policy.Name, Rule: b.policy.Rule, Guard: b.policy.Guard, RequireUncertainty: b.policy.RequireUncertainty, Pinned: b.pinned}
	if p.Rule == "" {
		p.Rule = judge.Guarded
	}
	if p.Guard == "" {
		p.Guard = judge.GuardU
	}
	if !b.pinned {
		if b.top.rule != "" {
			p.Rule = b.top.rule
		}
		if b.top.guard != "" {
			p.Guard = b.top.guard
		}
	}
	if b.policy.HasMinProbability {
		p.MinProbability = wire.Estimate(b.policy.MinProbability, 9) // declared, and shown as it is
	}
	return p
}

func (s *Summary) count(r *Result) {
	s.Rows++
	switch judge.Verdict(r.Verdict) {
	case judge.Pass:
		s.Pass++
	case judge.ConditionalPass:
		s.ConditionalPass++
	case judge.ConditionalFail:
		s.ConditionalFail++
	case judge.Fail:
		s.Fail++
	default:
		s.NotJudged++
	}
	if r.Problem.Code != "" {
		s.Problems++
	}
}
