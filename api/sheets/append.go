package sheets

import (
	"strconv"

	"endfloat/api/compact"
	"endfloat/api/wire"
)

// AppendJSON appends the answer.
func (a *SheetAnswer) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("revision", a.Revision)
	o.Text("revision_date", a.RevisionDate)
	o.Text("rules", a.Rules)
	o.Put(a.Policy.AppendJSON(o.At("policy")))
	o.Text("family", a.Family)
	o.Text("family_name", a.FamilyName)
	o.TextIf("variant", a.Variant)
	o.TextIf("engine_number", a.EngineNumber)
	o.Text("scope", a.Scope)
	a.Hours.MemberIf(&o, "hours")
	o.TextIf("at", a.At)
	o.TextIf("claim_number", a.Claim)
	o.TextIf("customer_reference", a.Customer)
	o.TextIf("note", a.Note)
	o.Put(a.Outcome.appendJSON(o.At("outcome")))
	compact.List(&o, "lines", a.Lines, (*Line).appendJSON)
	compact.List(&o, "missing", a.Missing, (*Missing).appendJSON)
	compact.List(&o, "gates", a.Gates, (*Gate).appendJSON)
	compact.List(&o, "contradictions", a.Contradictions, (*Contradiction).appendJSON)
	compact.List(&o, "order", a.Order, (*Order).appendJSON)
	compact.List(&o, "warnings", a.Warnings, (*wire.Note).AppendJSON)
	compact.List(&o, "cautions", a.Cautions, (*wire.Caution).AppendJSON)
	o.Text("notice", a.Notice)
	a.Signed.MemberIf(&o, "signed")
	o.Put(a.Signature.appendJSON(o.At("signature")))
	return o.Close()
}

func (x *Outcome) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("verdict", x.Verdict)
	o.Bool("complete", x.Complete)
	o.Text("text", x.Text)
	o.Put(x.Summary.appendJSON(o.At("summary")))
	return o.Close()
}

func (c *OutcomeCounts) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Int("lines", c.Lines)
	o.Int("pass", c.Pass)
	o.Int("conditional_pass", c.ConditionalPass)
	o.Int("conditional_fail", c.ConditionalFail)
	o.Int("fail", c.Fail)
	o.Int("not_judged", c.NotJudged)
	o.Int("estimated", c.Estimated)
	o.Int("missing", c.Missing)
	o.Int("waived", c.Waived)
	o.Int("problems", c.Problems)
	o.Int("contradictions", c.Contradictions)
	return o.Close()
}

func (w *Line) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("id", w.ID)
	o.Int("index", w.Index)
	o.TextIf("spec", w.Spec)
	o.TextIf("name", w.Name)
	o.TextIf("gate", w.Gate)
	o.Bool("critical", w.Critical)
	o.Text("verdict", w.Verdict)
	o.Bool("decided", w.Decided)
	o.TextIf("undecided_because", w.UndecidedBecause)
	o.Bool("estimated", w.Estimated)
	o.Bool("waived", w.Waived)
	o.Text("action", w.Action)
	o.Text("text", w.Text)
	if w.AsFound != nil {
		o.Put(w.AsFound.AppendJSON(o.At("as_found")))
	}
	if w.AsBuilt != nil {
		o.Put(w.AsBuilt.AppendJSON(o.At("as_built")))
	}
	o.TextIf("part", w.Part)
	compact.ListIf(&o, "shims_before", w.ShimsBefore, (*ShimRequest).appendJSON)
	compact.ListIf(&o, "shims_after", w.ShimsAfter, (*ShimRequest).appendJSON)
	o.TextsIf("renewed", w.Renewed)
	o.BoolIf("retorqued", w.Retorqued)
	o.TextIf("by", w.By)
	o.TextIf("at", w.At)
	w.Tool.memberIf(&o)
	o.TextIf("witness", w.Witness)
	w.Waiver.memberIf(&o)
	o.TextIf("note", w.Note)
	compact.List(&o, "warnings", w.Warnings, (*wire.Note).AppendJSON)
	compact.List(&o, "next", w.Next, (*wire.Note).AppendJSON)
	o.Texts("cautions", w.Cautions)
	w.Problem.MemberIf(&o, "problem")
	return o.Close()
}

func (m *Missing) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("spec", m.Spec)
	o.Text("name", m.Name)
	o.Text("component", m.Component)
	o.Text("gate", m.Gate)
	o.Bool("critical", m.Critical)
	o.Text("because", m.Because)
	o.Text("text", m.Text)
	return o.Close()
}

func (g *Gate) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("gate", g.Gate)
	o.Text("name", g.Name)
	o.Text("state", g.State)
	o.Int("proven", g.Proven)
	compact.List(&o, "blocked_by", g.BlockedBy, (*GateItem).appendJSON)
	compact.List(&o, "waived", g.Waived, (*GateItem).appendJSON)
	compact.List(&o, "unproven", g.Unproven, (*GateItem).appendJSON)
	o.Text("text", g.Text)
	return o.Close()
}

func (i *GateItem) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.TextIf("spec", i.Spec)
	o.TextIf("id", i.ID)
	o.Text("name", i.Name)
	o.TextIf("gate", i.Gate)
	o.Text("because", i.Because)
	o.Text("text", i.Text)
	return o.Close()
}

func (c *Contradiction) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("code", c.Code)
	o.Text("text", c.Text)
	compact.List(&o, "params", c.Params, (*wire.Param).AppendJSON)
	o.Texts("specs", c.Specs)
	o.Texts("ids", c.IDs)
	compact.List(&o, "indexes", c.Indexes, func(n *int, b []byte) []byte { return strconv.AppendInt(b, int64(*n), 10) })
	o.Bool("blocks", c.Blocks)
	compact.ListIf(&o, "suspects", c.Suspects, (*wire.Note).AppendJSON)
	return o.Close()
}

func (x *Order) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("sku", x.SKU)
	o.TextIf("replaces", x.Replaces)
	o.Text("name", x.Name)
	o.Int("quantity", x.Quantity)
	o.Text("component", x.Component)
	o.Text("because", x.Because)
	o.Texts("specs", x.Specs)
	o.Text("text", x.Text)
	return o.Close()
}

func (s *Signature) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Bool("signed", s.Signed)
	o.TextIf("algorithm", s.Algorithm)
	o.TextIf("kid", s.KeyID)
	o.TextIf("signed_on", s.SignedOn)
	o.Text("digest", s.Digest)
	o.Text("text", s.Text)
	return o.Close()
}
