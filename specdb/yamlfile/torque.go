package yamlfile

import (
	"fmt"

	"go.yaml.in/yaml/v3"

	"endfloat/service/spec"
)

// mostStages is the most stages of a tightening.
const mostStages = 12

func (r *reader) torqueFields(m mapping, s *spec.Spec, places int) {
	if m.get("value_form") != nil {
		s.ValueForm = spec.ValueForm(r.word(m, "value_form"))
	}
	if n := m.get("policy_percent"); n != nil {
		s.PolicyPercent, s.HasPolicy = r.number(n, 3)
	}
	if n := m.get("angle"); n != nil {
		s.TurnAngle, s.HasTurnAngle = r.number(n, 9)
	}
	if n := m.get("angle_tolerance"); n != nil {
		s.AngleTolerance, s.HasAngleTolerance = r.number(n, 9)
	}
	if n := m.get("stages"); n != nil {
		s.Stages = r.stages(n, places)
	}
	if n := m.get("fastener"); n != nil {
		s.Fastener = r.fastener(n, places)
	}
}

func (r *reader) stages(n *yaml.Node, places int) []spec.Stage {
	var out []spec.Stage
	for _, e := range r.list(n) {
		m, _ := r.entries(e, r.shapes.stage)
		var st spec.Stage
		st.Value, st.HasValue = r.number(m.get("value"), places)
		st.Angle, st.HasAngle = r.number(m.get("angle"), 9)
		st.Pattern = r.str(m.get("pattern"))
		if m.get("value") == nil && m.get("angle") == nil {
			r.fault(e, "empty_stage", "a stage has a torque, a turn or both", "add value or angle")
		}
		if st.Value.Sign() < 0 || st.Angle.Sign() < 0 {
			r.fault(e, "negative", "a stage never turns back", "write figures over 0")
		}
		out = append(out, st)
	}
	if len(out) > mostStages {
		r.fault(n, "too_long", fmt.Sprintf("there are more than %d stages", mostStages), "leave out what is no stage")
	}
	return out
}

func (r *reader) fastener(n *yaml.Node, places int) *spec.Fastener {
	m, _ := r.entries(n, r.shapes.fastener)
	f := &spec.Fastener{Thread: r.str(m.get("thread")), Hand: spec.Hand(r.word(m, "hand")),
		PropertyClass: r.str(m.get("property_class")), Head: r.str(m.get("head")), Into: r.str(m.get("into")),
		Condition: r.word(m, "condition"), Count: int(r.whole(m, "count")), Access: r.word(m, "access"),
		Reuse: r.word(m, "reuse"), Retorque: r.word(m, "retorque"), Prevailing: r.word(m, "prevailing"),
		Locking: r.str(m.get("locking")), Pattern: r.str(m.get("pattern")), Taper: r.yes(m.get("taper")),
		Slots: int(r.whole(m, "slots"))}
	f.Running, f.HasRunning = r.number(m.get("running_torque"), places)
	if f.Running.Sign() < 0 {
		r.fault(m.get("running_torque"), "negative", "a running torque is never negative", "write 0 or more")
	}
	return f
}
