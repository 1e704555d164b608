package judging

import (
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// fromRow is the answer to a row, judged or not.
func (b *batch) fromRow(r *row, i int) (w Result) {
	var res judge.Result
	b.fromJudged(&w, &res, r, i)
	return w
}

// fromJudged fills in the answer to a row, w, and what it rests on, res; both are empty before.
func (b *batch) fromJudged(w *Result, res *judge.Result, r *row, i int) {
	w.ID, w.Index, w.Spec, w.Warnings, w.Next, w.Cautions = r.id, i, r.key, []wire.Note{}, []wire.Note{}, []string{}
	s := r.resolved.Spec
	if s != nil {
		w.Cautions = b.said(s).cautions
		b.codes.Add(w.Cautions...)
	}
	if r.bad.Len() > 0 {
		b.problem(w, r, s)
		return
	}
	*res = judge.Judge(r.check)
	b.fromResult(w, r, res, &b.said(s).limits)
	if r.both {
		w.Views = b.views(r.check)
	}
	if r.resolved.Undecided {
		shown := wire.ShowResolved(r.resolved, b.lang, b.book, b.rev.Defaults, nil)
		w.Alternatives, w.Cautions = append(w.Alternatives, shown.Alternatives...), shown.Cautions
		w.Text = b.book.Joined(b.lang, w.Text, b.instead(r.resolved))
		b.codes.Add(w.Cautions...)
	}
}

func (v *voice) fromResult(w *Result, r *row, res *judge.Result, limits *text.Display) {
	s := r.check.Spec
	d := s.Decimals
	w.Verdict, w.Decided, w.UndecidedBecause = string(res.Verdict), res.Decided, res.Because
	w.Basis, w.Position, w.Action = string(res.Basis), string(res.Position), string(res.Action)
	w.Unit, w.UncertaintySource, w.RuleUsed = string(s.Unit), string(res.Source), res.RuleUsed
	w.Stage = stageOf(&r.check)
	if res.RuleUsed == judge.Guarded {
		w.Guard = guardOf(&r.check)
	}
	w.Value = wire.DecIf(res.Value.Print(d, 2), res.HasValue)
	w.Interval = wire.Band{Lower: wire.DecIf(res.Lower.Exact().Print(d, 2), res.HasLower), Upper: wire.DecIf(res.Upper.Exact().Print(d, 2), res.HasUpper)}
	if res.HasStandard {
		w.StandardU = wire.Dec(quantity.FromFloat(res.Standard).Print(d, 4))
	}
	if res.HasProb {
		w.Probability = wire.Estimate(judge.PrintProbability(res.Probability), 3)
	}
	if s.ValueForm != spec.OutOfScope && s.ValueForm != spec.NotPublished {
		w.Band, w.WearLimit = wire.FromRange(s.Band, d), wire.FromRange(s.WearLimit, d)
		w.SpecPolicy = wire.SpecPolicy{Percent: wire.DecIf(s.PolicyPercent, s.HasPolicy)}
		if s.HasTarget {
			w.Target, w.TargetPolicy = wire.Dec(s.Target.Padded(d)), string(s.Policy())
		}
	}
	w.Limits = wire.Band{Lower: limit(res.LimitLower, d), Upper: limit(res.LimitUpper, d)}
	w.Margin = Margin{ToLower: limit(res.MarginLower, d), ToUpper: limit(res.MarginUpper, d)}
	if res.Angle.Has {
		w.Margin.Unit = string(quantity.Degree)
	}
	w.TargetDeviation = limit(res.Deviation, d)
	if res.HasAllowance {
		w.AllowanceUsed = wire.Estimate(res.Allowance, 3)
	}
	if ratio, ok := res.Ratio(); ok {
		w.Ratio = wire.Estimate(ratio, 2)
	}
	if res.HasPlaces {
		p := res.Places
		w.Places = PlacesSummary{Count: p.Count, Min: wire.Dec(p.Min.Print(d, 2)), Max: wire.Dec(p.Max.Print(d, 2)), Spread: wire.Dec(p.Spread.Print(d, 2))}
	}
	if s.Kind == spec.Torque && len(r.check.Readings) > 1 {
		w.DecidedBy = res.Reading + 1
	}
	w.Readings = v.each(res.Each, &r.check)
	w.Warnings, w.Next = v.notes(res.Warnings), v.notes(res.Next)
	if len(res.Trace) > 0 {
		w.Trace = v.notes(res.Trace)
	}
	if s.Source != nil {
		w.SourceClass = s.Source.Class
	}
	v.texts(w, s, res, limits)
}

func limit(l judge.Limit, decimals int) wire.Decimal {
	return wire.DecIf(l.At.Print(decimals, 2), l.Has)
}

func stageOf(c *judge.Check) string {
	if c.Part == judge.Reused || c.Stage == judge.AsFound {
		return judge.AsFound
	}
	return judge.AsBuilt
}

func guardOf(c *judge.Check) string {
	switch {
	case c.Guard != "":
		return c.Guard
	case c.Policy.Guard != "":
		return c.Policy.Guard
	}
	return judge.GuardU
}

// each is what every fastener of a torque record comes to by itself.
func (v *voice) each(list []judge.Result, c *judge.Check) []ReadingResult {
	if len(list) == 0 || v.cell {
		return nil
	}
	out := make([]ReadingResult, 0, len(list))
	d, unit := c.Spec.Decimals, c.Spec.Unit
	for i := range list {
		r := &list[i]
		w := ReadingResult{Number: i + 1, Position: c.Readings[i].Position, Verdict: string(r.Verdict), Decided: r.Decided, UndecidedReason: r.Because,
			Where: string(r.Position), Action: string(r.Action), Value: wire.DecIf(r.Value.Print(d, 2), r.HasValue), Unit: string(unit),
			Warnings: v.notes(r.Warnings), Next: v.notes(r.Next)}
		if r.HasValue {
			w.Display = text.Value(r.Value.Shown(d, limitsOf(c.Spec, r)...).String(), unit)
		}
		if r.HasProb {
			w.Probability = wire.Estimate(judge.PrintProbability(r.Probability), 3)
		}
		out = append(out, w)
	}
	return out
}

// views says what each party of a dispute can prove.
func (v *voice) views(c judge.Check) []View {
	supplier, customer := judge.Views(c)
	d := c.Spec.Decimals
	view := func(party, claim string, seen judge.View) View {
		code := "view_" + party + "_cannot"
		if seen.Proven {
			code = "view_" + party + "_can"
		}
		return View{Party: party, Claim: claim, CanProve: seen.Proven, Limits: wire.Band{Lower: limit(seen.Lower, d), Upper: limit(seen.Upper, d)},
			Text: v.word(code)}
	}
	return []View{view("supplier", "inside", supplier), view("customer", "outside", customer)}
}
