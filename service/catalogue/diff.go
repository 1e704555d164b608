package catalogue

import (
	"slices"
	"strings"

	"endfloat/service/spec"
)

// What a Change is about, and what became of it.
const (
	OfFamily     = "family"
	OfVariant    = "variant"
	OfComponent  = "component"
	OfSpec       = "spec"
	OfShims      = "shims"
	OfPart       = "part"
	OfInstrument = "instrument"
	OfPolicy     = "policy"
	OfCaution    = "caution"

	Added   = "added"
	Removed = "removed"
	Changed = "changed"
)

// Field is one value that differs. From is empty where it was not there, To where it is no more.
type Field struct{ Name, From, To string }

// Change is one difference between two revisions.
type Change struct {
	What   string
	How    string
	Family string // empty for what is not of one family
	Key    string // spec key, component key, SKU with its component, instrument kind, …
	Name   spec.Text
	Fields []Field   // of a Changed, in the order in which a spec lists them
	Reason spec.Text // as the newer data give it
	Date   string    // since when, as the newer data give it
}

// Diff lists what became different from one revision to another: defaults first, then families by key, in each its
// variants, components, specs, shims and parts in the order of the newer one, then what is gone. family narrows it to
// one; empty is all. The same pair always gives the same list.
func Diff(from, to *Revision, family string) []Change {
	var out []Change
	if family == "" {
		out = diffDefaults(from.Defaults, to.Defaults)
	}
	keys := make([]string, 0, len(from.Families)+len(to.Families))
	for _, list := range [][]*Family{from.Families, to.Families} {
		for _, f := range list {
			keys = append(keys, f.Key)
		}
	}
	slices.Sort(keys)
	for _, k := range slices.Compact(keys) {
		if family != "" && family != k {
			continue
		}
		a, b := from.families[k], to.families[k]
		if a != nil && b != nil && a.Digest != "" && a.Digest == b.Digest {
			continue
		}
		out = append(out, diffFamily(a, b)...)
	}
	return out
}

func diffFamily(a, b *Family) []Change {
	switch {
	case a == nil:
		return []Change{{What: OfFamily, How: Added, Family: b.Key, Key: b.Key, Name: b.Name}}
	case b == nil:
		return []Change{{What: OfFamily, How: Removed, Family: a.Key, Key: a.Key, Name: a.Name}}
	}
	out := compare([]record{familyRecord(a)}, []record{familyRecord(b)})
	out = append(out, compare(variantRecords(a), variantRecords(b))...)
	out = append(out, compare(componentRecords(a), componentRecords(b))...)
	for i := range out {
		out[i].Family = b.Key
	}
	return out
}

// record is something with a key and its values in a fixed order.
type record struct {
	what, key    string
	name, reason spec.Text
	date         string
	lines        []line
}

type line struct{ name, value string }

// compare matches records by what they are and their key.
func compare(from, to []record) []Change {
	id := func(r record) string { return r.what + " " + r.key }
	old := make(map[string]record, len(from))
	for _, r := range from {
		old[id(r)] = r
	}
	var out []Change
	kept := make(map[string]bool, len(to))
	for _, r := range to {
		kept[id(r)] = true
		o, was := old[id(r)]
		if !was {
			out = append(out, Change{What: r.what, How: Added, Key: r.key, Name: r.name, Reason: r.reason, Date: r.date})
			continue
		}
		if fields := differing(o.lines, r.lines); len(fields) > 0 {
			out = append(out, Change{What: r.what, How: Changed, Key: r.key, Name: r.name, Fields: fields, Reason: r.reason, Date: r.date})
		}
	}
	for _, r := range from {
		if !kept[id(r)] {
			out = append(out, Change{What: r.what, How: Removed, Key: r.key, Name: r.name})
		}
	}
	return out
}

// differing lists the values that are not the same; both lists are in their order, the newer one first.
func differing(from, to []line) []Field {
	var out []Field
	old := make(map[string]string, len(from))
	for _, l := range from {
		old[l.name] = l.value
	}
	for _, l := range to {
		if o := old[l.name]; o != l.value {
			out = append(out, Field{l.name, o, l.value})
		}
		delete(old, l.name)
	}
	for _, l := range from {
		if v, gone := old[l.name]; gone && v != "" {
			out = append(out, Field{l.name, v, ""})
			delete(old, l.name)
		}
	}
	return out
}

func diffDefaults(a, b Defaults) []Change {
	return compare(defaultRecords(a), defaultRecords(b))
}

func defaultRecords(d Defaults) []record {
	p := d.Policy
	var pl lines
	pl.add("name", p.Name)
	pl.add("rule", p.Rule)
	pl.add("guard", p.Guard)
	pl.yes("require_uncertainty", p.RequireUncertainty)
	pl.float("min_probability", p.MinProbability, p.HasMinProbability)
	out := []record{{what: OfPolicy, key: p.Name, lines: pl}}
	for _, i := range d.Instruments {
		var l lines
		l.text("name", i.Name)
		l.add("unit", string(i.Unit))
		l.number("standard_uncertainty", i.Standard, i.HasStandard)
		l.number("accuracy_percent", i.Percent, i.HasPercent)
		l.number("small_maximum", i.SmallMax, i.HasSmall)
		l.number("small_accuracy_percent", i.SmallPercent, i.HasSmall)
		l.number("resolution", i.Resolution, i.HasResolution)
		l.add("basis", i.Basis)
		out = append(out, record{what: OfInstrument, key: i.Kind, name: i.Name, lines: l})
	}
	for _, c := range d.Cautions {
		out = append(out, record{what: OfCaution, key: c.Code, lines: []line{{"severity", itoa(c.Severity)}}})
	}
	return out
}

func familyRecord(f *Family) record {
	var l lines
	l.text("name", f.Name)
	l.add("maker", f.Maker)
	l.text("description", f.Description)
	l.add("aliases", strings.Join(f.Aliases, ", "))
	return record{what: OfFamily, key: f.Key, name: f.Name, lines: l}
}

func variantRecords(f *Family) []record {
	var out []record
	for _, v := range f.Variants {
		var l lines
		l.text("name", v.Name)
		l.text("feature", v.Feature)
		for i, s := range v.Ranges {
			to := "open"
			if s.To != 0 {
				to = utoa(s.To)
			}
			l.add("range "+itoa(i+1), s.Prefix+" "+utoa(s.From)+" to "+to)
		}
		out = append(out, record{what: OfVariant, key: f.Key + ":" + v.ID, name: v.Name, lines: l})
	}
	return out
}
