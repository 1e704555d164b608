package yamlfile

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// HeadFile holds what is not of one family. A directory without it has no date of its own and no defaults.
const HeadFile = "catalogue.yaml"

// Loaded is a catalogue as read from files.
type Loaded struct {
	Families []*catalogue.Family
	Date     string
	Defaults catalogue.Defaults
	HasHead  bool
	Digest   string // of the head file
}

// Load reads every *.yaml file of a directory. The error is a Faults with all that is wrong, or an error of reading.
func Load(dir fs.FS) (*Loaded, error) {
	names, err := fs.Glob(dir, "*.yaml")
	if err != nil {
		return nil, err
	}
	slices.Sort(names)
	var faults Faults
	out := &Loaded{}
	owner := map[string]string{}
	for _, name := range names {
		data, err := read(dir, name)
		if err != nil {
			return nil, err
		}
		r := &reader{file: path.Base(name), faults: &faults}
		root, ok := r.parse(data)
		if !ok {
			continue
		}
		if name == HeadFile {
			r.head(root, out)
			out.Digest = digest(data)
			continue
		}
		f := r.family(root)
		if f == nil {
			continue
		}
		f.Digest = digest(data)
		if o := owner[f.Key]; o != "" {
			r.fault(root, "duplicate_id", "the family "+f.Key+" stands in "+o+" too", "give each family its own id")
			continue
		}
		owner[f.Key] = r.file
		r.familyReferences(root, f)
		out.Families = append(out.Families, f)
	}
	if len(out.Families) == 0 && len(faults) == 0 {
		faults = append(faults, Fault{File: ".", Line: 1, Column: 1, Rule: "no_family", Detail: "there is no family in this directory",
			Remedy: "write one YAML file a family, its name ending in .yaml"})
	}
	if len(faults) > 0 {
		faults.sort()
		return nil, faults
	}
	return out, nil
}

// read takes one byte more than is allowed, so that parse can tell.
func read(dir fs.FS, name string) ([]byte, error) {
	f, err := dir.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // only read
	return io.ReadAll(io.LimitReader(f, maxBytes+1))
}

func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func (r *reader) familyReferences(root *yaml.Node, f *catalogue.Family) {
	known := map[spec.Key]bool{}
	for _, c := range f.Components {
		for _, e := range c.Specs {
			known[e.Base.Key] = true
		}
		for _, e := range c.Shims {
			known[e.Base.Key] = true
		}
	}
	has := func(k spec.Key) bool { return known[k] }
	for i, c := range f.Components {
		at := componentNode(root, i)
		for _, e := range c.Specs {
			if e.Base.AdjustedBy != "" {
				r.references(at, has, []spec.Key{e.Base.AdjustedBy})
			}
		}
		for _, e := range c.Shims {
			refs := slices.Clone(e.Base.WearOf)
			for _, p := range e.Base.Places {
				for _, x := range p.PerMM {
					refs = append(refs, x.Spec)
				}
			}
			r.references(at, has, refs)
		}
		for _, p := range c.Parts {
			r.references(at, has, p.Specs)
		}
	}
}

// componentNode is the node of the i-th component, for the place of a fault.
func componentNode(root *yaml.Node, i int) *yaml.Node {
	for k := 0; k+1 < len(root.Content); k += 2 {
		if root.Content[k].Value == "components" && i < len(root.Content[k+1].Content) {
			return root.Content[k+1].Content[i]
		}
	}
	return root
}

// head reads catalogue.yaml.
func (r *reader) head(n *yaml.Node, out *Loaded) {
	m := r.entries(n, "revision_date", "policy", "instruments", "cautions")
	r.need(m, "revision_date", "policy", "instruments", "cautions")
	out.HasHead = true
	out.Date = r.date(m.get("revision_date"))
	if p := m.get("policy"); p != nil {
		pm := r.entries(p, "name", "rule", "guard", "require_uncertainty")
		r.need(pm, "name", "rule", "guard")
		out.Defaults.Policy = spec.JudgePolicy{Name: r.str(pm.get("name")), Rule: r.word(pm.get("rule"), "guarded", "simple"),
			Guard: r.word(pm.get("guard"), "U", "1.65u"), RequireUncertainty: r.yes(pm.get("require_uncertainty"))}
	}
	for _, e := range r.list(m.get("instruments")) {
		out.Defaults.Instruments = append(out.Defaults.Instruments, r.instrument(e))
	}
	for _, e := range r.list(m.get("cautions")) {
		cm := r.entries(e, "code", "severity")
		r.need(cm, "code", "severity")
		out.Defaults.Cautions = append(out.Defaults.Cautions, spec.Caution{Code: strings.TrimSpace(r.str(cm.get("code"))), Severity: int(r.whole(cm.get("severity"), 1, 9))})
	}
}

func (r *reader) instrument(n *yaml.Node) spec.Instrument {
	m := r.entries(n, "kind", "name", "unit", "standard_uncertainty", "accuracy_percent", "small_maximum", "small_accuracy_percent", "resolution", "basis")
	r.need(m, "kind", "name", "basis")
	i := spec.Instrument{Kind: r.str(m.get("kind")), Name: r.text(m.get("name")), Basis: r.str(m.get("basis"))}
	if u := m.get("unit"); u != nil {
		i.Unit = r.unit(u)
	}
	i.Standard, i.HasStandard = r.number(m.get("standard_uncertainty"), 9)
	i.Percent, i.HasPercent = r.number(m.get("accuracy_percent"), 9)
	i.SmallMax, i.HasSmall = r.number(m.get("small_maximum"), 9)
	i.SmallPct, _ = r.number(m.get("small_accuracy_percent"), 9)
	i.Resolution, i.HasResol = r.number(m.get("resolution"), 9)
	return i
}
