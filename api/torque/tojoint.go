package torque

import (
	"strconv"

	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// between reads a number of an estimate that must lie from least to most; what is a word for it.
func between(n wire.Number, at wire.At, least, most float64, what string, bad *fault.List) float64 {
	f, ok := n.Float(at, bad)
	if ok && (f < least || f > most) {
		bad.Add(at.Fault("out_of_range", note.New("found_outside_of", note.Str("thing", what), note.Str("least", number(least)), note.Str("most", number(most))), note.New("fix_send_one_size")))
	}
	return f
}

// frictionOf reads the friction, or the nut factor that stands for it.
func (req *EstimateRequest) frictionOf(g *guess, bad *fault.List) {
	if g.joint.Model == torque.NutFactor {
		req.nutFactor(g, bad)
		return
	}
	if g.reason != "" && req.Friction == (FrictionRequest{}) {
		return
	}
	g.joint.Friction = req.Friction.read("/friction", bad)
}

func (f FrictionRequest) read(at wire.At, bad *fault.List) torque.Friction {
	return torque.Friction{Thread: coefficient(f.Thread, at.Key("thread"), bad), Head: coefficient(f.Head, at.Key("head"), bad)}
}

// coefficient reads one coefficient of friction; where it is missing the remedy says how large such a one is.
func coefficient(n wire.Number, at wire.At, bad *fault.List) float64 {
	if !n.Present() {
		oiled, _ := torque.FrictionOf("oiled")
		dry, _ := torque.FrictionOf("dry")
		bad.Add(at.Fault("missing_value", note.New("found_number_missing"), note.New("fix_send_coefficient_friction_oiled", note.Str("oiled", typical(oiled)), note.Str("dry", typical(dry)))))
		return 0
	}
	return between(n, at, leastFriction, mostFriction, "friction", bad)
}

func typical(f torque.Friction) string { return strconv.FormatFloat(f.Thread, 'f', 2, 64) }

func (req *EstimateRequest) nutFactor(g *guess, bad *fault.List) {
	if req.Friction != (FrictionRequest{}) {
		bad.Add(wire.At("/friction").Fault("two_values", note.New("found_friction_nut_factor"), note.New("fix_send_one_them")))
	}
	if req.NutFactor.Present() {
		if req.Condition != "" {
			bad.Add(wire.At("/condition").Fault("two_values", note.New("found_nut_factor_condition"), note.New("fix_send_one_them")))
		}
		g.joint.K = between(req.NutFactor, "/nut_factor", leastFriction, mostFriction, "nut_factor", bad)
		return
	}
	word, ok := wire.Word(req.Condition, "/condition", bad, torque.Conditions()...)
	if !ok {
		return
	}
	k, known := torque.NutFactorOf(word)
	if !known {
		bad.Add(wire.At("/nut_factor").Fault("missing_value", note.New("found_number_missing"), note.New("fix_send_nut_factor")))
	}
	g.joint.K = k
}

func (req *EstimateRequest) engagement(g *guess, bad *fault.List) {
	e, at := req.EngagedIn, wire.At("/engaged_in")
	if e == nil {
		return
	}
	wire.Fits(e.Material, wire.MaxName, bad, at, "material")
	g.engaged = &torque.Engagement{Shear: between(e.Shear, at.Key("shear_strength_mpa"), 1, 2000, "shear_strength", bad),
		Length: between(e.Length, at.Key("length_mm"), 0.1, 500, "engaged_length", bad)}
}

func (req *EstimateRequest) stiffnessOf(g *guess, bad *fault.List) {
	s, at := req.Stiffness, wire.At("/stiffness")
	if s == nil {
		return
	}
	scale := 1.0
	switch s.Unit {
	case "kN/mm":
		scale = 1000
	case "N/mm":
	case "":
		bad.Add(at.Key("unit").Fault("missing_unit", note.New("found_number_never_travels_without"), note.New("fix_send_kn_mm")))
		return
	default:
		_, _ = wire.Word(s.Unit, at.Key("unit"), bad, "kN/mm", "N/mm")
		return
	}
	read := func(n wire.Number, key string) float64 {
		return between(n, at.Key(key), 0.001, 1e9, "stiffness", bad) * scale
	}
	whole, apart := s.Joint.Present(), s.Bolt.Present() || s.Parts.Present()
	switch {
	case whole && apart:
		bad.Add(at.Fault("two_values", note.New("found_stiffness_stands_two_forms"), note.New("fix_send_joint_or_bolt")))
	case apart:
		g.stiffness = torque.InSeries(read(s.Bolt, "bolt"), read(s.Parts, "parts"))
	default:
		g.stiffness = read(s.Joint, "joint")
	}
}

func (req *EstimateRequest) equalOf(g *guess, bad *fault.List) {
	e, at := req.EqualClamp, wire.At("/equal_clamp")
	if e == nil {
		return
	}
	if g.joint.Model == torque.NutFactor {
		bad.Add(at.Fault("needs_friction", note.New("found_equal_clamp_reckoned_friction"), note.New("fix_send_friction_no_nut")))
		return
	}
	f := e.Friction.read(at.Key("friction"), bad)
	g.equal = &f
	if !e.Torque.Present() {
		return
	}
	unit, ok := wire.Unit(e.Unit, quantity.NewtonMetre, at.Key("unit"), bad)
	if !ok {
		return
	}
	d, ok := e.Torque.Decimal(at.Key("torque"), unit.MaxPlaces(), bad)
	if ok && (d.Sign() <= 0 || d.Cmp(quantity.NewDecimal(torque.Most, 0)) > 0) {
		bad.Add(at.Key("torque").Fault("out_of_range", note.New("found_no_torque_bolt"), note.New("fix_send_torque_over_0")))
	}
	g.equalOf = convert(d, unit, quantity.NewtonMetre).Float64()
}
