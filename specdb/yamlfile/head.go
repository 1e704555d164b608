package yamlfile

import (
	"slices"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/manifest"
)

// HeadFile holds what is not of one family. What it leaves out is as in the defaults given to Load.
const HeadFile = "catalogue.yaml"

// head reads catalogue.yaml over the defaults.
func (r *reader) head(n *yaml.Node, defaults catalogue.Defaults) manifest.Head {
	out := manifest.Head{Defaults: defaults}
	m, _ := r.entries(n, r.shapes.head)
	out.Date, out.Reason = r.date(m.get("revision_date")), r.names(m.get("reason"))
	if p := m.get("policy"); p != nil {
		pm, _ := r.entries(p, r.shapes.policy)
		out.Defaults.Policy = spec.JudgePolicy{Name: r.str(pm.get("name")), Rule: r.word(pm, "rule"),
			Guard: r.word(pm, "guard"), RequireUncertainty: r.yes(pm.get("require_uncertainty"))}
	}
	if at := m.get("instruments"); at != nil {
		out.Defaults.Instruments = nil
		for _, e := range r.list(at) {
			i := r.instrument(e)
			if slices.ContainsFunc(out.Defaults.Instruments, func(o spec.Instrument) bool { return o.Kind == i.Kind && i.Kind != "" }) {
				r.fault(e, "duplicate_id", "the instrument "+i.Kind+" stands twice", "keep one of them")
			}
			out.Defaults.Instruments = append(out.Defaults.Instruments, i)
		}
	}
	out.Defaults.Cautions = r.severities(m.get("cautions"), defaults.Cautions)
	for _, e := range r.list(m.get("withdrawn")) {
		wm, _ := r.entries(e, r.shapes.withdrawn)
		out.Withdrawn = append(out.Withdrawn, manifest.Withdrawn{Revision: r.str(wm.get("revision")), Reason: r.names(wm.get("reason"))})
	}
	return out
}

// severities lists the cautions of a file, then those built in that it does not name.
func (r *reader) severities(n *yaml.Node, builtIn []spec.Caution) []spec.Caution {
	var out []spec.Caution
	has := func(code string) bool {
		return slices.ContainsFunc(out, func(c spec.Caution) bool { return c.Code == code })
	}
	for _, e := range r.list(n) {
		m, ok := r.entries(e, r.shapes.caution)
		c := spec.Caution{Code: r.code(m.get("code")), Severity: int(r.whole(m, "severity"))}
		if has(c.Code) {
			r.fault(e, "duplicate_id", "the caution "+c.Code+" stands twice", "keep one of them")
		}
		if ok {
			out = append(out, c)
		}
	}
	for _, c := range builtIn {
		if !has(c.Code) {
			out = append(out, c)
		}
	}
	return out
}

func (r *reader) instrument(n *yaml.Node) spec.Instrument {
	m, _ := r.entries(n, r.shapes.instrument)
	i := spec.Instrument{Kind: r.code(m.get("kind")), Name: r.names(m.get("name")), Basis: r.str(m.get("basis"))}
	if u := m.get("unit"); u != nil {
		i.Unit = r.unit(u)
	}
	i.Standard, i.HasStandard = r.number(m.get("standard_uncertainty"), 9)
	i.Percent, i.HasPercent = r.number(m.get("accuracy_percent"), 9)
	i.SmallMax, i.HasSmall = r.number(m.get("small_maximum"), 9)
	var small bool
	i.SmallPercent, small = r.number(m.get("small_accuracy_percent"), 9)
	i.Resolution, i.HasResolution = r.number(m.get("resolution"), 9)
	switch {
	case i.HasStandard && i.HasPercent:
		r.fault(m.near("accuracy_percent"), "two_figures", "an instrument has one figure", "keep standard_uncertainty or accuracy_percent")
	case i.HasStandard && i.Unit == "":
		r.fault(m.near("standard_uncertainty"), "missing_key", "unit is missing", "add unit")
	case i.HasSmall != small:
		r.fault(m.near("small_maximum", "small_accuracy_percent"), "missing_key", "small_maximum and small_accuracy_percent go together", "write both or none")
	case i.Standard.Sign() < 0 || i.Percent.Sign() < 0 || i.SmallPercent.Sign() < 0 || i.Resolution.Sign() < 0:
		r.fault(n, "negative", "an uncertainty is never negative", "write 0 or more")
	}
	return i
}
