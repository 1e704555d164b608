package torque

import (
	"math"

	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// fromGuess fills in the estimate and everything it rests on.
func (h Handlers) fromGuess(g *guess, a *EstimateAnswer, lang string) {
	j := g.joint
	e := j.Estimate()
	a.Thread, a.PropertyClass = j.Thread.Name, j.Class.Name
	a.Torque, a.ClampForce = g.torqueIn(e.Torque), kilonewtons(e.ClampForce)
	a.Geometry = fromGeometry(e.Geometry)
	if j.Face.Outer > 0 {
		a.Bearing = Bearing{Outer: about(j.Face.Outer), Hole: about(j.Face.Hole), MeanDiameter: about(j.Face.Mean()), Unit: "mm"}
	}
	a.Strength = Strength{Standard: j.Class.Standard, Tensile: about(j.Class.Tensile), Yield: about(j.Class.Yield), Proof: about(j.Class.Proof), Unit: "MPa"}
	a.ProofLoad, a.UltimateLoad, a.ProofUse = kilonewtons(e.ProofLoad), kilonewtons(e.Ultimate), about(e.ProofUse)
	a.Stress = Stress{Tension: about(e.Tension), Combined: about(e.Combined), Unit: "MPa"}
	if j.Model != torque.NutFactor {
		a.Stress.ThreadPart, a.Stress.HeadPart, a.Stress.PitchPart = about(e.ThreadPart), about(e.HeadPart), about(e.PitchPart)
	}
	a.NutFactor = about(torque.NutFactorOfJoint(j))
	assumptions, warnings := g.assumptions(e)
	assumptions = append(assumptions, g.scatter(a, e))
	if g.engaged != nil {
		rests, doubts := g.strip(a, e)
		assumptions, warnings = append(assumptions, rests), append(warnings, doubts...)
	}
	if g.stiffness > 0 {
		s := j.Slope(g.stiffness)
		a.Slope = Slope{Torque: g.torqueIn(s.Torque), ClampForce: kilonewtons(s.Clamp)}
	}
	h.equal(g, a, e, lang)
	a.Assumptions = wire.FromNotes(assumptions, lang, h.book)
	a.Warnings = append(a.Warnings, wire.FromNotes(warnings, lang, h.book)...)
	a.Method = h.say(lang, map[torque.Model]string{torque.VDI2230: "word_method_vdi2230", torque.Elastic: "word_method_elastic", torque.NutFactor: "word_method_nut_factor"}[j.Model])
	a.Display = EstimateShown{Torque: text.Value(digits(g.inUnit(e.Torque), 3).String(), g.unit), ClampForce: text.Value(digits(e.ClampForce/1000, 3).String(), "kN"),
		ProofLoad: text.Value(digits(e.ProofLoad/1000, 3).String(), "kN")}
	a.Text = h.say(lang, "word_estimate", note.Str("torque", a.Display.Torque), note.Str("force", a.Display.ClampForce))
}

func fromGeometry(g torque.Geometry) Geometry {
	return Geometry{Diameter: about(g.Diameter), Pitch: about(g.Pitch), D2: length(g.D2), D1: length(g.D1), D3: length(g.D3), StressArea: about(g.StressArea),
		NominalArea: about(g.NominalArea), RootArea: about(g.RootArea), LeadAngle: about(g.LeadAngle() * 180 / math.Pi), Unit: "mm"}
}

// length is a diameter in micrometres, as thread tables print it.
func length(mm float64) wire.Decimal {
	d, _ := quantity.FromFloat(mm).Round(3, quantity.HalfEven)
	return wire.Dec(d)
}

// assumptions lists what the figure rests on, and what speaks against it.
func (g *guess) assumptions(e torque.Estimate) (rests, doubts []note.Note) {
	j := g.joint
	percent := quantity.FromFloat(j.Utilisation*100).Print(0, 2)
	rests = append(rests, note.New("assume_class", note.Str("class", j.Class.Name), note.Str("standard", j.Class.Standard), qty("yield", j.Class.Yield, "MPa"),
		qty("tensile", j.Class.Tensile, "MPa"), qty("proof", j.Class.Proof, "MPa")))
	if j.Class.Standard == torque.ISO3506 {
		rests = append(rests, note.New("assume_proof_is_yield"))
	}
	if j.Model == torque.NutFactor {
		rests = append(rests, note.New("assume_proof_share", note.Qty("percent", percent, "%")), note.New("assume_nut_factor", plain("k", j.K)))
	} else {
		code := "assume_face_" + string(g.head)
		if g.given {
			code = "assume_face_given"
		}
		rests = append(rests, note.New("assume_utilisation", note.Qty("percent", percent, "%")),
			note.New("assume_friction", plain("thread", j.Friction.Thread), plain("head", j.Friction.Head)),
			note.New(code, note.Qty("outer", trimmed(j.Face.Outer), "mm"), note.Qty("hole", trimmed(j.Face.Hole), "mm")))
	}
	rests = append(rests, note.New("assume_basic_sizes"))
	if e.ProofUse > 1 {
		doubts = append(doubts, note.New("over_proof", qty("percent", e.ProofUse*100, "%")))
	}
	return rests, doubts
}

// plain is a number without a unit, such as a coefficient.
func plain(name string, f float64) note.Param { return note.Qty(name, trimmed(f), "") }

func trimmed(f float64) quantity.Decimal { return quantity.FromFloat(f).Print(0, 3) }

// scatter says what the way of tightening makes of the clamp force.
func (g *guess) scatter(a *EstimateAnswer, e torque.Estimate) note.Note {
	s, _ := torque.ScatterOf(g.tightening)
	least := s.Least(e.ClampForce)
	a.Scatter = Scatter{Tightening: string(g.tightening), Factor: wire.Band{Lower: wire.Dec(trimmed(s.Lower)), Upper: wire.Dec(trimmed(s.Upper))}, Least: kilonewtons(least)}
	return note.New("assume_scatter", plain("lower", s.Lower), plain("upper", s.Upper), qty("least", least/1000, "kN"))
}

// strip says what the internal thread holds.
func (g *guess) strip(a *EstimateAnswer, e torque.Estimate) (rests note.Note, doubts []note.Note) {
	s := g.joint.Strip(*g.engaged, e.ClampForce)
	mouth := g.joint.Thread.RunOut()
	a.Engagement = Engagement{StripsFirst: s.StripsFirst, FailsFirst: s.FailsFirst, Internal: kilonewtons(s.Internal), External: kilonewtons(s.External),
		Bolt: kilonewtons(s.Bolt), Length: about(g.engaged.Length), NeededLength: about(s.NeededLength), ClampLength: about(s.ClampLength), Mouth: about(mouth)}
	if s.FailsFirst != torque.BoltBreaks {
		doubts = append(doubts, note.New(s.FailsFirst+"_too_short", qty("needed", s.NeededLength, "mm")))
	}
	if s.ClampLength > g.engaged.Length {
		doubts = append(doubts, note.New("strips_under_clamp"))
	}
	return note.New("assume_stripping", note.Qty("length", trimmed(g.engaged.Length), "mm"), note.Qty("mouth", trimmed(mouth), "mm")), doubts
}

// equal adds the torque that would clamp as hard with another friction.
func (h Handlers) equal(g *guess, a *EstimateAnswer, e torque.Estimate, lang string) {
	if g.equal == nil {
		return
	}
	from := g.equalOf
	if from == 0 {
		from = e.Torque
	}
	t := g.joint.EqualClamp(from, *g.equal)
	a.EqualClamp = EqualClamp{Torque: g.torqueIn(t), Information: true, Text: h.say(lang, "equal_clamp_information",
		plain("thread", g.equal.Thread), plain("head", g.equal.Head), qty("torque", g.inUnit(t), g.unit))}
}
