package torque

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

// asked is a question about a setting, read and checked.
type asked struct {
	key     string
	spec    *spec.Spec // nil for a wanted value
	variant bool       // the spec differs between variants and none was named
	open    []note.Note
	reason  string
	wanted  torque.Wanted
	tools   []torque.Wrench
	sources []string // of the accuracy of each tool
	several bool

	extension  torque.Extension
	running    quantity.Exact // in the unit of what is wanted
	hasRunning bool
	castle     castle
	hasCastle  bool
}

// toAsked reads a question; all violations are collected.
func (h Handlers) toAsked(req *SettingsRequest, rev *catalogue.Revision) (*asked, error) {
	var bad fault.List
	q := &asked{key: req.Spec}
	req.torqueOf(q, rev, &bad)
	req.runningOf(q, &bad)
	req.toolsOf(q, rev.Defaults, &bad)
	req.extensionOf(q, &bad)
	req.castleOf(q, &bad)
	return q, bad.Err()
}

// torqueOf reads what is wanted, from exactly one of three places.
func (req *SettingsRequest) torqueOf(q *asked, rev *catalogue.Revision, bad *fault.List) {
	count := 0
	for _, is := range []bool{req.Spec != "", req.CallerSpec != nil, req.Wanted != nil} {
		if is {
			count++
		}
	}
	switch {
	case count == 0:
		bad.Add(wire.At("").Fault("missing_spec", note.New("found_nothing_says_torque_wanted"), note.New("fix_send_spec_caller_spec")))
	case count > 1:
		bad.Add(wire.At("").Fault("two_specs", note.New("found_two_places_say_torque"), note.New("fix_send_exactly_one_spec")))
	case req.Wanted != nil:
		req.Wanted.read(q, "/wanted", bad)
	case req.CallerSpec != nil:
		if s, ok := req.CallerSpec.ToSpec("/caller_spec", bad); ok {
			q.key = string(s.Key)
			q.of(s, "/caller_spec/kind", bad)
		}
	default:
		res, open, ok := specOf(rev, req.Spec, engine{req.Variant, req.EngineNumber, req.Marks}, "", bad)
		if !ok {
			return
		}
		q.variant, q.open = res.Undecided, open
		q.of(res.Spec, "/spec", bad)
	}
}

// of takes the torque of a spec.
func (q *asked) of(s *spec.Spec, at wire.At, bad *fault.List) {
	q.spec = s
	q.wanted, q.reason = torque.Of(s)
	if q.reason == torque.NoTorque {
		bad.Add(at.Fault("not_a_torque", note.New("found_spec_limits_no_torque"), note.New("fix_name_spec_kind_torque")))
	}
	if q.reason == "" && (q.wanted.Aim.Sign() <= 0 || quantity.Int(torque.Most).Less(q.wanted.Aim)) {
		bad.Add(at.Fault("out_of_range", note.New("found_no_wrench_set_torque"), note.New("fix_send_torque_over_0")))
	}
}

