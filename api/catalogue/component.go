package catalogue

import (
	"slices"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// Component is all that is known about one step of the assembly.
type Component struct {
	Key          string         `json:"key" example:"pl-85/counter-shaft"`
	Href         string         `json:"href" example:"/v1/families/pl-85/components/counter-shaft"`
	Name         string         `json:"name" example:"Counter shaft stack"`
	FamilyName   string         `json:"family_name" example:"PL-85"`
	Order        int            `json:"order" example:"1"`
	Marks        []string       `json:"marks,omitzero" example:"K2"`
	MarkPlace    string         `json:"mark_place,omitzero" example:"on the web"`
	Gate         string         `json:"gate" enums:"cases_close,head_on,first_start" example:"cases_close"`
	Scopes       []string       `json:"scopes,omitzero" example:"gearbox"`
	Specs        []wire.Spec    `json:"specs"`
	Shims        []ShimSet      `json:"shims"`
	Parts        []Part         `json:"parts"`
	Warnings     []wire.Note    `json:"warnings,omitzero"`
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name Component

// Part is something with a SKU as it is fitted in a component.
type Part struct {
	SKU          string   `json:"sku" example:"PL-SH-110"`
	Href         string   `json:"href" example:"/v1/parts/PL-SH-110"`
	Name         string   `json:"name" example:"Shim 1.10"`
	Quantity     int      `json:"quantity,omitzero" example:"1"`
	Position     string   `json:"position,omitzero" example:"left side"`
	Size         string   `json:"size,omitzero" example:"1.10 mm"`
	Renew        bool     `json:"renew" example:"false"`
	SupersededBy string   `json:"superseded_by,omitzero" example:"PL-SH-111"`
	Supersedes   []string `json:"supersedes,omitzero" example:"PL-SH-109"`
	Specs        []string `json:"specs,omitzero" example:"pl-85/counter-shaft/axial-play"`
	Companions   []string `json:"companions,omitzero" example:"PL-CL-20"`
	Variants     []string `json:"variants,omitzero" example:"b"`
} //@name Part

// Component answers GET /v1/families/{family}/components/{component}.
//
//	@Summary		One component
//	@Description	Every spec, shim set, part and caution of a component: what a product page needs. Parts of other variants are left out where a variant is named.
//	@ID				getComponent
//	@Tags			catalogue
//	@Produce		json,application/ld+json,html
//	@Param			family			path		string		true	"key of the family"
//	@Param			component		path		string		true	"key of the component within the family"
//	@Param			unit			query		string		false	"unit to convert to, for specs in a unit of its kind: mm, um, in, thou, N.m, lbf.ft, …"
//	@Param			unit_system		query		string		false	"instead of unit: convert to the usual units of a system"	Enums(metric, imperial)
//	@Param			variant			query		string		false	"variant of the family"
//	@Param			engine_number	query		string		false	"engine number as stamped"
//	@Param			mark			query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang			query		string		false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format			query		string		false	"form of the answer"	Enums(json, jsonld, html)
//	@Param			revision		query		string		false	"a catalogue revision that is still held"
//	@Success		200				{object}	Component
//	@Header		200				{string}	Link	"The canonical address, what it belongs to, and its other forms and languages (RFC 8288)"
//	@Success		default			{object}	linked.Thing
//	@Router			/v1/families/{family}/components/{component} [get]
func (h Handlers) Component(r *rim.Request) (rim.Reply, error) {
	f, c, err := component(r)
	if err != nil {
		return rim.Reply{}, err
	}
	sel, open, err := engine(r, f)
	if err != nil {
		return rim.Reply{}, err
	}
	unit, err := units(r)
	if err != nil {
		return rim.Reply{}, err
	}
	answer := Component{Key: f.Key + "/" + c.Key, Href: componentHref(f.Key, c.Key), Name: c.Name.In(r.Lang), FamilyName: f.Name.In(r.Lang),
		Order: slices.Index(f.Components, c) + 1, Marks: c.Marks, MarkPlace: c.MarkPlace.In(r.Lang), Gate: string(c.Closes()), Scopes: c.Scopes,
		Specs: make([]wire.Spec, 0, len(c.Specs)), Shims: make([]ShimSet, 0, len(c.Shims)), Parts: make([]Part, 0, len(c.Parts)),
		Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules,
		Warnings: h.said(r, open)}
	var codes wire.Codes
	codes.Add(c.Cautions...)
	for _, e := range c.Specs {
		answer.Specs = append(answer.Specs, h.show(e.Resolve(sel), r, unit, &codes))
	}
	for _, e := range c.Shims {
		answer.Shims = append(answer.Shims, h.shims(e, sel, r, unit, &codes))
	}
	for _, p := range c.Parts {
		if sel.Variant == "" || len(p.Variants) == 0 || slices.Contains(p.Variants, sel.Variant) {
			answer.Parts = append(answer.Parts, fromPart(p, r.Lang))
		}
	}
	answer.Cautions = h.resolved(&codes, r)
	return h.reply(r, h.shownComponent(r, answer))
}

func fromPart(p *catalogue.Part, lang string) Part {
	w := Part{SKU: p.SKU, Href: partHref(p.SKU), Name: p.Name.In(lang), Quantity: p.Quantity, Position: p.Position.In(lang), Size: p.Size,
		Renew: p.Renew, SupersededBy: p.SupersededBy, Supersedes: p.Supersedes, Companions: p.Companions, Variants: p.Variants}
	for _, k := range p.Specs {
		w.Specs = append(w.Specs, string(k))
	}
	return w
}

func partHref(sku string) string { return "/v1/parts/" + sku }
