package torque

import "endfloat/service/quantity"

// Advance is the torque of a castle nut after it was turned on to the next slot: from + angle · slope. ok says that it
// is not over the upper limit. A nut that would pass it gets another washer and is never backed off.
func Advance(from, upper, angle, slope quantity.Exact) (reached quantity.Exact, ok bool) {
	reached = from.Add(angle.Mul(slope))
	return reached, reached.Cmp(upper) <= 0
}

// Furthest is the angle from one slot to the next where nothing else is known: 360° over the slots of a turn.
func Furthest(slots int64) quantity.Exact { return quantity.Frac(360, slots) }

// MostAngle is how far a castle nut may be turned from its torque before it passes the upper limit.
func MostAngle(from, upper, slope quantity.Exact) quantity.Exact { return upper.Sub(from).Quo(slope) }
