package judge

import (
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

// AngleTolerance is what a torque angle may be off by where the spec is silent: ±5°. Common practice, no source.
const AngleTolerance = 5

// torque judges each reading as a fastener of its own; the check takes the worst and that reading's value.
func (c *Check) torque(r *Result) {
	l, ok := c.limits()
	if c.Spec.ValueForm == spec.Stages && !ok {
		l, ok = c.lastStage()
	}
	if !ok && c.Spec.ValueForm != spec.TorqueAngle {
		c.undone(r, "no_band", Measured)
		return
	}
	all, because := c.fasteners()
	if because != "" {
		c.undone(r, because, Measured)
		return
	}
	var each []Result
	if len(all) > 1 && c.trial == nil {
		each = make([]Result, 0, len(all))
	}
	counted := false
	for i := range all {
		rd := &c.Readings[i]
		own := c.as(rd)
		var one Result
		if c.early(rd) {
			own.earlierStage(&one, rd, all[i])
		} else {
			own.fastener(&one, rd, all[i], &l)
		}
		one.Reading = i
		if one.Because != earlierStage && (!counted || worse(&one, r)) {
			*r, counted = one, true
		}
		if each != nil {
			alone := *own
			alone.Readings = c.Readings[i : i+1]
			alone.whatNext(&one)
			one.Action = own.action(&one)
			each = append(each, one)
		}
	}
	places := c.late(all)
	if len(places) == 0 {
		if open := c.lastOpen(); !counted || worse(&open, r) {
			*r = open
		}
	} else {
		r.summarise(places)
	}
	r.Each = each
	if n := c.Spec.Points.Minimum; len(places) < n {
		r.warn("few_places", note.Count("places", len(places)), note.Count("minimum", n))
	}
}

// fasteners reads every fastener; because is the reason for which one of them cannot be read.
func (c *Check) fasteners() (places []measure.Place, because string) {
	if c.trial != nil {
		return c.trial.places, ""
	}
	places = make([]measure.Place, len(c.Readings))
	for i := range places {
		rd := &c.Readings[i]
		p, err := measure.PlaceOf(rd, c.Unit, c.Spec.Unit, &c.Instrument)
		if err != nil || len(rd.Blades) > 0 {
			return nil, "mixed_units"
		}
		places[i] = p
	}
	return places, ""
}

// as is the check with what a reading says for itself of how it was had.
func (c *Check) as(rd *measure.Reading) *Check {
	if rd.How == "" || rd.How == c.How {
		return c
	}
	own := *c
	own.How = rd.How
	return &own
}

// lastStage holds the last stage to the policy, where the stages were published as figures.
func (c *Check) lastStage() (limits, bool) {
	s := c.Spec
	if len(s.Stages) == 0 || !s.HasPolicy {
		return limits{}, false
	}
	last := s.Stages[len(s.Stages)-1]
	if !last.HasValue {
		return limits{}, false
	}
	t := *s
	t.Target = last.Value
	return policyLimits(&t), true
}

// badness orders verdicts of fasteners, the worst first.
func badness(v Verdict) int {
	switch v {
	case Fail:
		return 4
	case ConditionalFail:
		return 3
	case NotJudged:
		return 2
	case ConditionalPass:
		return 1
	}
	return 0
}

// worse reports whether a goes before b: by verdict, then by the smaller margin; of equals the first stays.
func worse(a, b *Result) bool {
	if d := badness(a.Verdict) - badness(b.Verdict); d != 0 {
		return d > 0
	}
	ma, okA := a.margin()
	mb, okB := b.margin()
	return okA && okB && ma.Less(mb)
}

// margin is the smaller of the distances to the limits.
func (r *Result) margin() (quantity.Exact, bool) {
	switch {
	case r.MarginLower.Has && (!r.MarginUpper.Has || r.MarginLower.At.Less(r.MarginUpper.At)):
		return r.MarginLower.At, true
	case r.MarginUpper.Has:
		return r.MarginUpper.At, true
	}
	return quantity.Exact{}, false
}

// fastener judges one reading.
func (c *Check) fastener(r *Result, rd *measure.Reading, p measure.Place, l *limits) {
	x, net := p.Value, p.Value
	if rd.HasRunning && c.Spec.Fastener != nil && c.Spec.Fastener.Prevailing == torque.Extra {
		if run, ok := quantity.In(rd.Running, c.Unit, c.Spec.Unit); ok {
			net = x.Sub(run)
		}
	}
	p.Value = net
	if c.noFastener(r, rd, net, l) {
		return
	}
	r.Basis, r.RuleUsed = Measured, c.Rule
	h := c.combine([]measure.Place{p}, spec.Mean)
	sides := [2]held{h, h}
	if c.trial == nil {
		c.value(r, &h)
	}
	switch {
	case c.Spec.ValueForm == spec.TorqueAngle:
		c.angle(r, rd)
	case c.How == "check":
		c.checkReading(r, l, &sides)
	default:
		c.decide(r, l, &sides)
		c.possibleSlip(r, l, &sides)
	}
	if c.trial != nil {
		return
	}
	c.running(r, rd)
	c.tool(r, x)
	if p.FewRepeats() {
		r.warn("few_repeats", note.Count("repeats", p.Count), note.Count("needed", measure.EnoughRepeats))
	}
}

// noFastener says why a reading of x is not judged, and whether it is not: it cannot be true, was taken in another
// condition, or lacks the angle. Then the value alone is given.
func (c *Check) noFastener(r *Result, rd *measure.Reading, x quantity.Exact, l *limits) bool {
	f := c.Spec.Fastener
	angled := c.Spec.ValueForm == spec.TorqueAngle
	switch {
	case !angled && c.unlikely(x, l):
		c.implausibleAt(r, x, l)
	case c.Condition != "" && f != nil && f.Condition != "" && f.Condition != c.Condition:
		c.bare(r, x, "condition")
		r.warn("condition_differs", str("condition", c.Condition), str("published", f.Condition))
		if n, ok := torque.InCondition(c.Spec, c.Condition); ok {
			r.Next = append(r.Next, n)
		}
	case angled && !rd.HasAngle:
		c.bare(r, x, "angle_missing")
	case c.How == "check" && l.has[1] && l.upper.Less(x):
		c.bare(r, x, "check_high")
		r.warn("check_high", c.eye("value", x, l.upper), c.eye("upper", l.upper))
	default:
		return false
	}
	return true
}

// bare gives the value of a reading that is not judged.
func (c *Check) bare(r *Result, x quantity.Exact, because string) {
	c.undone(r, because, Measured)
	r.Value, r.HasValue = x, true
}

// checkReading judges a torque read at first movement in the tightening direction by its value alone: low is relaxed.
func (c *Check) checkReading(r *Result, l *limits, sides *[2]held) {
	simple := *c
	simple.Rule = Simple
	simple.decide(r, l, sides)
	w, reason := torque.Of(c.Spec)
	if r.Verdict == Fail && reason == "" && w.Aim.Sign() > 0 {
		share := w.Aim.Sub(sides[0].value).Quo(w.Aim).Float64()
		r.warn("relaxed", note.Percent("share", share))
	}
	if f := c.Spec.Fastener; r.Verdict == Fail && f != nil && (f.Retorque == "never" || f.Condition == "thread_lock" || f.Reuse == "one_time") {
		r.next("never_retorque")
		r.next("undo_and_tighten_afresh")
	}
}

// torqueNotJudged says that the torque that was read beside an angle counts for nothing. It is no reason for a note.
const torqueNotJudged = "torque_not_judged"

// angle judges a torque with an angle by the angle alone.
func (c *Check) angle(r *Result, rd *measure.Reading) {
	want := c.Spec.TurnAngle.Exact()
	tol := quantity.Int(AngleTolerance)
	if c.Spec.HasAngleTolerance {
		tol = c.Spec.AngleTolerance.Exact()
	}
	got := rd.Angle.Exact()
	r.Angle = Limit{got, true}
	r.RuleUsed, r.Verdict, r.Position = Simple, Pass, Within
	r.MarginLower, r.MarginUpper = Limit{got.Sub(want.Sub(tol)), true}, Limit{want.Add(tol).Sub(got), true}
	r.HasProb = false
	off := note.Qty("off", got.Sub(want).Abs().Shown(0, tol), quantity.Degree)
	switch {
	case r.MarginLower.At.Sign() < 0:
		r.Verdict, r.Position = Fail, Below
		r.warn("angle_short", off)
	case r.MarginUpper.At.Sign() < 0:
		r.Verdict, r.Position = Fail, Above
		r.warn("angle_over", off)
	}
	r.warn(torqueNotJudged)
	r.Decided = true
	if c.How == "estimated" {
		r.Decided, r.Because, r.Basis = false, "estimated", Estimated
		r.Verdict = map[Verdict]Verdict{Pass: ConditionalPass, Fail: ConditionalFail}[r.Verdict]
	}
}

// running looks at the running torque of a prevailing nut.
func (c *Check) running(r *Result, rd *measure.Reading) {
	f := c.Spec.Fastener
	if f == nil || f.Prevailing == "" {
		return
	}
	switch {
	case f.Prevailing == torque.Unstated:
		r.warn("prevailing_unstated")
	case f.Prevailing == torque.Extra && !rd.HasRunning:
		r.warn("running_torque_missing")
	}
	if !rd.HasRunning || !f.HasRunning {
		return
	}
	if run, ok := quantity.In(rd.Running, c.Unit, c.Spec.Unit); ok && run.Less(f.Running.Exact()) {
		r.warn("running_torque_low", c.eye("running", run, f.Running.Exact()), note.Qty("least", f.Running, c.Spec.Unit))
		r.next("renew_the_nut")
	}
}

// tool looks at the range and the direction of the wrench, where they are declared.
func (c *Check) tool(r *Result, x quantity.Exact) {
	t := torque.Wrench{Unit: c.Unit, Range: c.Instrument.Range, Only: c.Instrument.Only}
	shown, ok := quantity.Convert(x, c.Spec.Unit, c.Unit)
	if ok {
		r.Warnings = append(r.Warnings, t.Misused(shown.Print(0, 6), c.Spec.LeftHand())...)
	}
}
