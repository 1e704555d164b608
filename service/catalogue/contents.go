package catalogue

import (
	"slices"
	"strings"

	"endfloat/service/spec"
)

// contents finds what a family holds by its key.
type contents struct {
	of         *Family
	components map[spec.Key]*Component
	specs      map[spec.Key]*Entry
	shims      map[spec.Key]*ShimEntry
	keys       []spec.Key // of specs, sorted
}

// index makes the contents of a family unless they are there; a copy of a family makes its own.
func (f *Family) index() error {
	if f.contents != nil && f.contents.of == f {
		return nil
	}
	x := &contents{of: f, components: make(map[spec.Key]*Component, len(f.Components)), specs: map[spec.Key]*Entry{}, shims: map[spec.Key]*ShimEntry{}}
	for _, c := range f.Components {
		key := spec.Key(f.Key + "/" + c.Key)
		if x.components[key] != nil {
			return twice(string(key))
		}
		x.components[key] = c
		for _, e := range c.Specs {
			if x.specs[e.Base.Key] != nil {
				return twice(string(e.Base.Key))
			}
			x.specs[e.Base.Key] = e
			x.keys = append(x.keys, e.Base.Key)
		}
		for _, e := range c.Shims {
			if x.shims[e.Base.Key] != nil {
				return twice(string(e.Base.Key))
			}
			x.shims[e.Base.Key] = e
		}
	}
	slices.Sort(x.keys)
	f.contents = x
	return nil
}

// holds is the contents of the family that a key begins with.
func (r *Revision) holds(key spec.Key) *contents {
	family, _, _ := strings.Cut(string(key), "/")
	if x := r.held[family]; x != nil {
		return x
	}
	return &contents{} // of a family that is not there
}

// FamilyOf is the family that the key of a component, a spec or a shim set begins with.
func (r *Revision) FamilyOf(key spec.Key) (*Family, bool) {
	family, _, _ := strings.Cut(string(key), "/")
	return r.Family(family)
}

// Component is the component with the key family/component.
func (r *Revision) Component(key spec.Key) (*Component, bool) {
	c, ok := r.holds(key).components[key]
	return c, ok
}

// Entry is the spec with the key family/component/spec, with all its variants.
func (r *Revision) Entry(key spec.Key) (*Entry, bool) {
	e, ok := r.holds(key).specs[key]
	return e, ok
}

// Shims is the shim set with the key family/component/shims.
func (r *Revision) Shims(key spec.Key) (*ShimEntry, bool) {
	e, ok := r.holds(key).shims[key]
	return e, ok
}
