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
		bad.Add(at.Key("torque_per_degree").Fault("not_positive", "turning a nut further tightens it", "send what one degree adds to the torque"))
	}
	slots := c.Slots.Whole(at.Key("slots"), 1, mostSlots, bad)
	if slots == 0 && q.spec != nil && q.spec.Fastener != nil {
		slots = q.spec.Fastener.Slots
	}
	switch {
	case c.Angle.Present():
		a, ok := c.Angle.Decimal(at.Key("angle_deg"), quantity.Degree.MaxPlaces(), bad)
		if ok && (a.Sign() < 0 || a.Cmp(quantity.NewDecimal(360, 0)) > 0) {
			bad.Add(at.Key("angle_deg").Fault("out_of_range", a.String()+"° is no way to the next slot", "send 0 to 360"))
		}
		q.castle.angle = a.Exact()
	case slots > 0:
		q.castle.angle = torque.Furthest(int64(slots))
	default:
		bad.Add(at.Key("angle_deg").Fault("missing_value", "a number is needed here", "send the angle to the next slot, or the slots of a turn"))
	}
	if bad.Len() == before && !q.wanted.Band.HasUpper {
		bad.Add(at.Fault("no_limit", "there is no upper figure that the nut may not pass", "send a band with its upper end"))
	}
	q.castle.slope, q.hasCast = slope.Exact(), true
	if q.wanted.Band.HasLower {
		q.wanted.Castle, q.wanted.Aim = true, q.wanted.Band.Lower.Exact()
	}
}

// advance says whether the nut may go on to its next slot.
func (h Handlers) advance(q *asked, s torque.Setting, a *SettingsAnswer, lang string) {
	upper := q.wanted.Band.Upper.Exact()
	reached, ok := torque.Advance(q.wanted.Aim, upper, q.castle.angle, q.castle.slope)
	most := torque.MostAngle(q.wanted.Aim, upper, q.castle.slope)
	shown := func(x quantity.Exact) wire.Decimal { return wire.Dec(x.Print(0, exactPlaces)) }
	a.Castle = CastleAnswer{From: shown(q.wanted.Aim), Angle: shown(q.castle.angle), Reached: shown(reached), Allowed: ok,
		MostAngle: shown(most), Unit: string(q.wanted.Unit)}
	if high := s.Upper; s.HasError {
		worst, fits := torque.Advance(high, upper, q.castle.angle, q.castle.slope)
		a.Castle.ReachedAtMost = shown(worst)
		if ok && !fits {
			a.Warnings = append(a.Warnings, wire.FromNote(note.New("castle_may_pass", note.Qty("reached", worst.Print(q.wanted.Decimals, 2), q.wanted.Unit)), lang, h.book))
		}
	}
	code := "castle_advance_refused"
	if ok {
		code = "castle_advance_allowed"
	}
	notes := []note.Note{
		note.New(code, note.Qty("angle", q.castle.angle.Print(0, 2), quantity.Degree), note.Qty("reached", reached.Print(q.wanted.Decimals, 2), q.wanted.Unit),
			note.Qty("upper", q.wanted.Band.Upper.Padded(q.wanted.Decimals), q.wanted.Unit)),
		note.New("castle_most_angle", note.Qty("angle", floor(most), quantity.Degree)),
	}
	if ok {
		a.Next = append(a.Next, wire.FromNotes(notes, lang, h.book)...)
	} else {
		a.Warnings = append(a.Warnings, wire.FromNotes(notes, lang, h.book)...)
	}
}

// floor is an angle that may not be passed, to a tenth of a degree.
func floor(x quantity.Exact) quantity.Decimal {
	d, _ := x.Round(1, quantity.Down)
	return d.Trimmed(0)
}
