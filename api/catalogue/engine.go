package catalogue

import (
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// engine reads what the query says about an engine of the family, and what its number leaves open. A variant or mark
// that the family does not have is a fault of the parameter, which names those it has; so is the number of an engine
// of another family.
func engine(r *rim.Request, f *catalogue.Family) (catalogue.Selection, []note.Note, error) {
	sel, err := named(r, f)
	if err != nil {
		return sel, nil, err
	}
	sel, open := r.Revision.Narrow(f, sel)
	for _, n := range open {
		if n.Code == "engine_number_of_other_family" {
			return sel, nil, rim.BadParameter("engine_number", "bad_parameter",
				note.New("found_engine_number_belongs_family", note.Str("number", rim.Quote(sel.EngineNumber)), note.Str("family", n.Get("family"))), note.New("fix_ask_get", note.Str("address", "/v1/families/"+n.Get("family"))))
		}
	}
	return sel, open, nil
}

func named(r *rim.Request, f *catalogue.Family) (catalogue.Selection, error) {
	sel := catalogue.Selection{Variant: r.One("variant"), EngineNumber: r.One("engine_number")}
	if sel.Variant != "" && !f.HasVariant(sel.Variant) {
		return sel, rim.BadParameter("variant", "bad_parameter", note.New("found_family_lacks_variant", note.Str("family", f.Key), note.Str("variant", rim.Quote(sel.Variant))), wire.OtherVariants(f))
	}
	var bad fault.List
	sel.Marks = wire.MarksFromQuery(r.Query["mark"], &bad)
	if v, faulty := bad.First(); faulty {
		return sel, rim.BadParameter("mark", "bad_parameter", v.Detail, v.Fix)
	}
	for _, m := range sel.Marks {
		if err := knownMark(f, m); err != nil {
			return sel, err
		}
	}
	return sel, nil
}

func knownMark(f *catalogue.Family, m catalogue.Mark) error {
	for _, c := range f.Components {
		if c.Key != m.Component {
			continue
		}
		if slices.Contains(c.Marks, m.Mark) {
			return nil
		}
		fix := note.New("fix_leave_out_no_mark")
		if len(c.Marks) > 0 {
			fix = note.New("fix_send_one_of", note.Str("list", c.Key+":"+strings.Join(c.Marks, ", "+c.Key+":")))
		}
		return rim.BadParameter("mark", "bad_parameter", note.New("found_component_no_mark", note.Str("component", c.Key), note.Str("mark", rim.Quote(m.Mark))), fix)
	}
	keys := make([]string, len(f.Components))
	for i, c := range f.Components {
		keys[i] = c.Key
	}
	return rim.BadParameter("mark", "bad_parameter", note.New("found_family_lacks_component", note.Str("family", f.Key), note.Str("component", rim.Quote(m.Component))),
		note.New("fix_name_component", note.Str("list", strings.Join(keys, ", "))))
}
