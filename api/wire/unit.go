package wire

import (
	"strconv"

	"endfloat/service/fault"
	"endfloat/service/quantity"
)

// Unit reads a unit that must be of the same kind as want (the unit of the spec). Errors: missing_unit, unknown_unit,
// unit_of_wrong_kind. Units of kind other must be the unit of the spec itself.
func Unit(s string, want quantity.Unit, at At, bad *fault.List) (quantity.Unit, bool) {
	if s != "" && want.Kind() == quantity.Other && (s == string(want) || s == want.ASCII()) {
		return want, true
	}
	u, ok := AnyUnit(s, at, bad)
	if !ok {
		return "", false
	}
	if u == want || (u.Kind() == want.Kind() && u.Kind() != quantity.Other) {
		return u, true
	}
	bad.Add(at.Fault("unit_of_wrong_kind", strconv.Quote(string(u))+" does not measure what the spec limits, which is in "+string(want),
		"send one of: "+unitList(want)))
	return "", false
}

// AnyUnit reads a unit of any kind. Errors: missing_unit, unknown_unit.
func AnyUnit(s string, at At, bad *fault.List) (quantity.Unit, bool) {
	if s == "" {
		bad.Add(at.Fault("missing_unit", "a number never travels without its unit", "name the unit of the readings, such as mm, in, N·m or lbf·ft"))
		return "", false
	}
	u, ok := quantity.ParseUnit(s)
	if !ok {
		bad.Add(at.Fault("unknown_unit", fault.Quote(s)+" is no unit that is read here",
			"send one of: mm, um, in, thou, N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, deg, or the unit of the spec"))
	}
	return u, ok
}

func unitList(want quantity.Unit) string {
	if want.Kind() == quantity.Other {
		return string(want)
	}
	return joinUnits(quantity.UnitsOf(want.Kind()))
}
