package judge

import (
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// earlierStage is why a reading on the way to the last stage is not judged: only the last one has a band.
const earlierStage = "earlier_stage"

// early reports whether a reading names a stage before the last of its spec.
func (c *Check) early(rd *measure.Reading) bool {
	return c.Spec.ValueForm == spec.Stages && 1 <= rd.Stage && rd.Stage < len(c.Spec.Stages)
}

// late is the fasteners of the last stage.
func (c *Check) late(all []measure.Place) []measure.Place {
	if c.Spec.ValueForm != spec.Stages {
		return all
	}
	var last []measure.Place
	for i := range all {
		if !c.early(&c.Readings[i]) {
			last = append(last, all[i])
		}
	}
	return last
}

// earlierStage answers a reading of a stage before the last. It is held to the figure of its stage where a policy gives
// that a tolerance; else it is only recorded and does not count.
func (c *Check) earlierStage(r *Result, rd *measure.Reading, p measure.Place) {
	s := c.Spec
	st := s.Stages[rd.Stage-1]
	if !st.HasValue || !s.HasPolicy {
		c.bare(r, p.Value, earlierStage)
		return
	}
	t, own := *s, *c
	t.Target = st.Value
	own.Spec = &t
	l := policyLimits(&t)
	own.fastener(r, rd, p, &l)
	if r.Verdict != Pass {
		r.warn("of_stage", note.Count("stage", rd.Stage))
	}
}

// lastOpen is what is said of a record without any reading of the last stage.
func (c *Check) lastOpen() (r Result) {
	c.undone(&r, earlierStage, Measured)
	r.warn("last_stage_missing", note.Count("stages", len(c.Spec.Stages)))
	return r
}
