package quantity

import "errors"

// Length is an exact length: a whole number of 1e-13 m, so that nine decimals of a millimetre and nine of an inch
// both lie on the grid. Sums and differences never round. The zero value is 0.
type Length struct{ grid int64 }

// Grid units of a length in one unit.
const (
	gridMM   = 10_000_000_000
	gridInch = 254_000_000_000
	// maxGrid is 10 m.
	maxGrid = 100_000_000_000_000
)

// Errors of LengthOf and TorqueOf.
var (
	ErrUnit   = errors.New("unit of the wrong kind")
	ErrDigits = errors.New("too many fractional digits")
)

// LengthOf is d in unit u. Errors: ErrUnit, ErrDigits (more than u.MaxPlaces), ErrRange (over 10 m).
func LengthOf(d Decimal, u Unit) (Length, error) {
	var per int64
	switch u {
	case Millimetre:
		per = gridMM
	case Micrometre:
		per = gridMM / 1000
	case Inch:
		per = gridInch
	case Thou:
		per = gridInch / 1000
	default:
		return Length{}, ErrUnit
	}
	if d.Places() > u.MaxPlaces() {
		return Length{}, ErrDigits
	}
	n, ok := mulInt(d.coef, per/pow10[d.places])
	if !ok || n > maxGrid || n < -maxGrid {
		return Length{}, ErrRange
	}
	return Length{n}, nil
}

// Grid is the length in units of 1e-13 m.
func (l Length) Grid() int64 { return l.grid }

// Cmp is −1, 0 or 1 where l is below, equal to or above o.
func (l Length) Cmp(o Length) int { return cmpInt(l.grid, o.grid) }

// In is the length in u, exactly. u is a unit of length.
func (l Length) In(u Unit) Exact {
	x, ok := Convert(Frac(l.grid, gridMM), Millimetre, u)
	if !ok {
		panic("quantity: " + string(u) + " is no unit of length")
	}
	return x
}

// Millimetres is the length as a float: for estimates only.
func (l Length) Millimetres() float64 { return float64(l.grid) / gridMM }

// Torque is an exact torque in the unit it was published in: a whole number of millionths of that unit.
// Torques of different units compare exactly. The zero value is 0 without a unit and compares with nothing.
type Torque struct {
	micro int64
	unit  Unit
}

// maxMicro is a million of any unit.
const maxMicro = 1_000_000_000_000

// TorqueOf is d in unit u. Errors: ErrUnit, ErrDigits (more than six), ErrRange (over a million).
func TorqueOf(d Decimal, u Unit) (Torque, error) {
	if u.Kind() != TorqueKind {
		return Torque{}, ErrUnit
	}
	if d.Places() > u.MaxPlaces() {
		return Torque{}, ErrDigits
	}
	n, ok := mulInt(d.coef, pow10[6-d.places])
	if !ok || n > maxMicro || n < -maxMicro {
		return Torque{}, ErrRange
	}
	return Torque{n, u}, nil
}

// Unit is the unit the torque was published in.
func (t Torque) Unit() Unit { return t.unit }

// In is the torque in u, exactly. u is a unit of torque.
func (t Torque) In(u Unit) Exact {
	x, ok := Convert(Frac(t.micro, 1_000_000), t.unit, u)
	if !ok {
		panic("quantity: " + string(u) + " is no unit of torque")
	}
	return x
}

// Cmp compares two torques exactly, whatever their units.
func (t Torque) Cmp(o Torque) int {
	if t.unit == o.unit {
		return cmpInt(t.micro, o.micro)
	}
	return t.In(NewtonMetre).Cmp(o.In(NewtonMetre))
}
