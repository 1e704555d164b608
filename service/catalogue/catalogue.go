// Package catalogue is the read model: families of engines, their variants, components, specs, shims and parts.
//
// It decides what a key means and which values a variant or a part mark selects. It refuses to know files, JSON and
// HTTP; whoever loads a catalogue fills a Revision through New. A Revision is immutable and safe for concurrent use.
package catalogue

import (
	"runtime"
	"slices"
	"strings"

	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Family is one engine family.
type Family struct {
	Key         string
	Name        spec.Text
	Maker       string
	Description spec.Text
	Aliases     []string
	Variants    []Variant
	Components  []*Component // in assembly order
	Digest      string       // of its content

	contents *contents // made by New, shared by all revisions that hold the family
}

// Variant is a run of engines that differs from its sisters.
type Variant struct {
	ID      string
	Name    spec.Text
	Ranges  []SerialRange
	Feature spec.Text // what tells it apart by eye
}

// SerialRange is a run of serial numbers behind a prefix, both ends inside. To 0 means open-ended.
type SerialRange struct {
	Prefix   string
	From, To uint64
}

// Component is one step of the assembly.
type Component struct {
	Key       string // within the family
	Name      spec.Text
	Marks     []string // part marks that select values
	MarkPlace spec.Text
	Specs     []*Entry
	Shims     []*ShimEntry
	Parts     []*Part
	Cautions  []string
	Gate      Gate     // what closes over it
	Scopes    []string // kinds of work that it belongs to, beside a full rebuild
}

// Entry is a spec with what variants and marks change about it.
type Entry struct {
	Base      *spec.Spec
	Overrides []Override // a mark beats a variant; otherwise in file order
}

// Override is the spec as a variant or a part mark has it, whole.
type Override struct {
	Variant string
	Mark    string // component:mark
	Spec    *spec.Spec
}

// ShimEntry is a shim set with what variants change about it.
type ShimEntry struct {
	Base      *spec.ShimSet
	Overrides []ShimOverride
}

// ShimOverride is the shim set as a variant or mark has it, whole.
type ShimOverride struct {
	Variant string
	Mark    string
	Shims   *spec.ShimSet
}

// Part is something with a SKU.
type Part struct {
	SKU          string
	Name         spec.Text
	Quantity     int
	Position     spec.Text
	Size         string
	Renew        bool // always renewed at a rebuild
	SupersededBy string
	Supersedes   []string
	Specs        []spec.Key
	Companions   []string
	Variants     []string // fits these only; empty: all
}

// Selection is what a caller says about the engine.
type Selection struct {
	Variant      string
	EngineNumber string
	Marks        []Mark
	// Among are the variants that stay possible where Variant is empty, as Narrow finds them; empty: all.
	Among []string
}

// Mark is what is stamped or cast on a component.
type Mark struct{ Component, Mark string }

// Resolved is a spec for one engine.
type Resolved struct {
	Spec *spec.Spec
	// Alternatives are the other values there are when the selection does not decide; Undecided says so.
	Alternatives []Override
	Undecided    bool
}

// Defaults are the figures used where a caller says nothing.
type Defaults struct {
	Instruments []spec.Instrument
	Policy      spec.JudgePolicy
	Cautions    []spec.Caution // severity of every caution code
}

// Revision is one state of the catalogue, named by its content.
type Revision struct {
	Name     string
	Date     string
	Families []*Family // by key
	Defaults Defaults
	// Withdrawn says that this state should no longer be used; it still answers.
	Withdrawn       bool
	WithdrawnReason spec.Text
	Reason          spec.Text // why the revision was made

	families map[string]*Family
	held     map[string]*contents // of the families, one step nearer
	parts    map[string][]PartUse
	rungs    map[string][]RungUse
	older    map[string][]string // SKUs that name the key as their successor, sorted
	newer    map[string]string   // the other way; of several the first in byte order
	keys     []spec.Key          // of specs, sorted

	specWords   *index // shared by copies of the revision
	familyWords *index

	prefixes    map[string][]run
	prefixOrder []string // longest first
	longest     int      // length of the longest prefix
}

// PartUse is a part with where it is fitted.
type PartUse struct {
	Family    *Family
	Component *Component
	Part      *Part
}

// New indexes families. The caller must not change them afterwards; one that another revision holds already is shared
// with all that is known about it. Keys begin with the key of their family. Errors: a key that stands twice.
func New(name, date string, families []*Family, defaults Defaults) (*Revision, error) {
	r := &Revision{Name: name, Date: date, Defaults: defaults,
		Families: slices.SortedFunc(slices.Values(families), func(a, b *Family) int { return strings.Compare(a.Key, b.Key) }),
		families: make(map[string]*Family, len(families)),
		held:     make(map[string]*contents, len(families)),
		parts:    map[string][]PartUse{},
		rungs:    map[string][]RungUse{},
		older:    map[string][]string{},
		newer:    map[string]string{},
		prefixes: map[string][]run{},

		specWords: &index{}, familyWords: &index{},
	}
	specs := 0
	for _, f := range r.Families {
		if r.families[f.Key] != nil {
			return nil, twice(f.Key)
		}
		r.families[f.Key] = f
		if err := f.index(); err != nil {
			return nil, err
		}
		r.held[f.Key] = f.contents
		specs += len(f.contents.keys)
		for _, c := range f.Components {
			r.addParts(f, c)
		}
		runtime.Gosched() // whoever waits for an answer goes first
	}
	r.keys = make([]spec.Key, 0, specs)
	inOrder := slices.SortedFunc(slices.Values(r.Families), func(a, b *Family) int { return strings.Compare(a.Key+"/", b.Key+"/") })
	for _, f := range inOrder {
		r.keys = append(r.keys, f.contents.keys...)
	}
	r.indexPrefixes()
	r.indexSuccession()
	return r, nil
}

func (r *Revision) addParts(f *Family, c *Component) {
	for _, e := range c.Shims {
		r.addRungs(f, c, e)
	}
	for _, p := range c.Parts {
		r.parts[p.SKU] = append(r.parts[p.SKU], PartUse{f, c, p})
	}
}

func twice(key string) error {
	return fault.New(fault.Invalid, "duplicate_key", note.New("found_key_stands_twice", note.Str("key", key)))
}

// Family is the family with that key.
func (r *Revision) Family(key string) (*Family, bool) {
	f, ok := r.families[key]
	return f, ok
}

// SpecKeys lists the keys of all specs in byte order. The caller must not change the slice.
func (r *Revision) SpecKeys() []spec.Key { return r.keys }

// Source gives out revisions.
type Source interface {
	// Current is the revision in use; it never blocks.
	Current() *Revision
	// At is a revision that is still held; ok is false where it is not.
	At(name string) (*Revision, bool)
	// Held names the revisions that At knows, newest first.
	Held() []string
}
