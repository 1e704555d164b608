package judging

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// valueOf reads the number or the word in a query and its unit.
func valueOf(r *rim.Request, s *spec.Spec, bad *fault.List) ([]measure.Reading, quantity.Unit) {
	text := r.One("value")
	if text == "" {
		bad.Add(wire.Query("value").Fault("missing_value", note.New("found_no_value_judge"), note.New("fix_send_value_unit")))
		return nil, s.Unit
	}
	if s.Kind == spec.Category {
		if r.One("unit") != "" {
			bad.Add(wire.Query("unit").Fault("unit_of_wrong_kind", note.New("found_spec_judges_words_no_unit"), note.New("fix_leave_unit")))
		}
		wire.Fits(text, wire.MaxName, bad, wire.Query("value"))
		return []measure.Reading{{Category: text}}, s.Unit
	}
	u, ok := wire.Unit(r.One("unit"), s.Unit, wire.Query("unit"), bad)
	if !ok {
		return nil, s.Unit
	}
	d, ok := wire.NumberFromText(text).In(u, wire.Query("value"), bad)
	return []measure.Reading{{Value: d, HasValue: ok}}, u
}

// QueryWords are the parameters of the verdict on one number and of its picture, beside those of every look-up.
func QueryWords() []string {
	return []string{"value", "unit", "stage", "part", "rule", "guard", "how", "instrument", "standard_uncertainty", "condition"}
}
