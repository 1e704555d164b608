// Package sheet decides what a check sheet holds and what a filled one proves.
//
// It decides the lines of a sheet in assembly order, which of them are missing, what each gate (before the cases close,
// before the head goes on, before the first start) is blocked by, where a sheet contradicts itself, and what is to be
// ordered. It refuses to know how single readings are judged, which service/judge does, and how anything is worded: what
// it says are codes with parameters. Nothing is stored. All functions are pure and safe for concurrent use.
//
//	plan := sheet.Lay(family, selection, sheet.Full)
//	judged := sheet.Judge(plan, revision, records, "2026-11-25")
//	judged.Gates[0].State // blocked, may_close_with_waiver, may_close
package sheet

import (
	"slices"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// Full is the scope of a whole rebuild; it holds every component.
const Full = "full"

// Line is one spec of a sheet.
type Line struct {
	Component *catalogue.Component
	Entry     *catalogue.Entry
	Resolved  catalogue.Resolved
	Gate      catalogue.Gate // what closes over it
	Order     int            // of its component in the assembly, from 1
}

// Spec is the values for the engine of the sheet; the base where the engine does not decide them.
func (l *Line) Spec() *spec.Spec { return l.Resolved.Spec }

// Needed reports whether the line has something to prove: a value that was never published and a fastener out of scope
// have not.
func (l *Line) Needed() bool {
	f := l.Spec().ValueForm
	return f != spec.NotPublished && f != spec.OutOfScope
}

// Worn reports whether the line is read before the engine is taken apart, too. A torque is not: undoing a fastener does
// not show how far it was tightened.
func (l *Line) Worn() bool { return l.Needed() && l.Spec().Kind != spec.Torque }

// Fewest and most readings that a sheet leaves room for.
const (
	fewestReadings = 3
	mostReadings   = 8
)

// Readings is how many readings a blank sheet leaves room for: the places that the spec asks for or the fasteners there
// are, at least 3 and at most 8.
func (l *Line) Readings() int {
	s := l.Spec()
	n := s.Points.Minimum
	if s.Fastener != nil {
		n = s.Fastener.Count
		if n <= mostReadings {
			return max(n, 1)
		}
	}
	return min(max(n, fewestReadings), mostReadings)
}

// Plan is the lines of a sheet in assembly order.
type Plan struct {
	Family *catalogue.Family
	Scope  string
	Lines  []Line
	Parts  []Part // of its components, in assembly order

	at map[spec.Key]int
}

// Part is a part with the component that it belongs to.
type Part struct {
	Component *catalogue.Component
	Part      *catalogue.Part
}

// Line is the line of a spec; ok is false where the sheet has none.
func (p *Plan) Line(key spec.Key) (l *Line, ok bool) {
	i, ok := p.at[key]
	if !ok {
		return nil, false
	}
	return &p.Lines[i], true
}

// Scopes lists the kinds of work that a family knows: Full first, the others in the order in which its components name
// them.
func Scopes(f *catalogue.Family) []string {
	out := []string{Full}
	for _, c := range f.Components {
		for _, s := range c.Scopes {
			if !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}

// HasScope reports whether a word is a scope of the family, or one of its components.
func HasScope(f *catalogue.Family, scope string) bool {
	return slices.Contains(Scopes(f), scope) || slices.ContainsFunc(f.Components, func(c *catalogue.Component) bool { return c.Key == scope })
}

func within(scope string, c *catalogue.Component) bool {
	return scope == Full || c.Key == scope || slices.Contains(c.Scopes, scope)
}

// Lay lays out the sheet of an engine for a scope: Full, a scope of the family, or one of its components. Parts that do
// not fit the variant are left out.
func Lay(f *catalogue.Family, sel catalogue.Selection, scope string) *Plan {
	p := &Plan{Family: f, Scope: scope, at: map[spec.Key]int{}}
	for i, c := range f.Components {
		if !within(scope, c) {
			continue
		}
		for _, e := range c.Specs {
			p.at[e.Base.Key] = len(p.Lines)
			p.Lines = append(p.Lines, Line{Component: c, Entry: e, Resolved: e.Resolve(sel), Gate: c.Closes(), Order: i + 1})
		}
		for _, x := range c.Parts {
			if len(x.Variants) == 0 || sel.Variant == "" || slices.Contains(x.Variants, sel.Variant) {
				p.Parts = append(p.Parts, Part{c, x})
			}
		}
	}
	return p
}
