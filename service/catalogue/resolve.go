package catalogue

import "endfloat/service/spec"

// Resolve picks the values for one engine. A mark beats the variant. Where the selection names neither and the entry
// differs between variants, the base is returned with its alternatives and Undecided set.
func (e *Entry) Resolve(sel Selection) Resolved {
	for _, o := range e.Overrides {
		if o.Mark != "" && sel.hasMark(o.Mark) {
			return Resolved{Spec: o.Spec}
		}
	}
	if sel.Variant != "" {
		for _, o := range e.Overrides {
			if o.Variant == sel.Variant {
				return Resolved{Spec: o.Spec}
			}
		}
		if !e.onlyMarks() {
			return Resolved{Spec: e.Base}
		}
	}
	if len(e.Overrides) == 0 {
		return Resolved{Spec: e.Base}
	}
	return Resolved{Spec: e.Base, Alternatives: e.Overrides, Undecided: true}
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

// Resolve picks the shim set for one engine as Entry.Resolve does; undecided says that the selection did not decide.
func (e *ShimEntry) Resolve(sel Selection) (set *spec.ShimSet, undecided bool) {
	for _, o := range e.Overrides {
		if o.Mark != "" && sel.hasMark(o.Mark) {
			return o.Shims, false
		}
	}
	for _, o := range e.Overrides {
		if sel.Variant != "" && o.Variant == sel.Variant {
			return o.Shims, false
		}
	}
	return e.Base, len(e.Overrides) > 0 && sel.Variant == ""
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
