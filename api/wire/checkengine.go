package wire

import (
	"slices"
	"strconv"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/spec"
)

// CheckEngine faults a variant or mark that the family of a key does not have, and names those it has. An unknown
// family is not faulted here.
func CheckEngine(rev *catalogue.Revision, key spec.Key, variant string, marks []MarkRequest, at At, bad *fault.List) {
	name, _, _ := strings.Cut(string(key), "/")
	f, ok := rev.Family(name)
	if !ok {
		return
	}
	if variant != "" && !f.HasVariant(variant) {
		ids := make([]string, len(f.Variants))
		for i, v := range f.Variants {
			ids[i] = v.ID
		}
		fix := "leave it out; the family has no variants"
		if len(ids) > 0 {
			fix = "send one of: " + strings.Join(ids, ", ")
		}
		bad.Add(at.Key("variant").Fault("unknown_variant", f.Key+" has no variant "+strconv.Quote(clip(variant)), fix))
	}
	for i, m := range marks {
		if m.Component != "" && m.Mark != "" && !hasMark(f, m) {
			bad.Add(at.Key("marks").Index(i).Fault("unknown_mark", f.Key+" has no part marked "+strconv.Quote(clip(m.Component+":"+m.Mark)),
				"leave it out, or send a mark that its component lists"))
		}
	}
}

func hasMark(f *catalogue.Family, m MarkRequest) bool {
	for _, c := range f.Components {
		if c.Key == m.Component {
			return slices.Contains(c.Marks, m.Mark)
		}
	}
	return false
}
