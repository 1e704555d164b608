package sheets

import (
	"slices"
	"strings"

	"endfloat/api/judging"
)

// Columns of the tables. A filled table has those that are filled; a blank one has them empty beside those that say what
// is allowed, so that it can be sent back as it is once it is filled.
var (
	headColumns    = []string{"family", "variant", "engine_number", "scope", "hours", "claim_number", "customer_reference"}
	foundColumns   = []string{"as_found_1", "as_found_2", "as_found_3", "as_found_4", "as_found_5", "as_found_6", "as_found_7", "as_found_8"}
	builtColumns   = []string{"as_built_1", "as_built_2", "as_built_3", "as_built_4", "as_built_5", "as_built_6", "as_built_7", "as_built_8"}
	doneColumns    = []string{"part", "how_found", "how_built", "condition", "instrument", "standard_uncertainty", "accuracy", "accuracy_percent", "shims_before", "shims_after", "renewed", "retorqued", "by", "at", "tool", "calibration_due", "witness", "waiver_who", "waiver_reason", "note"}
	allowedColumns = []string{"row", "component", "name", "gate", "critical", "cautions", "lower", "upper", "target", "target_policy", "wear_lower", "wear_upper", "torque", "places", "state", "after", "waiver_allowed", "renew", "source_class", "text", "revision", "rules"}
	blankColumns   = slices.Concat([]string{"id", "spec", "unit"}, headColumns, allowedColumns, foundColumns, builtColumns, doneColumns)
)

// columns names the column of each fault of a line that came from a table.
func (x *filled) columns(p *judging.RowProblem) {
	if x.row == nil {
		return
	}
	for i := range p.Errors {
		if e := &p.Errors[i]; e.Pointer != nil {
			line := x.row.line
			e.Row, e.Column, e.Pointer = &line, x.row.columnOf(strings.TrimPrefix(*e.Pointer, string(x.at)+"/")), nil
		}
	}
}

// columnOf is the column that a place in a line came from.
func (w *tableRow) columnOf(rest string) string {
	parts := strings.Split(rest, "/")
	switch parts[0] {
	case "as_found", "as_built":
		if len(parts) < 2 {
			return parts[0] + "_1"
		}
		switch parts[1] {
		case "readings":
			filled := w.built
			if parts[0] == "as_found" {
				filled = w.found
			}
			for i, column := range filled {
				if len(parts) > 2 && parts[2] == itoa(i) {
					return column
				}
			}
			return parts[0] + "_1"
		case "instrument":
			if len(parts) > 2 && slices.Contains(doneColumns, parts[2]) {
				return parts[2]
			}
			return "instrument"
		case "how":
			return "how_" + strings.TrimPrefix(parts[0], "as_")
		}
		return "condition"
	case "waiver":
		if len(parts) > 1 {
			return "waiver_" + parts[1]
		}
		return "waiver_who"
	case "tool":
		if len(parts) > 1 && parts[1] == "calibration_due" {
			return "calibration_due"
		}
		return "tool"
	}
	if slices.Contains(blankColumns, parts[0]) {
		return parts[0]
	}
	return "spec"
}
