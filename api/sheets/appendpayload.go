package sheets

import (
	"endfloat/api/compact"
	"endfloat/api/judging"
	"endfloat/api/wire"
)

// AppendJSON appends what is signed.
func (p *payload) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("form", p.Form)
	o.Text("revision", p.Revision)
	o.Text("revision_date", p.RevisionDate)
	o.Text("rules", p.Rules)
	o.Put(p.Policy.AppendJSON(o.At("policy")))
	o.TextIf("variant", p.Variant)
	o.Put(p.Sheet.AppendJSON(o.At("sheet")))
	q := compact.Open(o.At("outcome"))
	q.Text("verdict", p.Outcome.Verdict)
	q.Bool("complete", p.Outcome.Complete)
	q.Put(p.Outcome.Summary.appendJSON(q.At("summary")))
	o.Put(q.Close())
	compact.List(&o, "lines", p.Lines, (*sealedLine).appendJSON)
	o.Texts("missing", p.Missing)
	compact.List(&o, "gates", p.Gates, func(g *sealedGate, b []byte) []byte {
		o := compact.Open(b)
		o.Text("gate", g.Gate)
		o.Text("state", g.State)
		return o.Close()
	})
	o.Texts("contradictions", p.Contradictions)
	return o.Close()
}

func (l *sealedLine) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("spec", l.Spec)
	o.TextIf("source_class", l.Source)
	o.Text("verdict", l.Verdict)
	o.BoolIf("waived", l.Waived)
	o.TextIf("problem", l.Problem)
	compact.ListIf(&o, "unread", l.Unread, func(c *unreadCell, b []byte) []byte {
		o := compact.Open(b)
		o.TextIf("column", c.Column)
		o.Text("text", c.Text)
		return o.Close()
	})
	l.AsFound.memberIf(&o, "as_found")
	l.AsBuilt.memberIf(&o, "as_built")
	return o.Close()
}

func (s *sealedStage) memberIf(o *compact.Object, key string) {
	p := o.Nest(key)
	p.TextIf("verdict", s.Verdict)
	p.TextIf("undecided_because", s.Because)
	p.TextIf("basis", s.Basis)
	p.TextIf("position", s.Position)
	s.Value.MemberIf(&p, "value")
	p.TextIf("unit", s.Unit)
	s.Interval.MemberIf(&p, "interval")
	s.StandardU.MemberIf(&p, "standard_uncertainty")
	p.TextIf("uncertainty_source", s.USource)
	p.TextIf("rule_used", s.Rule)
	p.TextIf("guard", s.Guard)
	s.Limits.MemberIf(&p, "limits")
	s.Band.MemberIf(&p, "band")
	s.WearLimit.MemberIf(&p, "wear_limit")
	s.Target.MemberIf(&p, "target")
	o.PutIf(&p)
}

// AppendJSON appends the sheet as it was sent.
func (q *SheetRequest) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.TextIf("family", q.Family)
	o.TextIf("variant", q.Variant)
	o.TextIf("engine_number", q.EngineNumber)
	compact.ListIf(&o, "marks", q.Marks, (*wire.MarkRequest).AppendJSON)
	o.TextIf("scope", q.Scope)
	q.Hours.MemberIf(&o, "hours")
	o.TextIf("at", q.At)
	o.TextIf("claim_number", q.Claim)
	o.TextIf("customer_reference", q.Customer)
	o.TextIf("rule", q.Rule)
	o.TextIf("guard", q.Guard)
	o.TextIf("note", q.Note)
	compact.List(&o, "lines", q.Lines, (*LineRequest).AppendJSON)
	return o.Close()
}

// AppendJSON appends the line as it was sent.
func (q *LineRequest) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.TextIf("id", q.ID)
	o.Text("spec", q.Spec)
	o.TextIf("unit", q.Unit)
	q.AsFound.memberIf(&o, "as_found")
	q.AsBuilt.memberIf(&o, "as_built")
	o.TextIf("part", q.Part)
	compact.ListIf(&o, "shims_before", q.ShimsBefore, (*ShimRequest).appendJSON)
	compact.ListIf(&o, "shims_after", q.ShimsAfter, (*ShimRequest).appendJSON)
	o.TextsIf("renewed", q.Renewed)
	o.BoolIf("retorqued", q.Retorqued)
	o.TextIf("by", q.By)
	o.TextIf("at", q.At)
	q.Tool.memberIf(&o)
	o.TextIf("witness", q.Witness)
	q.Waiver.memberIf(&o)
	o.TextIf("note", q.Note)
	return o.Close()
}

func (s *StageRequest) memberIf(o *compact.Object, key string) {
	if s == nil {
		return
	}
	p := compact.Open(o.At(key))
	compact.ListIf(&p, "readings", s.Readings, (*wire.ReadingRequest).AppendJSON)
	compact.ListIf(&p, "sizes", s.Sizes, (*judging.SizeRequest).AppendJSON)
	s.Instrument.MemberIf(&p, "instrument")
	p.TextIf("how", s.How)
	p.TextIf("condition", s.Condition)
	o.Put(p.Close())
}

func (q *ShimRequest) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.TextIf("place", q.Place)
	o.Put(q.Thickness.AppendJSON(o.At("thickness")))
	o.TextIf("sku", q.SKU)
	q.Tolerance.MemberIf(&o, "tolerance")
	q.StandardU.MemberIf(&o, "standard_uncertainty")
	o.BoolIf("measured", q.Measured)
	return o.Close()
}

func (t *ToolRequest) memberIf(o *compact.Object) {
	p := o.Nest("tool")
	p.TextIf("id", t.ID)
	p.TextIf("calibration_due", t.CalibrationDue)
	o.PutIf(&p)
}

func (w *WaiverRequest) memberIf(o *compact.Object) {
	if w == nil {
		return
	}
	p := compact.Open(o.At("waiver"))
	p.Text("who", w.Who)
	p.Text("reason", w.Reason)
	o.Put(p.Close())
}
