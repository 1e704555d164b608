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
		bad.Add(at.Key("variant").Fault("unknown_variant", f.Key+" has no variant "+fault.Quote(variant), OtherVariants(f)))
	}
	for i, m := range marks {
		if m.Component != "" && m.Mark != "" && !hasMark(f, m) {
			bad.Add(at.Key("marks").Index(i).Fault("unknown_mark", f.Key+" has no part marked "+fault.Quote(m.Component+":"+m.Mark),
				"leave it out, or send a mark that its component lists"))
		}
	}
}

// OtherVariants is the remedy for a variant that a family does not have.
func OtherVariants(f *catalogue.Family) string {
	if len(f.Variants) == 0 {
		return "leave it out; the family has no variants"
	}
	ids := make([]string, len(f.Variants))
	for i, v := range f.Variants {
		ids[i] = v.ID
	}
	return "send one of: " + strings.Join(ids, ", ")
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
// of an engine of another family, which is a fault.
func Narrow(rev *catalogue.Revision, f *catalogue.Family, sel catalogue.Selection, at At, bad *fault.List) (narrowed catalogue.Selection, open []note.Note, ok bool) {
	narrowed, open = rev.Narrow(f, sel)
	for _, n := range open {
		if n.Code == "engine_number_of_other_family" {
			bad.Add(at.Key("engine_number").Fault(n.Code, "the engine number "+fault.Quote(sel.EngineNumber)+" belongs to the family "+n.Get("family"),
				"name the spec of that family, or leave the number out"))
			return narrowed, nil, false
		}
	}
	return narrowed, open, true
}

// UnknownSpec is the fault of a key that no spec of the catalogue has; it names the nearest, which is not sought without
// a revision.
func UnknownSpec(rev *catalogue.Revision, key spec.Key, at At) fault.Violation {
	detail := "no spec has the key " + fault.Quote(string(key))
	if rev != nil {
		if near, ok := rev.NearestSpec(key); ok {
			detail += "; the nearest is " + near
		}
	}
	return at.Fault("unknown_spec", detail, "GET /v1/specs lists every key")
}
