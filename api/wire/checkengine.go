package wire

import (
	"slices"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// CheckEngine faults a variant or mark that the family of a key does not have, and names those it has. An unknown
// family is not faulted here.
func CheckEngine(rev *catalogue.Revision, key spec.Key, variant string, marks []MarkRequest, at At, bad *fault.List) {
	f, ok := rev.FamilyOf(key)
	if !ok {
		return
	}
	if variant != "" && !f.HasVariant(variant) {
		bad.Add(at.Key("variant").Fault("unknown_variant", note.New("found_family_lacks_variant", note.Str("family", f.Key), note.Str("variant", fault.Quote(variant))), OtherVariants(f)))
	}
	for i, m := range marks {
		if m.Component != "" && m.Mark != "" && !hasMark(f, m) {
			bad.Add(at.Key("marks").Index(i).Fault("unknown_mark", note.New("found_family_lacks_mark", note.Str("family", f.Key), note.Str("mark", fault.Quote(m.Component+":"+m.Mark))),
				note.New("fix_leave_out_or_send")))
		}
	}
}

// OtherVariants is the remedy for a variant that a family does not have.
func OtherVariants(f *catalogue.Family) note.Note {
	if len(f.Variants) == 0 {
		return note.New("fix_leave_out_family")
	}
	ids := make([]string, len(f.Variants))
	for i, v := range f.Variants {
		ids[i] = v.ID
	}
	return note.New("fix_send_one_of", note.Str("list", strings.Join(ids, ", ")))
}

func hasMark(f *catalogue.Family, m MarkRequest) bool {
	for _, c := range f.Components {
		if c.Key == m.Component {
			return slices.Contains(c.Marks, m.Mark)
		}
	}
	return false
}

// Narrow fills in what an engine number means in a family and says what it leaves open. ok is false where it is the number
// of an engine of another family, which is a fault with the remedy fix.
func Narrow(rev *catalogue.Revision, f *catalogue.Family, sel catalogue.Selection, at At, fix note.Note, bad *fault.List) (narrowed catalogue.Selection, open []note.Note, ok bool) {
	narrowed, open = rev.Narrow(f, sel)
	for _, n := range open {
		if n.Code == "engine_number_of_other_family" {
			bad.Add(at.Key("engine_number").Fault(n.Code, note.New("found_engine_number_belongs_family", note.Str("number", fault.Quote(sel.EngineNumber)), note.Str("family", n.Get("family"))),
				fix))
			return narrowed, nil, false
		}
	}
	return narrowed, open, true
}

// UnknownSpec is the fault of a key that no spec of the catalogue has; it names the nearest, which is not sought without
// a revision.
func UnknownSpec(rev *catalogue.Revision, key spec.Key, at At) fault.Violation {
	detail := note.New("found_no_spec_key", note.Str("key", fault.Quote(string(key))))
	if rev != nil {
		if near, ok := rev.NearestSpec(key); ok {
			detail = note.New("found_no_spec_key_nearest", detail.Params[0], note.Str("near", near))
		}
	}
	return at.Fault("unknown_spec", detail, note.New("fix_get_v1_specs_lists"))
}

// Missing is the fault of an address whose key does not exist: what is absent and where the list is, and the nearest that
// there is, where near names one.
func Missing(code string, absent note.Note, near string) error {
	if near != "" {
		absent = note.New(absent.Code+"_nearest", append(absent.Params, note.Str("near", near))...)
	}
	return fault.New(fault.NotFound, code, absent)
}
