package judging

import (
	"endfloat/api/compact"
	"endfloat/api/problem"
	"endfloat/api/wire"
)

// AppendJSON appends the answer.
func (a *EvaluationAnswer) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("revision", a.Revision)
	o.Text("revision_date", a.RevisionDate)
	o.Text("rules", a.Rules)
	o.Put(a.Policy.AppendJSON(o.At("policy")))
	o.Put(a.Summary.appendJSON(o.At("summary")))
	compact.List(&o, "results", a.Results, (*Result).AppendJSON)
	compact.List(&o, "notes", a.Notes, (*wire.Note).AppendJSON)
	compact.List(&o, "cautions", a.Cautions, (*wire.Caution).AppendJSON)
	return o.Close()
}

// AppendJSON appends the policy.
func (p *Policy) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("name", p.Name)
	o.Text("rule", p.Rule)
	o.Text("guard", p.Guard)
	p.MinProbability.MemberIf(&o, "min_probability")
	o.Bool("require_uncertainty", p.RequireUncertainty)
	o.Bool("pinned", p.Pinned)
	return o.Close()
}

func (s *Summary) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Int("rows", s.Rows)
	o.Int("pass", s.Pass)
	o.Int("conditional_pass", s.ConditionalPass)
	o.Int("conditional_fail", s.ConditionalFail)
	o.Int("fail", s.Fail)
	o.Int("not_judged", s.NotJudged)
	o.Int("problems", s.Problems)
	return o.Close()
}

// AppendJSON appends the result.
func (r *Result) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("id", r.ID)
	o.Int("index", r.Index)
	o.TextIf("spec", r.Spec)
	o.Text("verdict", r.Verdict)
	o.Bool("decided", r.Decided)
	o.TextIf("undecided_because", r.UndecidedBecause)
	o.TextIf("basis", r.Basis)
	o.TextIf("position", r.Position)
	o.Text("action", r.Action)
	r.Value.MemberIf(&o, "value")
	o.TextIf("unit", r.Unit)
	o.Text("text", r.Text)
	r.Display.memberIf(&o)
	r.Interval.MemberIf(&o, "interval")
	r.StandardU.MemberIf(&o, "standard_uncertainty")
	o.TextIf("uncertainty_source", r.UncertaintySource)
	o.TextIf("rule_used", r.RuleUsed)
	o.TextIf("guard", r.Guard)
	o.TextIf("stage", r.Stage)
	r.Probability.MemberIf(&o, "probability_within")
	r.Band.MemberIf(&o, "band")
	r.WearLimit.MemberIf(&o, "wear_limit")
	r.Limits.MemberIf(&o, "limits")
	r.SpecPolicy.MemberIf(&o, "policy")
	r.Margin.memberIf(&o)
	r.Target.MemberIf(&o, "target")
	o.TextIf("target_policy", r.TargetPolicy)
	r.TargetDeviation.MemberIf(&o, "target_deviation")
	r.AllowanceUsed.MemberIf(&o, "allowance_used")
	r.Ratio.MemberIf(&o, "measurement_ratio")
	r.Places.memberIf(&o)
	o.IntIf("decided_by_reading", r.DecidedBy)
	compact.ListIf(&o, "readings", r.Readings, (*ReadingResult).appendJSON)
	compact.ListIf(&o, "views", r.Views, (*View).appendJSON)
	compact.List(&o, "warnings", r.Warnings, (*wire.Note).AppendJSON)
	compact.List(&o, "next", r.Next, (*wire.Note).AppendJSON)
	compact.ListIf(&o, "trace", r.Trace, (*wire.Note).AppendJSON)
	compact.ListIf(&o, "alternatives", r.Alternatives, (*wire.Alternative).AppendJSON)
	o.TextIf("source_class", r.SourceClass)
	o.Texts("cautions", r.Cautions)
	r.Problem.MemberIf(&o, "problem")
	return o.Close()
}

func (d *ResultDisplay) memberIf(o *compact.Object) {
	p := o.Nest("display")
	p.TextIf("value", d.Value)
	p.TextIf("interval", d.Interval)
	p.TextIf("target_deviation", d.Deviation)
	p.TextIf("band", d.Band)
	p.TextIf("target", d.Target)
	p.TextIf("wear_limit", d.WearLimit)
	o.PutIf(&p)
}

func (m *Margin) memberIf(o *compact.Object) {
	p := o.Nest("margin")
	m.ToLower.MemberIf(&p, "to_lower")
	m.ToUpper.MemberIf(&p, "to_upper")
	p.TextIf("unit", m.Unit)
	o.PutIf(&p)
}

func (s *PlacesSummary) memberIf(o *compact.Object) {
	if *s == (PlacesSummary{}) {
		return
	}
	p := o.Nest("places")
	p.Int("count", s.Count)
	s.Min.MemberIf(&p, "min")
	s.Max.MemberIf(&p, "max")
	s.Spread.MemberIf(&p, "spread")
	o.PutIf(&p)
}

func (r *ReadingResult) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Int("number", r.Number)
	o.TextIf("position", r.Position)
	o.Text("verdict", r.Verdict)
	o.Bool("decided", r.Decided)
	o.TextIf("undecided_because", r.UndecidedReason)
	o.TextIf("where", r.Where)
	o.Text("action", r.Action)
	r.Value.MemberIf(&o, "value")
	o.Text("unit", r.Unit)
	o.TextIf("display", r.Display)
	r.Probability.MemberIf(&o, "probability_within")
	compact.List(&o, "warnings", r.Warnings, (*wire.Note).AppendJSON)
	compact.List(&o, "next", r.Next, (*wire.Note).AppendJSON)
	return o.Close()
}

func (v *View) appendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("party", v.Party)
	o.Text("claim", v.Claim)
	o.Bool("can_prove", v.CanProve)
	v.Limits.MemberIf(&o, "limits")
	o.Text("text", v.Text)
	return o.Close()
}

// MemberIf is the member of an object that holds the problem, where there is one.
func (p *RowProblem) MemberIf(o *compact.Object, key string) {
	if p.Code == "" && p.Type == "" && p.Title == "" && p.Detail == "" && p.Errors == nil && p.ErrorsOmitted == 0 {
		return
	}
	q := o.Nest(key)
	q.Text("type", p.Type)
	q.Text("title", p.Title)
	q.Text("code", p.Code)
	q.Text("detail", p.Detail)
	compact.ListIf(&q, "errors", p.Errors, (*problem.Fault).AppendJSON)
	q.IntIf("errors_omitted", p.ErrorsOmitted)
	o.PutIf(&q)
}

// AppendJSON appends the size as it was sent.
func (s *SizeRequest) AppendJSON(b []byte) []byte {
	o := compact.Open(b)
	o.Text("part", s.Part)
	s.Sign.MemberIf(&o, "sign")
	compact.List(&o, "readings", s.Readings, (*wire.ReadingRequest).AppendJSON)
	s.Instrument.MemberIf(&o, "instrument")
	s.Temperature.MemberIf(&o, "temperature_c")
	s.Expansion.MemberIf(&o, "expansion_per_k")
	s.InstrumentTemp.MemberIf(&o, "instrument_temperature_c")
	s.InstrumentExpan.MemberIf(&o, "instrument_expansion_per_k")
	return o.Close()
}
