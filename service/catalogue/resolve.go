package catalogue

import (
	"slices"
	"strings"

	"endfloat/service/spec"
)

// Resolve picks the values for one engine. A mark beats the variant; naming a mark of the component that changes
// nothing decides as well. Where the selection does not decide, the base is returned with its alternatives and
// Undecided set: all that differs from it, or what each of the variants that stay possible has.
func (e *Entry) Resolve(sel Selection) Resolved {
	s, undecided := resolve(e.Base, e.Overrides, sel)
	switch {
	case !undecided:
		return Resolved{Spec: s}
	case len(sel.Among) == 0 || onlyMarks(e.Overrides):
		return Resolved{Spec: s, Alternatives: e.Overrides, Undecided: true}
	}
	out := Resolved{Spec: s, Undecided: true}
	for _, v := range sel.Among {
		out.Alternatives = append(out.Alternatives, Override{Variant: v, Spec: of(e.Base, e.Overrides, v)})
	}
	return out
}

// Resolve picks the shim set for one engine as Entry.Resolve does; undecided says that the selection did not decide.
func (e *ShimEntry) Resolve(sel Selection) (set *spec.ShimSet, undecided bool) {
	return resolve(e.Base, e.Overrides, sel)
}

// override is a value that a variant or a part mark has in place of the base.
type override[T any] interface {
	chosenBy() (variant, mark string)
	value() *T
}

func (o Override) chosenBy() (variant, mark string) { return o.Variant, o.Mark }
func (o Override) value() *spec.Spec                { return o.Spec }

func (o ShimOverride) chosenBy() (variant, mark string) { return o.Variant, o.Mark }
func (o ShimOverride) value() *spec.ShimSet             { return o.Shims }

// resolve is the one rule by which a selection picks between a base and its overrides.
func resolve[T any, O override[T]](base *T, overrides []O, sel Selection) (picked *T, undecided bool) {
	if len(overrides) == 0 {
		return base, false
	}
	for _, o := range overrides {
		if _, mark := o.chosenBy(); mark != "" && sel.hasMark(mark) {
			return o.value(), false
		}
	}
	switch {
	case onlyMarks(overrides):
		_, mark := overrides[0].chosenBy()
		component, _, _ := strings.Cut(mark, ":")
		return base, !sel.namesMarkOf(component)
	case sel.Variant != "":
		return of(base, overrides, sel.Variant), false
	case len(sel.Among) == 0:
		return base, true
	}
	first := of(base, overrides, sel.Among[0])
	for _, v := range sel.Among[1:] {
		if of(base, overrides, v) != first {
			return base, true
		}
	}
	return first, false
}

// of is the value of one variant, marks apart.
func of[T any, O override[T]](base *T, overrides []O, variant string) *T {
	for _, o := range overrides {
		if v, mark := o.chosenBy(); v == variant && mark == "" {
			return o.value()
		}
	}
	return base
}

// onlyMarks reports whether no variant has a value of its own.
func onlyMarks[T any, O override[T]](overrides []O) bool {
	return !slices.ContainsFunc(overrides, func(o O) bool { _, mark := o.chosenBy(); return mark == "" })
}

func (s Selection) hasMark(mark string) bool {
	return slices.ContainsFunc(s.Marks, func(m Mark) bool { return m.Component+":"+m.Mark == mark })
}

func (s Selection) namesMarkOf(component string) bool {
	return slices.ContainsFunc(s.Marks, func(m Mark) bool { return m.Component == component })
}

// HasVariant reports whether the family has a variant with that id.
func (f *Family) HasVariant(id string) bool {
	return slices.ContainsFunc(f.Variants, func(v Variant) bool { return v.ID == id })
}
