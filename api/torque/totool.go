package torque

import (
	"strconv"

	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// Where the accuracy of a tool comes from.
const (
	fromCaller = "caller"
	fromClass  = "tool_class"
	assumed    = "assumed"
)

// defaultKind is the tool that a wrench is taken for.
const defaultKind = "click_wrench"

// toolsOf reads the wrench, or the wrenches offered.
func (req *SettingsRequest) toolsOf(q *asked, d catalogue.Defaults, bad *fault.List) {
	if req.Wrench != nil && req.Wrenches != nil {
		bad.Add(wire.At("/wrenches").Fault("two_values", note.New("found_wrench_wrenches_both_stand"), note.New("fix_send_one_them")))
		return
	}
	add := func(w *WrenchRequest, at wire.At) {
		tool, source := w.read(q.wanted.Unit, at, d, bad)
		q.tools, q.sources = append(q.tools, tool), append(q.sources, source)
	}
	if req.Wrench != nil {
		add(req.Wrench, "/wrench")
		return
	}
	if req.Wrenches != nil {
		if !wire.Limit(len(req.Wrenches), MaxWrenches, "/wrenches", bad) {
			return
		}
		if len(req.Wrenches) == 0 {
			bad.Add(wire.At("/wrenches").Fault("missing_value", note.New("found_no_wrench_offered"), note.New("fix_send_least")))
		}
		q.several = true
		for i := range req.Wrenches {
			add(&req.Wrenches[i], wire.At("/wrenches").Index(i))
		}
		return
	}
	q.tools, q.sources = []torque.Wrench{{}}, []string{""}
}

func (w *WrenchRequest) read(wanted quantity.Unit, at wire.At, d catalogue.Defaults, bad *fault.List) (tool torque.Wrench, source string) {
	tool = torque.Wrench{ID: w.ID, Named: true, Unit: wanted}
	wire.Fits(w.ID, wire.MaxName, bad, at, "id")
	way, _ := wire.Word(w.Directions, at.Key("directions"), bad, wire.Directions()...)
	tool.Only = wire.OnlyHand(way)
	if w.TorqueUnit != "" || !w.Range.Lower.IsZero() || !w.Range.Upper.IsZero() || w.Step.Present() {
		u, ok := wire.Unit(w.TorqueUnit, quantity.NewtonMetre, at.Key("torque_unit"), bad)
		if ok {
			tool.Unit = u
		}
	}
	if tool.Unit == "" {
		tool.Unit = quantity.NewtonMetre // nothing said what is wanted, which is a fault already
	}
	w.lever(&tool, at, bad)
	w.scale(&tool, at, bad)
	return tool, w.accuracy(&tool, at, d, bad)
}

func (w *WrenchRequest) lever(tool *torque.Wrench, at wire.At, bad *fault.List) {
	if !w.Length.Present() {
		if w.Unit != "" {
			_, _ = wire.Unit(w.Unit, quantity.Millimetre, at.Key("unit"), bad)
		}
		return
	}
	u, ok := wire.Unit(w.Unit, quantity.Millimetre, at.Key("unit"), bad)
	if !ok {
		return
	}
	l, ok := w.Length.Length(at.Key("length"), u, bad)
	if !ok {
		return
	}
	if l.Grid() <= 0 {
		bad.Add(at.Key("length").Fault("not_positive", note.New("found_lever_length"), note.New("fix_send_length_square_mark_grip")))
		return
	}
	tool.Lever = l
}

func (w *WrenchRequest) scale(tool *torque.Wrench, at wire.At, bad *fault.List) {
	tool.Range = w.Range.ToRange(at.Key("range"), tool.Unit, bad)
	if tool.Range.HasLower && tool.Range.Lower.Sign() < 0 {
		bad.Add(at.Key("range").Key("lower").Fault("negative", note.New("found_range_not_begin_under"), note.New("fix_send_zero_or_more")))
	}
	if tool.Range.HasUpper && tool.Range.Upper.Sign() <= 0 {
		bad.Add(at.Key("range").Key("upper").Fault("not_positive", note.New("found_range_ends_over_0"), note.New("fix_send_largest_torque_wrench")))
	}
	if !w.Step.Present() {
		return
	}
	step, ok := w.Step.Decimal(at.Key("step"), tool.Unit.MaxPlaces(), bad)
	if ok && step.Sign() <= 0 {
		bad.Add(at.Key("step").Fault("not_positive", note.New("found_step_over_0"), note.New("fix_send_step_scale")))
		return
	}
	tool.Step = step
}

// mostError is the largest limit of error in percent with which a tool measures anything.
const mostError = 50

// accuracy is the declared limit of error, else that of the declared class, else the default of the kind.
func (w *WrenchRequest) accuracy(tool *torque.Wrench, at wire.At, d catalogue.Defaults, bad *fault.List) (source string) {
	if w.Accuracy.Present() {
		pct, ok := w.Accuracy.Decimal(at.Key("accuracy_percent"), 9, bad)
		if ok && (pct.Sign() < 0 || pct.Cmp(quantity.NewDecimal(mostError, 0)) > 0) {
			bad.Add(at.Key("accuracy_percent").Fault("out_of_range", note.New("found_no_limit_error", note.Str("percent", pct.String())), note.New("fix_send_percentage", note.Str("least", "0"), note.Str("most", strconv.Itoa(mostError)))))
		}
		tool.Accuracy, tool.Rated = pct.Exact(), true
		return fromCaller
	}
	largest := quantity.Int(torque.Most)
	if tool.Range.HasUpper {
		largest = convert(tool.Range.Upper, tool.Unit, quantity.NewtonMetre)
	}
	if w.Type != "" || w.Class != "" {
		limit, ok := torque.ToolLimit(w.Type, w.Class, largest)
		if !ok {
			bad.Add(at.Key("tool_class").Fault("unknown_word", note.New("found_iso_6789_1_2017"),
				note.New("fix_send_tool_type_i")))
		}
		tool.Accuracy, tool.Rated = quantity.Int(limit), true
		return fromClass
	}
	kind := w.Kind
	if kind == "" {
		kind = defaultKind
	}
	for _, i := range d.Instruments {
		if i.Kind != kind || !i.HasPercent {
			continue
		}
		tool.Accuracy, tool.Rated, tool.Assumed = i.Percent.Exact(), true, true
		if i.HasSmall && largest.Cmp(i.SmallMax.Exact()) <= 0 {
			tool.Accuracy = i.SmallPercent.Exact()
		}
		return assumed
	}
	return ""
}

// extensionOf reads the extension and holds it against every lever.
func (req *SettingsRequest) extensionOf(q *asked, bad *fault.List) {
	e := req.Extension
	if e == nil {
		return
	}
	before := bad.Len()
	at := wire.At("/extension")
	u, ok := wire.Unit(e.Unit, quantity.Millimetre, at.Key("unit"), bad)
	if !ok {
		u = quantity.Millimetre
	}
	if l, ok := e.Length.Length(at.Key("length"), u, bad); ok {
		if l.Grid() < 0 {
			bad.Add(at.Key("length").Fault("negative", note.New("found_extension_no_negative_length"), note.New("fix_send_length_angle_stands")))
		}
		q.extension.Length = l
	}
	if e.Angle.Present() {
		a, ok := e.Angle.Decimal(at.Key("angle_deg"), quantity.Degree.MaxPlaces(), bad)
		if turn := quantity.NewDecimal(360, 0); ok && (a.Cmp(turn) > 0 || a.Cmp(turn.Neg()) < 0) {
			bad.Add(at.Key("angle_deg").Fault("out_of_range", note.New("found_more_than_a_turn", note.Str("angle", a.String())), note.New("fix_send_straight_folded_back", note.Str("straight", "0"), note.Str("back", "180"))))
		}
		q.extension.Angle = a
	}
	if bad.Len() == before {
		req.reach(q, bad)
	}
}

// reach faults levers with which the extension has no setting.
func (req *SettingsRequest) reach(q *asked, bad *fault.List) {
	if q.extension.Length.Grid() == 0 {
		return
	}
	for i, tool := range q.tools {
		at := wire.At("/wrench")
		if q.several {
			at = wire.At("/wrenches").Index(i)
		}
		if tool.Lever.Grid() == 0 {
			if !req.lengthSent(i) { // one that was sent and is no lever is a fault already
				bad.Add(at.Key("length").Fault("missing_value", note.New("found_extension_length_lever_counts"), note.New("fix_send_length_square_mark_grip_unit")))
			}
			continue
		}
		if _, ok := torque.Factor(tool.Lever, q.extension); !ok {
			bad.Add(wire.At("/extension").Key("length").Fault("extension_too_long", note.New("found_folded_back_far_extension"),
				note.New("fix_send_shorter_extension")))
			return
		}
		if tool.Lever.Cmp(q.extension.Length) < 0 {
			bad.Add(wire.At("/extension").Key("length").Fault("extension_longer_than_lever", note.New("found_extension_longer_lever"),
				note.New("fix_check_both_lengths")))
			return
		}
	}
}

func (req *SettingsRequest) lengthSent(i int) bool {
	switch {
	case req.Wrench != nil:
		return req.Wrench.Length.Present()
	case i < len(req.Wrenches):
		return req.Wrenches[i].Length.Present()
	}
	return false
}
