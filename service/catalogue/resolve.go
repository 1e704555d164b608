package catalogue

import (
	"strings"

	"endfloat/service/spec"
)

// Resolve picks the values for one engine. A mark beats the variant; naming a mark of the component that changes
// nothing decides as well. Where the selection does not decide, the base is returned with its alternatives and
// Undecided set; of several possible variants only those that differ are alternatives.
func (e *Entry) Resolve(sel Selection) Resolved {
	if len(e.Overrides) == 0 {
		return Resolved{Spec: e.Base}
	}
	for _, o := range e.Overrides {
		if o.Mark != "" && sel.hasMark(o.Mark) {
			return Resolved{Spec: o.Spec}
		}
	}
	switch {
	case e.onlyMarks():
		if sel.namesMarkOf(markedComponent(e.Overrides[0].Mark)) {
			return Resolved{Spec: e.Base}
		}
	case sel.Variant != "":
		return Resolved{Spec: e.of(sel.Variant)}
	case len(sel.Among) > 0:
		return e.among(sel.Among)
	}
	return Resolved{Spec: e.Base, Alternatives: e.Overrides, Undecided: true}
}

// of is the spec of one variant, marks apart.
func (e *Entry) of(variant string) *spec.Spec {
	for _, o := range e.Overrides {
		if o.Variant == variant && o.Mark == "" {
			return o.Spec
		}
	}
	return e.Base
}

// among decides where all possible variants have one and the same spec.
func (e *Entry) among(variants []string) Resolved {
	first := e.of(variants[0])
	out := Resolved{Spec: first}
	for _, v := range variants {
		s := e.of(v)
		out.Undecided = out.Undecided || s != first
		out.Alternatives = append(out.Alternatives, Override{Variant: v, Spec: s})
	}
	if !out.Undecided {
		return Resolved{Spec: first}
	}
	out.Spec = e.Base
	return out
}

func (e *Entry) onlyMarks() bool {
	for _, o := range e.Overrides {
		if o.Mark == "" {
			return false
		}
	}
	return len(e.Overrides) > 0
}

func (s Selection) hasMark(mark string) bool {
	for _, m := range s.Marks {
		if m.Component+":"+m.Mark == mark {
			return true
		}
	}
	return false
}

func (s Selection) namesMarkOf(component string) bool {
	for _, m := range s.Marks {
		if m.Component == component {
			return true
		}
	}
	return false
}

func markedComponent(mark string) string {
	component, _, _ := strings.Cut(mark, ":")
	return component
}

// Resolve picks the shim set for one engine as Entry.Resolve does; undecided says that the selection did not decide.
func (e *ShimEntry) Resolve(sel Selection) (set *spec.ShimSet, undecided bool) {
	variants, marks := 0, ""
	for _, o := range e.Overrides {
		if o.Mark != "" && sel.hasMark(o.Mark) {
			return o.Shims, false
		}
		if o.Mark == "" {
			variants++
		} else {
			marks = markedComponent(o.Mark)
		}
	}
	switch {
	case len(e.Overrides) == 0:
		return e.Base, false
	case variants == 0:
		return e.Base, !sel.namesMarkOf(marks)
	case sel.Variant != "":
		return e.of(sel.Variant), false
	case len(sel.Among) > 0:
		first := e.of(sel.Among[0])
		for _, v := range sel.Among {
			if e.of(v) != first {
				return e.Base, true
			}
		}
		return first, false
	}
	return e.Base, true
}

func (e *ShimEntry) of(variant string) *spec.ShimSet {
	for _, o := range e.Overrides {
		if o.Variant == variant && o.Mark == "" {
			return o.Shims
		}
	}
	return e.Base
}

// HasVariant reports whether the family has a variant with that id.
func (f *Family) HasVariant(id string) bool {
	for _, v := range f.Variants {
		if v.ID == id {
			return true
		}
	}
	return false
}
