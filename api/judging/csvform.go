package judging

import (
	"slices"
	"strings"
)

// column is one of the columns that a table of checks may have.
type column int

// The columns. Those from columnKind on make a caller's own spec.
const (
	columnID column = iota
	columnSpec
	columnVariant
	columnEngineNumber
	columnStage
	columnPart
	columnHow
	columnUnit
	columnReading1
	columnReading2
	columnReading3
	columnReading4
	columnReading5
	columnReading6
	columnReading7
	columnReading8
	columnInstrument
	columnStandardUncertainty
	columnAccuracy
	columnAccuracyPercent
	columnKind
	columnSpecUnit
	columnLower
	columnUpper
	columnTarget
	columnTargetPolicy
	columnWearLower
	columnWearUpper
	columnPlausibleLower
	columnPlausibleUpper
	columns
)

// inColumns are their names, each at its number.
var inColumns = []string{"id", "spec", "variant", "engine_number", "stage", "part", "how", "unit",
	"reading_1", "reading_2", "reading_3", "reading_4", "reading_5", "reading_6", "reading_7", "reading_8",
	"instrument", "standard_uncertainty", "accuracy", "accuracy_percent",
	"kind", "spec_unit", "lower", "upper", "target", "target_policy", "wear_lower", "wear_upper", "plausible_lower", "plausible_upper"}

// columnOf is the column that a place in a check came from.
func (r *row) columnOf(pointer string) string {
	_, rest, _ := strings.Cut(strings.TrimPrefix(pointer, "/checks/"), "/")
	if tail, found := strings.CutPrefix(rest, "readings/"); found {
		index, _, _ := strings.Cut(tail, "/")
		for i, column := range r.readings {
			if index == itoa(i) {
				return column
			}
		}
		return inColumns[columnReading1]
	}
	for _, m := range [...]struct{ pointer, column string }{
		{"caller_spec/kind", "kind"}, {"caller_spec/unit", "spec_unit"}, {"caller_spec/band/upper", "upper"}, {"caller_spec/band", "lower"},
		{"caller_spec/target_policy", "target_policy"}, {"caller_spec/target", "target"}, {"caller_spec/wear_limit/upper", "wear_upper"},
		{"caller_spec/wear_limit", "wear_lower"}, {"caller_spec/plausible/upper", "plausible_upper"}, {"caller_spec/plausible", "plausible_lower"},
		{"caller_spec", "lower"}, {"instrument/standard_uncertainty", "standard_uncertainty"}, {"instrument/accuracy_percent", "accuracy_percent"},
		{"instrument/accuracy", "accuracy"}, {"instrument", "instrument"}, {"readings", inColumns[columnReading1]},
	} {
		if rest == m.pointer || strings.HasPrefix(rest, m.pointer+"/") {
			if m.column == "spec_unit" && r.oneUnit {
				return "unit"
			}
			return m.column
		}
	}
	if slices.Contains(inColumns, rest) {
		return rest
	}
	return "spec"
}
