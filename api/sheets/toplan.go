package sheets

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// engine is the engine that a sheet is of: its plan, what selects its values, and what its number left open.
type engine struct {
	plan *sheet.Plan
	sel  catalogue.Selection
	open []note.Note
}

// fromQuery reads the engine of a blank sheet. Words that the family does not have are faults of their parameters.
func fromQuery(r *rim.Request, f *catalogue.Family) (engine, error) {
	var bad fault.List
	req := SheetRequest{Family: f.Key, Variant: r.One("variant"), EngineNumber: r.One("engine_number"), Scope: r.One("scope")}
	for _, m := range wire.MarksFromQuery(r.Query["mark"], &bad) {
		req.Marks = append(req.Marks, wire.MarkRequest(m))
	}
	e := req.engine(r.Revision, f, "", &bad)
	v, faulty := bad.First()
	if !faulty {
		return e, nil
	}
	name, _, _ := strings.Cut(strings.TrimPrefix(v.At.Pointer, "/"), "/")
	switch {
	case v.At.Parameter != "":
		name = v.At.Parameter
	case name == "marks":
		name = "mark"
	}
	return e, rim.BadParameter(name, "bad_parameter", v.Detail, v.Fix)
}

// engine reads what a sheet says about its engine; every violation is added to bad.
func (q *SheetRequest) engine(rev *catalogue.Revision, f *catalogue.Family, at wire.At, bad *fault.List) engine {
	before := bad.Len()
	wire.CheckSelection(q.Variant, q.EngineNumber, q.Marks, at, bad)
	wire.CheckEngine(rev, spec.Key(f.Key), q.Variant, q.Marks, at, bad)
	scope := strings.TrimPrefix(q.Scope, f.Key+"/") // of a component the whole key, too
	switch {
	case scope == "":
		scope = sheet.Full
	case !sheet.HasScope(f, scope):
		bad.Add(at.Key("scope").Fault("unknown_scope", note.New("found_family_lacks_scope", note.Str("family", f.Key), note.Str("scope", rim.Quote(scope))), note.New("fix_send_one_of_or_component", note.Str("list", strings.Join(sheet.Scopes(f), ", ")))))
	}
	if bad.Len() > before {
		return engine{}
	}
	sel := wire.ToSelection(q.Variant, q.EngineNumber, q.Marks, catalogue.Selection{})
	sel, open, ok := wire.Narrow(rev, f, sel, at, note.New("fix_send_sheet_family"), bad)
	if !ok {
		return engine{}
	}
	if len(sel.Among) == 0 {
		sel.EngineNumber = "" // it has said all it can; nothing is identified again line by line
	}
	return engine{sheet.Lay(f, sel, scope), sel, open}
}

// familyOf is the family of a filled sheet: the one that it names, else that of its first line that names one.
func (q *SheetRequest) familyOf(rev *catalogue.Revision, at wire.At, bad *fault.List) (*catalogue.Family, bool) {
	key := q.Family
	if key == "" {
		for i := range q.Lines {
			name, _, _ := strings.Cut(q.Lines[i].Spec, "/")
			if _, ok := rev.Family(name); ok {
				key = name
				break
			}
		}
	}
	if f, ok := rev.Family(key); ok {
		return f, true
	}
	known := make([]string, len(rev.Families))
	for i, f := range rev.Families {
		known[i] = f.Key
	}
	fix := note.New("fix_send_one_of", note.Str("list", strings.Join(known, ", ")))
	if key == "" {
		bad.Add(at.Key("family").Fault("missing_family", note.New("found_sheet_names_no_family"), fix))
	} else {
		bad.Add(at.Key("family").Fault("unknown_family", note.New("found_no_family_key", note.Str("key", rim.Quote(key))), fix))
	}
	return nil, false
}
