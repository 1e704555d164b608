package judge

import (
	"slices"

	"endfloat/service/note"
	"endfloat/service/spec"
)

// finish sets what to do, once everything else is known.
func (c *Check) finish(r *Result) {
	if c.How == "estimated" && r.Basis == Measured && r.HasValue {
		r.Basis = Estimated
	}
	if len(c.Sizes) > 0 && r.Basis == Measured && r.HasValue {
		r.Basis = Derived
	}
	c.overdue(r)
	r.Warnings = append(r.Warnings, c.Notes...)
	c.whatNext(r)
	r.Action = c.action(r)
	if c.Trace {
		c.trace(r)
	}
}

// overdue warns of a source whose review is overdue.
func (c *Check) overdue(r *Result) {
	s := c.Spec.Source
	if s != nil && s.ReviewBy != "" && c.Today != "" && s.ReviewBy < c.Today && r.Verdict != NotJudged {
		r.warn("source_overdue", str("review_by", s.ReviewBy))
	}
}

func (c *Check) action(r *Result) Action {
	switch r.Verdict {
	case Pass:
		switch {
		case c.wears() && c.Spec.WearLimit.Empty():
			return Ask
		case slices.ContainsFunc(r.Warnings, func(n note.Note) bool { return n.Code != torqueNotJudged }):
			return AcceptWithNote
		}
		return Accept
	case ConditionalPass:
		if c.Spec.Critical {
			return MeasureAgain
		}
		return AcceptWithNote
	case ConditionalFail:
		return MeasureAgain
	case Fail:
		return c.mend(r)
	}
	switch r.Because {
	case "implausible", "condition", "check_high", "no_band", "variant", "not_published", "out_of_scope", "unknown_category":
		return Ask
	}
	return MeasureAgain
}

// mend is what to do about a fail: the stated remedy, else adjust; worn out is replaced unless shims adjust it. As found
// on a side without a wear limit nothing says so, unless a remedy or a shim set is stated.
func (c *Check) mend(r *Result) Action {
	s := c.Spec
	remedy := Action(s.Remedy)
	switch {
	case r.Position == WornOut && s.AdjustedBy == "":
		return Replace
	case remedy != "":
		return remedy
	case s.AdjustedBy == "" && r.Position != WornOut && c.wears():
		return Ask
	}
	return Adjust
}

// wears reports whether the stage asks for a wear limit.
func (c *Check) wears() bool {
	return c.Stage == AsFound && c.Spec.Kind != spec.Torque && c.Spec.Kind != spec.Category
}
