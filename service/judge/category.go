package judge

import (
	"slices"

	"endfloat/service/note"
)

func str(name, value string) note.Param { return note.Str(name, value) }

// category judges words: those that are allowed pass, those that are known and not allowed fail, others are asked about.
// Of several readings the worst counts.
func (c *Check) category(r *Result) {
	*r = Result{Verdict: Pass, Decided: true, Basis: Measured, Position: Within, RuleUsed: Simple}
	for i := range c.Readings {
		rd := &c.Readings[i]
		switch {
		case slices.Contains(c.Spec.Allowed, rd.Category):
		case len(c.Spec.Rejected) > 0 && !slices.Contains(c.Spec.Rejected, rd.Category):
			c.undone(r, "unknown_category", Measured)
			r.warn("unknown_category", str("category", rd.Category))
			return
		default:
			r.Verdict, r.Reading, r.Position = Fail, i, ""
		}
	}
	if c.How == "estimated" {
		r.Basis = Estimated
		if r.Verdict == Pass {
			r.Verdict = ConditionalPass
		} else {
			r.Verdict = ConditionalFail
		}
		r.Decided, r.Because = false, "estimated"
	}
}
