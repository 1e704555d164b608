// Package lint finds what a catalogue may say and probably should not: beyond the faults that keep it from loading.
//
// It decides what is worth a look, and names the remedy. A finding is an error where a reader could come to harm or be
// misled, else a warning. It refuses to change anything.
//
//	for _, f := range lint.Check(loaded, "2026-11-01") { fmt.Println(f) }
package lint

import (
	"cmp"
	"slices"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/yamlfile"
)

// Severity says how bad a finding is.
type Severity string

// The severities.
const (
	Error   Severity = "error"
	Warning Severity = "warning"
)

// Finding is one thing worth a look, with its place in the files.
type Finding struct {
	Severity Severity
	yamlfile.Fault
}

// String is the finding in one line, file:line:column first.
func (f Finding) String() string { return string(f.Severity) + ": " + f.Fault.String() }

// checker collects findings of one catalogue.
type checker struct {
	loaded *yamlfile.Loaded
	today  string
	out    []Finding
}

// Check looks at a catalogue that has no fault. today is a date such as 2026-11-01, by which reviews are overdue. The
// findings come in the order of files and lines; without places (yamlfile.LoadPlaced fills them) in the order of
// the families.
func Check(l *yamlfile.Loaded, today string) []Finding {
	c := &checker{loaded: l, today: today}
	for _, f := range l.Families {
		c.runs(f)
		for _, x := range f.Components {
			c.component(f, x)
		}
	}
	slices.SortStableFunc(c.out, func(a, b Finding) int {
		return cmp.Or(strings.Compare(a.File, b.File), a.Line-b.Line, a.Column-b.Column)
	})
	return c.out
}

func (c *checker) add(s Severity, key, rule, detail, remedy string) {
	p := c.loaded.Places[key]
	c.out = append(c.out, Finding{s, yamlfile.Fault{File: p.File, Line: p.Line, Column: p.Column, Rule: rule, Detail: key + ": " + detail, Remedy: remedy}})
}

// runs looks at the variants of a family and their engine numbers.
func (c *checker) runs(f *catalogue.Family) {
	for i, v := range f.Variants {
		key := f.Key + ":" + v.ID
		if len(v.Ranges) == 0 {
			c.add(Warning, key, "variant_without_run", "no engine number leads to this variant", "add ranges, unless it is only ever named")
		}
		for _, o := range f.Variants[:i] {
			if p := overlap(o, v); p != "" {
				c.add(Warning, key, "overlapping_runs", "numbers behind "+p+" may be of "+o.ID+" as well", "part the runs, or say in feature how to tell them apart")
				if v.Feature.Empty() && o.Feature.Empty() {
					c.add(Error, key, "no_feature", "nothing tells it from "+o.ID, "add feature to both")
				}
			}
		}
	}
}

// overlap is a prefix behind which two variants share numbers.
func overlap(a, b catalogue.Variant) string {
	for _, x := range a.Ranges {
		for _, y := range b.Ranges {
			if catalogue.Normalise(x.Prefix) == catalogue.Normalise(y.Prefix) && (x.Covers(y.From) || y.Covers(x.From)) {
				return x.Prefix
			}
		}
	}
	return ""
}

func (c *checker) component(f *catalogue.Family, x *catalogue.Component) {
	units := map[spec.Kind][]string{}
	for _, e := range x.Specs {
		for _, s := range variants(e) {
			c.spec(s, x)
		}
		if u := string(e.Base.Unit); e.Base.Kind != spec.Other && u != "" && !slices.Contains(units[e.Base.Kind], u) {
			units[e.Base.Kind] = append(units[e.Base.Kind], u)
		}
	}
	for _, k := range []spec.Kind{spec.Dimension, spec.Torque} {
		if len(units[k]) > 1 {
			c.add(Warning, f.Key+"/"+x.Key, "mixed_units", "figures of one kind stand in "+strings.Join(units[k], " and "), "keep each as it was published, and make sure that it was")
		}
	}
	for _, e := range x.Shims {
		c.shims(e.Base, x)
	}
}

func variants(e *catalogue.Entry) []*spec.Spec {
	out := []*spec.Spec{e.Base}
	for _, o := range e.Overrides {
		out = append(out, o.Spec)
	}
	return out
}
