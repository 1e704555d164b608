package catalogue

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// SpecAnswer is one spec with its cautions put into words.
type SpecAnswer struct {
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Spec         wire.Spec      `json:"spec"`
	Warnings     []wire.Note    `json:"warnings,omitzero"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name SpecAnswer

// Spec answers GET /v1/families/{family}/components/{component}/specs/{spec}.
//
//	@Summary		One spec
//	@Description	A band, an aim and a wear limit, or a torque, with source, cautions and ready strings. The unit it was published in stays the truth; unit or unit_system adds a conversion, rounded inward. Where variants or part marks differ and none is named, the base is answered with its alternatives.
//	@ID				getSpec
//	@Tags			catalogue
//	@Produce		json,plain,application/ld+json,html
//	@Param			family			path		string		true	"key of the family"
//	@Param			component		path		string		true	"key of the component within the family"
//	@Param			spec			path		string		true	"key of the spec within the component"
//	@Param			unit			query		string		false	"unit to convert to: mm, um, in, thou, N.m, lbf.ft, lbf.in, kgf.m, kgf.cm"
//	@Param			unit_system		query		string		false	"instead of unit: convert to the usual unit of a system"	Enums(metric, imperial)
//	@Param			variant			query		string		false	"variant of the family"
//	@Param			engine_number	query		string		false	"engine number as stamped"
//	@Param			mark			query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang			query		string		false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format			query		string		false	"form of the answer"	Enums(json, text, jsonld, html)
//	@Param			revision		query		string		false	"a catalogue revision that is still held"
//	@Success		200				{object}	SpecAnswer
//	@Header		200				{string}	Link	"As JSON-LD and HTML: the canonical address and its other forms and languages (RFC 8288)"
//	@Success		default			{object}	linked.Thing
//	@Router			/v1/families/{family}/components/{component}/specs/{spec} [get]
func (h Handlers) Spec(r *rim.Request) (rim.Reply, error) {
	f, c, err := component(r)
	if err != nil {
		return rim.Reply{}, err
	}
	entry, err := entry(r, f, c)
	if err != nil {
		return rim.Reply{}, err
	}
	sel, open, err := engine(r, f)
	if err != nil {
		return rim.Reply{}, err
	}
	res := entry.Resolve(sel)
	unit, err := unitFor(r, res.Spec.Unit)
	if err != nil {
		return rim.Reply{}, err
	}
	var codes wire.Codes
	shown := h.show(res, r, unit, &codes)
	answer := SpecAnswer{Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Spec: shown,
		Warnings: h.said(r, open), Cautions: h.resolved(&codes, r)}
	if r.Media == rim.MediaText {
		return rim.Ready(lines(answer)), nil
	}
	return h.reply(r, answer.shown())
}

// entry is the spec in the path.
func entry(r *rim.Request, f *catalogue.Family, c *catalogue.Component) (*catalogue.Entry, error) {
	key := spec.Key(f.Key + "/" + c.Key + "/" + r.Param("spec"))
	if e, ok := r.Revision.Entry(key); ok {
		return e, nil
	}
	near, _ := r.Revision.NearestSpec(key)
	return nil, wire.Missing("unknown_spec", note.New("absent_spec", note.Str("key", rim.Quote(string(key))), note.Str("address", componentHref(f.Key, c.Key))), near)
}

// show is a spec as answers show it; its caution codes are collected.
func (h Handlers) show(res catalogue.Resolved, r *rim.Request, unit wire.UnitChoice, codes *wire.Codes) wire.Spec {
	w := wire.ShowResolved(res, r.Lang, h.book, r.Revision.Defaults, unit)
	codes.Add(w.Cautions...)
	if u, named := quantity.ParseUnit(r.One("unit")); named && w.Unit != "" && u.Kind() != quantity.Unit(w.Unit).Kind() {
		w.NotConverted = otherKind
	}
	return w
}

// otherKind says that the unit asked for measures something else than the spec limits.
const otherKind = "other_kind"

// lines is a spec for a shell: the cautions, the most severe first, what an engine number left open, and in the last line
// everything, with what the variants and marks have that were not named.
func lines(a SpecAnswer) []byte {
	var b strings.Builder
	for _, c := range a.Cautions {
		b.WriteString("! " + c.Text + "\n")
	}
	for _, n := range a.Warnings {
		b.WriteString("? " + n.Text + "\n")
	}
	b.WriteString(summary(a.Spec.Display, a.Spec.Converted) + "\n")
	return []byte(b.String())
}

func summary(d wire.Display, c wire.Converted) string {
	if c.Unit != "" {
		return c.Display.Summary
	}
	return d.Summary
}
