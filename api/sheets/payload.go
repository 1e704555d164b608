package sheets

import (
	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/signature"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// payloadForm names the shape of what is signed.
const payloadForm = "endfloat-sheet/1"

// payload is what is signed: the sheet as it was sent, and what was judged of it under which limits. It holds no
// sentence, so that it does not depend on the language, and no time, so that a replay has the same bytes.
type payload struct {
	Form           string         `json:"form"`
	Revision       string         `json:"revision"`
	RevisionDate   string         `json:"revision_date"`
	Rules          string         `json:"rules"`
	Policy         judging.Policy `json:"policy"`
	Variant        string         `json:"variant,omitzero"`
	Sheet          SheetRequest   `json:"sheet"`
	Outcome        sealedOutcome  `json:"outcome"`
	Lines          []sealedLine   `json:"lines"`
	Missing        []string       `json:"missing"`
	Gates          []sealedGate   `json:"gates"`
	Contradictions []string       `json:"contradictions"`
}

type sealedOutcome struct {
	Verdict  string        `json:"verdict"`
	Complete bool          `json:"complete"`
	Summary  OutcomeCounts `json:"summary"`
}

type sealedGate struct {
	Gate  string `json:"gate"`
	State string `json:"state"`
}

type sealedLine struct {
	Spec    string `json:"spec"`
	Source  string `json:"source_class,omitzero"`
	Verdict string `json:"verdict"`
	Waived  bool   `json:"waived,omitzero"`
	Problem string `json:"problem,omitzero"`

	Unread  []unreadCell `json:"unread,omitzero"`
	AsFound sealedStage  `json:"as_found,omitzero"`
	AsBuilt sealedStage  `json:"as_built,omitzero"`
}

// unreadCell is a cell of a table that could not be taken, as it stood; no column names the cells that are too many.
type unreadCell struct {
	Column string `json:"column,omitzero"`
	Text   string `json:"text"`
}

// sealedStage is the verdict of a stage with everything that it rests on.
type sealedStage struct {
	Verdict   string       `json:"verdict,omitzero"`
	Because   string       `json:"undecided_because,omitzero"`
	Basis     string       `json:"basis,omitzero"`
	Position  string       `json:"position,omitzero"`
	Value     wire.Decimal `json:"value,omitzero"`
	Unit      string       `json:"unit,omitzero"`
	Interval  wire.Band    `json:"interval,omitzero"`
	StandardU wire.Decimal `json:"standard_uncertainty,omitzero"`
	USource   string       `json:"uncertainty_source,omitzero"`
	Rule      string       `json:"rule_used,omitzero"`
	Guard     string       `json:"guard,omitzero"`
	Limits    wire.Band    `json:"limits,omitzero"`
	Band      wire.Band    `json:"band,omitzero"`
	WearLimit wire.Band    `json:"wear_limit,omitzero"`
	Target    wire.Decimal `json:"target,omitzero"`
}

func seal(r *judging.Result) sealedStage {
	if r == nil {
		return sealedStage{}
	}
	return sealedStage{Verdict: r.Verdict, Because: r.UndecidedBecause, Basis: r.Basis, Position: r.Position, Value: r.Value, Unit: r.Unit,
		Interval: r.Interval, StandardU: r.StandardU, USource: r.UncertaintySource, Rule: r.RuleUsed, Guard: r.Guard, Limits: r.Limits, Band: r.Band,
		WearLimit: r.WearLimit, Target: r.Target}
}

// payload is what is signed of an answer. lines is memory for its lines.
func (d *desk) payload(a *SheetAnswer, lines []sealedLine) payload {
	p := payload{Form: payloadForm, Revision: a.Revision, RevisionDate: a.RevisionDate, Rules: a.Rules, Policy: a.Policy, Variant: a.Variant, Sheet: *d.req,
		Outcome: sealedOutcome{a.Outcome.Verdict, a.Outcome.Complete, a.Outcome.Summary}, Missing: []string{}, Gates: []sealedGate{}, Contradictions: []string{}}
	for i := range a.Lines {
		w := &a.Lines[i]
		l := sealedLine{Spec: w.Spec, Verdict: w.Verdict, Waived: w.Waived, Problem: w.Problem.Code, AsFound: seal(w.AsFound), AsBuilt: seal(w.AsBuilt)}
		if x := d.lines[i].line; x != nil && x.Spec().Source != nil {
			l.Source = x.Spec().Source.Class
		}
		if row := d.lines[i].row; row != nil {
			l.Unread = row.unread
		}
		lines = append(lines, l)
	}
	p.Lines = lines
	for _, m := range a.Missing {
		p.Missing = append(p.Missing, m.Spec)
	}
	for _, g := range a.Gates {
		p.Gates = append(p.Gates, sealedGate{g.Gate, g.State})
	}
	for _, c := range a.Contradictions {
		p.Contradictions = append(p.Contradictions, c.Code)
	}
	return p
}

// sign puts the signature on an answer, or says that there is none. What shows the digest and the key alone, a table or a
// page, has no token made.
func (d *desk) sign(a *SheetAnswer) error {
	in := d.h.memory.take(len(a.Lines))
	defer d.h.memory.give(in)
	p := d.payload(a, in.lines)
	in.lines, in.payload = p.Lines, p.AppendJSON(in.payload)
	s := &a.Signature
	s.Digest = signature.Digest(in.payload)
	if !d.h.keys.CanSign() {
		s.Text = d.h.say(d.r.Lang, "sheet_unsigned", note.Str("digest", s.Digest))
		return nil
	}
	s.Signed, s.Algorithm, s.KeyID, s.SignedOn = true, "EdDSA", d.h.keys.ID(), d.h.today()
	s.Text = d.h.say(d.r.Lang, "sheet_signed", note.Str("kid", s.KeyID), note.Str("digest", s.Digest))
	if d.r.Media != rim.MediaJSON {
		return nil
	}
	token, err := d.h.keys.Sign(in.payload, s.SignedOn)
	a.Signed = token
	return err
}

// rows are the lines of a table that had cells which could not be taken; nil where there is none.
func (p *payload) rows() []tableRow {
	rows, some := make([]tableRow, len(p.Sheet.Lines)), false
	for i := range min(len(rows), len(p.Lines)) {
		if len(p.Lines[i].Unread) > 0 {
			rows[i].faults, some = []fault.Violation{wire.At("").Fault("bad_csv", note.New("found_line_had_cells_could"), note.New("fix_send_anew"))}, true
		}
	}
	if !some {
		return nil
	}
	return rows
}

// hours is the running hours as they were sent, which were checked before.
func (q *SheetRequest) hours() quantity.Decimal {
	var ignored fault.List
	n, _ := q.Hours.Decimal("/hours", 3, &ignored)
	return n
}