// read reads a caller's own wanted torque.
func (w *WantedRequest) read(q *asked, at wire.At, bad *fault.List) {
	before := bad.Len()
	unit, ok := wire.Unit(w.Unit, quantity.NewtonMetre, at.Key("unit"), bad)
	if !ok {
		unit = quantity.NewtonMetre // so that the numbers are looked at all the same
	}
	hand, _ := wire.Word(spec.Hand(w.Hand), at.Key("hand"), bad, spec.Right, spec.Left)
	band := w.Band.ToRange(at.Key("band"), unit, bad)
	q.wanted = torque.Wanted{Band: band, Unit: unit, LeftHand: hand == spec.Left, Prevailing: torque.Extra,
		Decimals: max(band.Lower.Places(), band.Upper.Places())}
	if band.HasLower && band.Lower.Sign() < 0 {
		bad.Add(at.Key("band").Key("lower").Fault("negative", note.New("found_torque_not_negative"), note.New("fix_send_zero_or_more")))
	}
	switch {
	case w.Value.Present():
		v, ok := w.Value.Decimal(at.Key("value"), unit.MaxPlaces(), bad)
		if !ok {
			return
		}
		q.wanted.Aim, q.wanted.Decimals = v.Exact(), max(q.wanted.Decimals, v.Places())
		if v.Sign() <= 0 || v.Cmp(quantity.NewDecimal(torque.Most, 0)) > 0 {
			bad.Add(at.Key("value").Fault("out_of_range", note.New("found_no_wrench_set", note.Str("torque", v.String())), note.New("fix_send_torque_over_0")))
		} else if bad.Len() == before && (band.HasLower && v.Cmp(band.Lower) < 0 || band.HasUpper && v.Cmp(band.Upper) > 0) {
			bad.Add(at.Key("value").Fault("target_outside_band", note.New("found_wanted_torque_lies_outside", note.Str("torque", v.String())), note.New("fix_aim_inside_band_limits")))
		}
	case band.TwoSided():
		q.wanted.Aim = band.Lower.Exact().Add(band.Upper.Exact()).DivInt(2)
		if bad.Len() == before && (q.wanted.Aim.Sign() <= 0 || quantity.Int(torque.Most).Less(q.wanted.Aim)) {
			bad.Add(at.Key("band").Fault("out_of_range", note.New("found_no_wrench_set_middle"), note.New("fix_send_band_over_0")))
		}
	default:
		bad.Add(at.Key("value").Fault("missing_value", note.New("found_number_missing"), note.New("fix_send_value_or_band")))
	}
	if w.Policy.Percent.Present() && bad.Len() == before {
		w.policy(q, at.Key("policy"), bad)
	}
}

// policy lets a percentage of the wanted torque stand in for a band.
func (w *WantedRequest) policy(q *asked, at wire.At, bad *fault.List) {
	pct, ok := w.Policy.Percent.Decimal(at.Key("percent"), 9, bad)
	if !ok {
		return
	}
	if pct.Sign() < 0 || pct.Cmp(quantity.NewDecimal(100, 0)) > 0 {
		bad.Add(at.Key("percent").Fault("out_of_range", note.New("found_a_tolerance_is_from", note.Str("least", "0"), note.Str("most", "100")), note.New("fix_send_percent_figure", note.Str("example", "10"))))
		return
	}
	if !q.wanted.Band.Empty() {
		bad.Add(at.Fault("two_values", note.New("found_band_policy_both_stand"), note.New("fix_send_one_them")))
		return
	}
	value, _ := w.Value.Decimal(at, quantity.MaxPlaces, bad)
	s := spec.Spec{Target: value, HasTarget: true, PolicyPercent: pct, HasPolicy: true, Decimals: q.wanted.Decimals}
	if q.wanted.Band, ok = s.PolicyBand(); ok {
		q.wanted.Policy, q.wanted.HasPolicy = pct, true
	}
}

// runningOf reads the running torque, which stands at the top or in wanted.
func (req *SettingsRequest) runningOf(q *asked, bad *fault.List) {
	r, at := req.Running, wire.At("/running_torque")
	if req.Wanted != nil && !req.Wanted.Running.IsZero() {
		if !r.IsZero() {
			bad.Add(at.Fault("two_values", note.New("found_running_torque_stands_two"), note.New("fix_send_once")))
			return
		}
		r, at = req.Wanted.Running, "/wanted/running_torque"
	}
	if r.IsZero() {
		return
	}
	unit, n, to := q.wanted.Unit, r.number, q.wanted.Unit
	if r.whole {
		var ok bool
		if unit, ok = wire.Unit(r.amount.Unit, quantity.NewtonMetre, at.Key("unit"), bad); !ok {
			return
		}
		n, at = r.amount.Value, at.Key("value")
	}
	if unit == "" {
		unit, to = quantity.NewtonMetre, quantity.NewtonMetre
	}
	if to == "" {
		to = unit
	}
	d, ok := n.Decimal(at, unit.MaxPlaces(), bad)
	if !ok {
		return
	}
	if d.Sign() < 0 || d.Cmp(quantity.NewDecimal(torque.Most, 0)) > 0 {
		bad.Add(at.Fault("out_of_range", note.New("found_no_running_torque", note.Str("value", rim.Quote(d.String()))), note.New("fix_send_zero_or_more")))
		return
	}
	q.running, q.hasRunning = convert(d, unit, to), true
}

func convert(d quantity.Decimal, from, to quantity.Unit) quantity.Exact {
	x, _ := quantity.In(d, from, to)
	return x
}
