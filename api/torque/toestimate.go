package torque

import (
	"errors"
	"strconv"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

// Bounds of a coefficient of friction and of a nut factor: wider than anything measured on a bolt.
const (
	leastFriction = 0.01
	mostFriction  = 1.0
)

// guess is a question for a generic figure, read and checked.
type guess struct {
	key        string
	spec       *spec.Spec
	reason     string
	joint      torque.Joint
	given      bool // the face was given
	head       torque.Head
	unit       quantity.Unit
	tightening torque.Method
	engaged    *torque.Engagement
	stiffness  float64 // N/mm; 0: not asked
	equal      *torque.Friction
	equalOf    float64 // N·m; 0: the estimate itself
}

// toGuess reads a question; all violations are collected. A question that is refused is not read further than that.
func (h Handlers) toGuess(req *EstimateRequest, rev *catalogue.Revision) (*guess, error) {
	var bad fault.List
	g := &guess{key: req.Spec, unit: quantity.NewtonMetre}
	f := req.fastener(g, rev, &bad)
	if req.TorqueUnit != "" {
		g.unit, _ = wire.Unit(req.TorqueUnit, quantity.NewtonMetre, "/torque_unit", &bad)
	}
	req.model(g, &bad)
	req.threadOf(g, &f, &bad)
	req.frictionOf(g, &bad)
	req.engagement(g, &bad)
	req.stiffnessOf(g, &bad)
	req.equalOf(g, &bad)
	if g.reason == "" {
		g.reason = torque.Refuse(f, req.Purpose, g.engaged != nil)
	}
	return g, bad.Err()
}

// fastener joins what the request says about the fastener with what its spec says. A published figure stands.
func (req *EstimateRequest) fastener(g *guess, rev *catalogue.Revision, bad *fault.List) spec.Fastener {
	at := wire.At("/fastener")
	hand, _ := wire.Word(spec.Hand(req.Fastener.Hand), at.Key("hand"), bad, spec.Right, spec.Left)
	reuse, _ := wire.Word(req.Fastener.Reuse, at.Key("reuse"), bad, "reusable", "one_time")
	into, _ := wire.Word(req.Fastener.Into, at.Key("into"), bad, "steel", "light_alloy", "insert")
	_, _ = wire.Word(req.Purpose, "/purpose", bad, torque.Purposes()...)
	f := spec.Fastener{Hand: hand, Taper: req.Fastener.Taper, Reuse: reuse, Into: into}
	if req.EngagedIn != nil && req.EngagedIn.Material == "light_alloy" {
		f.Into = "light_alloy"
	}
	if req.Spec == "" {
		return f
	}
	res, _, ok := specOf(rev, req.Spec, engine{req.Variant, req.EngineNumber, req.Marks}, "", bad)
	if !ok {
		return f
	}
	g.spec = res.Spec
	if res.Spec.Kind != spec.Torque {
		bad.Add(wire.At("/spec").Fault("not_a_torque", note.New("found_spec_limits_no_torque"), note.New("fix_name_spec_kind_torque")))
		return f
	}
	g.reason = stands(res)
	if own := res.Spec.Fastener; own != nil {
		f = merged(f, *own)
		if req.Thread == "" {
			req.Thread = own.Thread
		}
		if req.PropertyClass == "" {
			req.PropertyClass = own.PropertyClass
		}
		if req.Head == "" && (own.Head == string(torque.Hexagon) || own.Head == string(torque.Socket)) {
			req.Head = own.Head
		}
	}
	return f
}

// stands is why a spec leaves no room for a generic figure: it is out of scope, or a figure is published. Where the
// engine does not decide between variants, one variant is enough.
func stands(res catalogue.Resolved) (reason string) {
	all := []*spec.Spec{res.Spec}
	if res.Undecided {
		for _, o := range res.Alternatives {
			all = append(all, o.Spec)
		}
	}
	for _, s := range all {
		switch _, why := torque.Of(s); why {
		case torque.OutOfScope:
			return torque.OutOfScope
		case torque.NotPublished:
		default:
			reason = "published_stands"
		}
	}
	return reason
}

// merged is a with all that b forbids besides.
func merged(a, b spec.Fastener) spec.Fastener {
	a.Taper = a.Taper || b.Taper
	if b.Hand == spec.Left {
		a.Hand = spec.Left
	}
	if b.Reuse == "one_time" {
		a.Reuse = b.Reuse
	}
	if a.Into == "" {
		a.Into = b.Into
	}
	return a
}

func (req *EstimateRequest) model(g *guess, bad *fault.List) {
	word, _ := wire.Word(req.Model, "/model", bad, "vdi_2230", "elastic_torsion", "nut_factor")
	switch {
	case word == "nut_factor", word == "" && (req.NutFactor.Present() || req.Condition != ""):
		g.joint.Model = torque.NutFactor
	case word == "elastic_torsion":
		g.joint.Model = torque.Elastic
	}
	way, _ := wire.Word(torque.Method(req.Tightening), "/tightening", bad, torque.Methods()...)
	g.tightening = way
	if way == "" {
		g.tightening = torque.ByTorque
	}
	g.joint.Utilisation = defaultShare
	if req.Utilisation.Present() {
		u, ok := req.Utilisation.Float("/utilisation", bad)
		if ok && (u <= 0 || u > 1) {
			bad.Add(wire.At("/utilisation").Fault("out_of_range", note.New("found_share_strength_over_0"), note.New("fix_send_share_for_percent", note.Str("share", "0.9"), note.Str("percent", "90"))))
		}
		g.joint.Utilisation = u
	}
}

// defaultShare is the share of the yield that VDI 2230 tables are made with.
const defaultShare = 0.9

// threadOf reads thread, class and face. What the names do not say is a fault only where nothing refuses the question.
func (req *EstimateRequest) threadOf(g *guess, f *spec.Fastener, bad *fault.List) {
	thread := wire.Fits(req.Thread, wire.MaxName, bad, "", "thread")
	if class := wire.Fits(req.PropertyClass, wire.MaxName, bad, "", "property_class"); !thread || !class {
		return
	}
	if g.reason != "" && req.Thread == "" {
		return
	}
	if req.Thread == "" {
		bad.Add(wire.At("/thread").Fault("missing_thread", note.New("found_estimate_needs_thread"), note.New("fix_send_size_m8_m8x1")))
		return
	}
	t, err := torque.ThreadOf(req.Thread)
	if err != nil {
		unknown(err, req.Thread, "/thread", bad)
		return
	}
	g.joint.Thread = t
	if t.Left {
		f.Hand = spec.Left
	}
	if req.PropertyClass == "" {
		if g.reason == "" {
			bad.Add(wire.At("/property_class").Fault("missing_class", note.New("found_estimate_needs_strength_bolt"), note.New("fix_send_class_8_8")))
		}
		return
	}
	c, err := torque.ClassOf(req.PropertyClass, t)
	if err != nil {
		if g.reason == "" {
			unknown(err, req.PropertyClass, "/property_class", bad)
		}
		return
	}
	g.joint.Class = c
	req.face(g, bad)
}

func (req *EstimateRequest) face(g *guess, bad *fault.List) {
	head, ok := wire.Word(torque.Head(req.Head), "/head", bad, torque.Hexagon, torque.Socket)
	if !ok {
		return
	}
	if head == "" {
		head = torque.Hexagon
	}
	g.head = head
	at := wire.At("/bearing")
	if req.Bearing != (BearingRequest{}) {
		unit, ok := wire.Unit(req.Bearing.Unit, quantity.Millimetre, at.Key("unit"), bad)
		if !ok {
			return
		}
		outer, ok1 := req.Bearing.Outer.Length(at.Key("outer"), unit, bad)
		hole, ok2 := req.Bearing.Hole.Length(at.Key("hole"), unit, bad)
		if ok1 && ok2 && (hole.Grid() < 0 || outer.Cmp(hole) <= 0) {
			bad.Add(at.Fault("out_of_range", note.New("found_face_ring_around_hole"), note.New("fix_send_outer_over_hole")))
		}
		g.joint.Face, g.given = torque.Face{Outer: outer.Millimetres(), Hole: hole.Millimetres()}, true
		return
	}
	if g.joint.Model == torque.NutFactor {
		return
	}
	f, err := torque.FaceOf(g.joint.Thread, head)
	if err != nil && g.reason == "" {
		bad.Add(at.Fault("no_face", note.New("found_no_standard_head_known", note.Str("head", string(head)), note.Str("thread", g.joint.Thread.Name)), note.New("fix_send_bearing_outer_hole")))
	}
	g.joint.Face = f
}

// unknown is the fault of a name that no table has.
func unknown(err error, name string, at wire.At, bad *fault.List) {
	var u *torque.Unknown
	if !errors.As(err, &u) {
		return
	}
	fix := note.New("fix_send_one_of", note.Str("list", strings.Join(u.Known, ", ")))
	if len(u.Known) == 0 {
		fix = note.New("fix_send_another_size")
		if u.Code == "unknown_thread" {
			fix = note.New("fix_send_metric_size_m3")
		}
	}
	bad.Add(at.Fault(u.Code, notListed(u.Code, note.Str("name", rim.Quote(name))), fix))
}

// notListed says what a table does not have.
func notListed(code string, name note.Param) note.Note {
	switch code {
	case "unknown_thread":
		return note.New("found_unknown_thread", name)
	case "no_such_pitch":
		return note.New("found_no_such_pitch", name)
	case "class_not_for_thread":
		return note.New("found_class_not_for_thread", name)
	case "class_not_for_size":
		return note.New("found_class_not_for_size", name)
	}
	return note.New("found_unknown_class", name)
}

func number(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) }
