package sheets

import (
	"strconv"
	"strings"

	"endfloat/api/table"
	"endfloat/service/quantity"
)

// table is the blank sheet as CSV: a row a line, to be filled and sent back as it is.
func (b *BlankSheet) table(f table.Form) []byte {
	t := newTable(f, blankColumns)
	for i := range b.Lines {
		l := &b.Lines[i]
		v := &l.Values
		said := map[string]string{"id": l.ID, "spec": l.Spec, "unit": quantity.Unit(v.Unit).ASCII(), "family": b.Family, "variant": b.Variant,
			"engine_number": b.EngineNumber, "scope": b.Scope, "row": itoa(i + 1), "component": l.Component, "name": l.Name, "gate": l.Gate,
			"critical": strconv.FormatBool(l.Critical), "cautions": strings.Join(l.Cautions, " "), "lower": f.Show(v.Band.Lower), "upper": f.Show(v.Band.Upper),
			"target": f.Show(v.Target), "target_policy": v.TargetPolicy, "wear_lower": f.Show(v.WearLimit.Lower), "wear_upper": f.Show(v.WearLimit.Upper),
			"places": v.Points.Places, "state": v.State, "after": strings.Join(l.After, " "), "waiver_allowed": strconv.FormatBool(l.WaiverAllowed),
			"renew": strings.Join(l.Renew, " "), "source_class": v.Source.Class, "text": l.Text, "revision": b.Revision, "rules": b.Rules}
		if v.Kind == "torque" {
			said["torque"] = v.Display.Band
		}
		cells := make([]string, len(blankColumns))
		for j, name := range blankColumns {
			cells[j] = said[name]
		}
		t.row(cells)
	}
	return t.bytes()
}
