package judge

import "endfloat/service/spec"

// finish sets what to do, once everything else is known.
func (c Check) finish(r *Result) {
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
func (c Check) overdue(r *Result) {
	s := c.Spec.Source
	if s != nil && s.ReviewBy != "" && c.Today != "" && s.ReviewBy < c.Today && r.Verdict != NotJudged {
		r.warn("source_overdue", str("review_by", s.ReviewBy))
	}
}

func (c Check) action(r *Result) Action {
	noWear := c.Stage == AsFound && c.Spec.Kind != spec.Torque && c.Spec.Kind != spec.Category && c.Spec.WearLimit.Empty()
	switch r.Verdict {
	case Pass:
		switch {
		case noWear:
			return Ask
		case len(r.Warnings) > 0:
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
		return c.mend(r, noWear)
	}
	switch r.Because {
	case "implausible", "condition", "check_high", "no_band", "variant", "not_published", "out_of_scope", "unknown_category":
		return Ask
	}
	return MeasureAgain
}

// mend is what to do about a fail: the stated remedy, else adjust; worn out is replaced unless shims adjust it. As found
// on a side without a wear limit nothing says so, unless a remedy or a shim set is stated.
func (c Check) mend(r *Result, noWear bool) Action {
	s := c.Spec
	remedy := Action(s.Remedy)
	if r.Position == WornOut {
		switch {
		case s.AdjustedBy == "":
			return Replace
		case remedy != "":
			return remedy
		}
		return Adjust
	}
	if remedy != "" {
		return remedy
	}
	if s.AdjustedBy != "" {
		return Adjust
	}
	if c.Stage == AsFound && s.Kind != spec.Torque && s.Kind != spec.Category && (noWear || !c.wearOn(r.Position)) {
		return Ask
	}
	return Adjust
}

// wearOn reports whether the side on which the value is out has a wear limit.
func (c Check) wearOn(p Position) bool {
	w := c.Spec.WearLimit
	return p == Below && w.HasLower || p == Above && w.HasUpper
}
