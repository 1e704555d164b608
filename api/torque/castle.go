package torque

import (
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// castle is a question about the next slot of a castle nut.
type castle struct{ angle, slope quantity.Exact }

// mostSlots is more slots than any nut has.
const mostSlots = 24

// castleOf reads how far the next slot is and what a degree adds.
func (req *SettingsRequest) castleOf(q *asked, bad *fault.List) {
	c, at := req.Castle, wire.At("/castle")
	if c == nil || q.reason != "" {
		return
	}
	before := bad.Len()
	slope, ok := c.Slope.Decimal(at.Key("torque_per_degree"), 9, bad)
	if ok && slope.Sign() <= 0 {
		bad.Add(at.Key("torque_per_degree").Fault("not_positive", note.New("found_turning_nut_further_tightens"), note.New("fix_send_one_degree_adds")))
	}
	slots := c.Slots.Whole(at.Key("slots"), 1, mostSlots, bad)
	if slots == 0 && q.spec != nil && q.spec.Fastener != nil {
		slots = q.spec.Fastener.Slots
	}
	switch {
	case c.Angle.Present():
		a, ok := c.Angle.Decimal(at.Key("angle_deg"), quantity.Degree.MaxPlaces(), bad)
		if ok && (a.Sign() < 0 || a.Cmp(quantity.NewDecimal(360, 0)) > 0) {
			bad.Add(at.Key("angle_deg").Fault("out_of_range", note.New("found_no_way_to_next_slot", note.Str("angle", a.String())), note.New("fix_send_within", note.Str("least", "0"), note.Str("most", "360"))))
		}
		q.castle.angle = a.Exact()
	case slots > 0:
		q.castle.angle = torque.Furthest(int64(slots))
	default:
		bad.Add(at.Key("angle_deg").Fault("missing_value", note.New("found_number_missing"), note.New("fix_send_angle_next_slot")))
	}
	if bad.Len() == before && !q.wanted.Band.HasUpper {
		bad.Add(at.Fault("no_limit", note.New("found_no_upper_figure_nut"), note.New("fix_send_band_upper_end")))
	}
	q.castle.slope, q.hasCastle = slope.Exact(), true
	if q.wanted.Band.HasLower {
		q.wanted.Castle, q.wanted.Aim = true, q.wanted.Band.Lower.Exact()
	}
}

// advance says whether the nut may go on to its next slot.
func (x *answering) advance(s torque.Setting) {
	c, w := x.q.castle, x.q.wanted
	upper := w.Band.Upper.Exact()
	reached, allowed := torque.Advance(w.Aim, upper, c.angle, c.slope)
	most := torque.MostAngle(w.Aim, upper, c.slope)
	shown := func(e quantity.Exact) wire.Decimal { return wire.Dec(e.Print(0, exactPlaces)) }
	x.to.Castle = CastleAnswer{From: shown(w.Aim), Angle: shown(c.angle), Reached: shown(reached), Allowed: allowed,
		MostAngle: shown(most), Unit: string(w.Unit)}
	if s.HasError {
		worst, fits := torque.Advance(s.Upper, upper, c.angle, c.slope)
		x.to.Castle.ReachedAtMost = shown(worst)
		if allowed && !fits {
			x.to.Warnings = append(x.to.Warnings, x.notes(note.New("castle_may_pass", note.Qty("reached", worst.Print(w.Decimals, 2), w.Unit)))...)
		}
	}
	code, says := "castle_advance_refused", &x.to.Warnings
	if allowed {
		code, says = "castle_advance_allowed", &x.to.Next
	}
	*says = append(*says, x.notes(
		note.New(code, note.Qty("angle", c.angle.Print(0, 2), quantity.Degree), note.Qty("reached", reached.Print(w.Decimals, 2), w.Unit),
			note.Qty("upper", w.Band.Upper.Padded(w.Decimals), w.Unit)),
		note.New("castle_most_angle", note.Qty("angle", floor(most), quantity.Degree)))...)
}

// floor is an angle that may not be passed, to a tenth of a degree.
func floor(x quantity.Exact) quantity.Decimal {
	d, _ := x.Round(1, quantity.Down)
	return d.Trimmed(0)
}
