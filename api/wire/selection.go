package wire

import (
	"slices"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// MarkRequest is what is stamped or cast on a component.
type MarkRequest struct {
	Component string `json:"component" example:"counter-shaft" validate:"required,max=64"`
	Mark      string `json:"mark" example:"K2" validate:"required,max=64"`
} //@name MarkRequest

// ToSelection joins what a row says about the engine with what the whole request says: the row goes first.
func ToSelection(variant, number string, marks []MarkRequest, whole catalogue.Selection) catalogue.Selection {
	sel := catalogue.Selection{Variant: variant, EngineNumber: number}
	for _, m := range marks {
		sel.Marks = append(sel.Marks, catalogue.Mark(m))
	}
	if sel.Variant == "" && sel.EngineNumber == "" {
		sel.Variant, sel.EngineNumber = whole.Variant, whole.EngineNumber
	}
	for _, m := range whole.Marks {
		if !slices.ContainsFunc(sel.Marks, func(own catalogue.Mark) bool { return own.Component == m.Component }) {
			sel.Marks = append(sel.Marks, m)
		}
	}
	return sel
}

// maxMarks is the most marks of one request.
const maxMarks = 32

// CheckSelection faults names that are too long to be one.
func CheckSelection(variant, number string, marks []MarkRequest, at At, bad *fault.List) {
	if longer(variant, MaxName) {
		bad.Add(at.Key("variant").Fault("too_long", note.New("found_longer_any_variant"), note.New("fix_send_id_variant_most", note.Str("most", "64"))))
	}
	if longer(number, MaxName) {
		bad.Add(at.Key("engine_number").Fault("too_long", note.New("found_longer_any_engine_number"), note.New("fix_send_at_most_characters", note.Str("n", "64"))))
	}
	if !Limit(len(marks), maxMarks, at.Key("marks"), bad) {
		return
	}
	for i, m := range marks {
		if m.Component == "" || m.Mark == "" || longer(m.Component, MaxName) || longer(m.Mark, MaxName) {
			bad.Add(at.Key("marks").Index(i).Fault("bad_mark", note.New("found_mark_names_component_stamped"), note.New("fix_send_component_mark")))
		}
	}
}

// MarksFromQuery reads the repeatable query parameter mark=component:mark.
func MarksFromQuery(values []string, bad *fault.List) []catalogue.Mark {
	var marks []catalogue.Mark
	for _, v := range values {
		component, mark, found := strings.Cut(v, ":")
		if !found || component == "" || mark == "" {
			bad.Add(Query("mark").Fault("bad_mark", note.New("found_mark_names_component_stamped"), note.New("fix_send_mark_component_mark")))
			continue
		}
		marks = append(marks, catalogue.Mark{Component: component, Mark: mark})
	}
	return marks
}
