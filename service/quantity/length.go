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

// Errors of LengthOf.
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

// Most is the largest magnitude of a quantity that is no length, in whatever unit it is.
const Most = 1_000_000

// InRange reports whether d in u is within what a quantity may be: ten metres of a length, Most of anything else, both
// ends inside. For a length with more digits than u may have it is false.
func InRange(d Decimal, u Unit) bool {
	if u.Kind() == LengthKind {
		_, err := LengthOf(d, u)
		return err == nil
	}
	most := NewDecimal(Most, 0)
	return d.Cmp(most) <= 0 && d.Neg().Cmp(most) <= 0
}
