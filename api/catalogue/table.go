package catalogue

import (
	"strconv"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/quantity"
)

// columns of a list of specs. What warns stands before what it warns of.
var columns = [...]string{"key", "kind", "name", "family_name", "component_name", "hand", "cautions", "unit", "decimals", "value_form",
	"lower", "upper", "target", "target_policy", "policy_percent", "angle", "angle_tolerance", "wear_lower", "wear_upper", "remedy", "critical",
	"thread", "condition", "state", "adjusted_by", "differs", "converted_unit", "converted_lower", "converted_upper", "converted_target",
	"converted_wear_lower", "converted_wear_upper", "summary", "source_class", "source_title", "revision_date", "revision", "rules"}

// table is a list as CSV: codes separated by spaces, units in plain letters.
func table(list SpecList) []byte {
	t := rim.NewTable(columns[:]...)
	for _, s := range list.Items {
		t.Row(s.Key, s.Kind, s.Name, s.FamilyName, s.ComponentName, s.Fastener.Hand, strings.Join(s.Cautions, " "),
			quantity.Unit(s.Unit).ASCII(), strconv.Itoa(s.Decimals), s.ValueForm,
			cell(s.Band.Lower), cell(s.Band.Upper), cell(s.Target), s.TargetPolicy, cell(s.Policy.Percent), cell(s.Angle), cell(s.AngleTolerance),
			cell(s.WearLimit.Lower), cell(s.WearLimit.Upper), s.Remedy, strconv.FormatBool(s.Critical),
			s.Fastener.Thread, s.Fastener.Condition, s.State, s.AdjustedBy, differs(s.Alternatives),
			quantity.Unit(s.Converted.Unit).ASCII(), cell(s.Converted.Band.Lower), cell(s.Converted.Band.Upper), cell(s.Converted.Target),
			cell(s.Converted.WearLimit.Lower), cell(s.Converted.WearLimit.Upper), summary(s.Display, s.Converted),
			s.Source.Class, s.Source.Title, s.RevisionDate, list.Revision, list.Rules)
	}
	return t.Bytes()
}

func cell(d wire.Decimal) string {
	if d.IsZero() {
		return ""
	}
	return d.Quantity().String()
}

// differs names the variants and marks that have other values.
func differs(list []wire.Alternative) string {
	var names []string
	for _, a := range list {
		names = append(names, a.Variant+a.Mark)
	}
	return strings.Join(names, " ")
}
