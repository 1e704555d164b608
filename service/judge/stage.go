package judge

import (
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// earlierStage is why a reading on the way to the last stage is not judged: only the last one has a band.
const earlierStage = "earlier_stage"

// earlierStage answers a reading that names a stage before the last of its spec. It is held to the figure of its stage
// where a policy gives that a tolerance; else it is only recorded and does not count.
func (c *Check) earlierStage(r *Result, rd *measure.Reading, p measure.Place) (early bool) {
	s := c.Spec
	if s.ValueForm != spec.Stages || rd.Stage < 1 || rd.Stage >= len(s.Stages) {
		return false
	}
	st := s.Stages[rd.Stage-1]
	if !st.HasValue || !s.HasPolicy {
		c.bare(r, p.Value, earlierStage)
		return true
	}
	t, own := *s, *c
	t.Target = st.Value
	own.Spec = &t
	l := policyLimits(&t)
	own.fastener(r, rd, p, &l)
	if r.Verdict != Pass {
		r.warn("of_stage", note.Count("stage", rd.Stage))
	}
	return true
}

// lastOpen is what is said of a record without any reading of the last stage.
func (c *Check) lastOpen() (r Result) {
	c.undone(&r, earlierStage, Measured)
	r.warn("last_stage_missing", note.Count("stages", len(c.Spec.Stages)))
	return r
}
