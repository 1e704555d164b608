package wire

import (
	"strconv"

	"endfloat/service/fault"
	"endfloat/service/note"
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
	bad.Add(at.Fault("unit_of_wrong_kind", note.New("found_unit_of_other_kind_than_spec", note.Str("unit", strconv.Quote(string(u))), note.Str("own", string(want))),
		note.New("fix_send_one_of", note.Str("list", unitList(want)))))
	return "", false
}

// AnyUnit reads a unit of any kind. Errors: missing_unit, unknown_unit.
func AnyUnit(s string, at At, bad *fault.List) (quantity.Unit, bool) {
	if s == "" {
		bad.Add(at.Fault("missing_unit", note.New("found_number_never_travels_without"), note.New("fix_name_unit_readings_mm")))
		return "", false
	}
	u, ok := quantity.ParseUnit(s)
	if !ok {
		bad.Add(at.Fault("unknown_unit", note.New("found_no_unit_read", note.Str("unit", fault.Quote(s))),
			note.New("fix_send_one_of_or_unit_of_spec", note.Str("list", "mm, um, in, thou, N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, deg"))))
	}
	return u, ok
}

func unitList(want quantity.Unit) string {
	if want.Kind() == quantity.Other {
		return string(want)
	}
	return joinUnits(quantity.UnitsOf(want.Kind()))
}
