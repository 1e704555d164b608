package quantity

import (
	"strings"
	"unicode/utf8"
)

// Unit is a unit as answers write it. The zero value is no unit.
type Unit string

// The units with a factor. Any other unit is of kind Other and is never converted.
const (
	Millimetre     Unit = "mm"
	Micrometre     Unit = "µm"
	Inch           Unit = "in"
	Thou           Unit = "thou"
	NewtonMetre    Unit = "N·m"
	PoundForceFoot Unit = "lbf·ft"
	PoundForceInch Unit = "lbf·in"
	KilogramMetre  Unit = "kgf·m"
	KilogramCentim Unit = "kgf·cm"
	Degree         Unit = "°"
)

// Kind is what a unit measures. Quantities of two kinds are never compared.
type Kind uint8

// The kinds.
const (
	Other Kind = iota
	LengthKind
	TorqueKind
	AngleKind
)

// factor is one unit in millimetres, newton metres or degrees, exactly.
// Sources: inch 25.4 mm and foot 0.3048 m (international yard and pound agreement 1959); pound 0.453 592 37 kg (same);
// standard gravity 9.806 65 m/s² (3rd CGPM 1901); thou is a thousandth of an inch.
func (u Unit) factor() (Exact, Kind, bool) {
	switch u {
	case Millimetre:
		return Exact{num: 1, den: 1}, LengthKind, true
	case Micrometre:
		return Exact{num: 1, den: 1000}, LengthKind, true
	case Inch:
		return Exact{num: 127, den: 5}, LengthKind, true
	case Thou:
		return Exact{num: 127, den: 5000}, LengthKind, true
	case NewtonMetre:
		return Exact{num: 1, den: 1}, TorqueKind, true
	case PoundForceFoot:
		return Exact{num: 3389544870828501, den: 2500000000000000}, TorqueKind, true
	case PoundForceInch:
		return Exact{num: 1129848290276167, den: 10000000000000000}, TorqueKind, true
	case KilogramMetre:
		return Exact{num: 980665, den: 100000}, TorqueKind, true
	case KilogramCentim:
		return Exact{num: 980665, den: 10000000}, TorqueKind, true
	case Degree:
		return Exact{num: 1, den: 1}, AngleKind, true
	}
	return Exact{}, Other, false
}

// Kind is what u measures; an unknown unit is Other.
func (u Unit) Kind() Kind {
	_, k, _ := u.factor()
	return k
}

// MaxPlaces is how many fractional digits a reading in u may have.
func (u Unit) MaxPlaces() int {
	switch u {
	case Micrometre, Thou:
		return 6
	}
	if u.Kind() == TorqueKind {
		return 6
	}
	return 9
}

// ASCII is u in plain letters, as CSV writes it.
func (u Unit) ASCII() string {
	switch u {
	case Micrometre:
		return "um"
	case Degree:
		return "deg"
	}
	return asciiDots.Replace(string(u))
}

var asciiDots = strings.NewReplacer("·", ".", "³", "3", "²", "2", "°", "deg", "µ", "u")

// ParseUnit reads a unit of length, torque or angle in any of its accepted spellings, and the units of kind Other
// that UnitsOther lists. ParseOther reads any of kind Other.
func ParseUnit(s string) (Unit, bool) {
	switch s {
	case "mm":
		return Millimetre, true
	case "um", "µm", "μm": // micro sign and Greek mu look alike
		return Micrometre, true
	case "in":
		return Inch, true
	case "thou":
		return Thou, true
	case "N·m", "N.m", "Nm":
		return NewtonMetre, true
	case "lbf·ft", "lbf.ft", "ft·lbf":
		return PoundForceFoot, true
	case "lbf·in", "lbf.in", "in·lbf":
		return PoundForceInch, true
	case "kgf·m", "kgf.m":
		return KilogramMetre, true
	case "kgf·cm", "kgf.cm":
		return KilogramCentim, true
	case "deg", "°":
		return Degree, true
	case "cm3":
		return "cm³", true
	}
	for _, u := range UnitsOther() {
		if s == string(u) {
			return u, true
		}
	}
	return "", false
}

// UnitsOf lists the units of a kind, in the order answers list them.
func UnitsOf(k Kind) []Unit {
	switch k {
	case LengthKind:
		return []Unit{Millimetre, Micrometre, Inch, Thou}
	case TorqueKind:
		return []Unit{NewtonMetre, PoundForceFoot, PoundForceInch, KilogramMetre, KilogramCentim}
	case AngleKind:
		return []Unit{Degree}
	}
	return UnitsOther()
}

// UnitsOther lists the units that are judged as they are and never converted.
func UnitsOther() []Unit {
	return []Unit{"N", "kN", "kPa", "bar", "cm³", "turns", "ratio", "%", "N/mm", "mm/100mm"}
}

// maxOther is how many characters a unit of kind Other may have.
const maxOther = 16

// ParseOther reads a unit of kind Other: one that UnitsOther lists, or any other that a source publishes, such as psi, °C or
// mm²/s, as it is written. It begins with a letter of ASCII, µ, ° or %, and has those, digits and · . / ² ³ - after that, 16
// characters at most. ok is false for what it cannot be and for units of length, torque and angle.
func ParseOther(s string) (Unit, bool) {
	if u, ok := ParseUnit(s); ok {
		return u, u.Kind() == Other
	}
	if utf8.RuneCountInString(s) > maxOther {
		return "", false
	}
	for i, c := range s {
		first := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c == 'µ' || c == '°' || c == '%'
		if !first && (i == 0 || (c < '0' || c > '9') && !strings.ContainsRune("·./²³-", c)) {
			return "", false
		}
	}
	return Unit(s), s != ""
}

// In is d of unit from expressed exactly in unit to. ok is false where the kinds differ or a unit has no factor;
// the same unit always converts to itself.
func In(d Decimal, from, to Unit) (Exact, bool) { return Convert(d.Exact(), from, to) }

// Convert is In for a number that is exact already.
func Convert(x Exact, from, to Unit) (Exact, bool) {
	if from == to {
		return x, true
	}
	f, kf, ok1 := from.factor()
	t, kt, ok2 := to.factor()
	if !ok1 || !ok2 || kf != kt {
		return Exact{}, false
	}
	return x.Mul(f.Quo(t)), true
}
