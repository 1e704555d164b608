package catalogue

import (
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// PartView is what a shop page says about a SKU.
type PartView struct {
	SKU          string      `json:"sku" example:"PL-SH-110"`
	Href         string      `json:"href" example:"/v1/parts/PL-SH-110"`
	Name         string      `json:"name,omitzero" example:"Shims of the gear stack"`
	Fits         []Fit       `json:"fits"`
	Sizes        []SizeUse   `json:"sizes"`
	Specs        []wire.Spec `json:"specs"`
	Torques      []wire.Spec `json:"torques"`
	Companions   []PartLink  `json:"companions"`
	SupersededBy string      `json:"superseded_by,omitzero" example:"PL-SH-111"`
	Successor    PartLink    `json:"successor,omitzero"`
	Supersedes   []PartLink  `json:"supersedes"`
} //@name PartView

// Fit is a place where a part is fitted.
type Fit struct {
	Family        string   `json:"family" example:"pl-85"`
	FamilyName    string   `json:"family_name" example:"PL-85"`
	Component     string   `json:"component" example:"pl-85/counter-shaft"`
	ComponentName string   `json:"component_name" example:"Counter shaft stack"`
	Href          string   `json:"href" example:"/v1/families/pl-85/components/counter-shaft"`
	Variants      []string `json:"variants,omitzero" example:"b"`
	Quantity      int      `json:"quantity,omitzero" example:"1"`
	Position      string   `json:"position,omitzero" example:"left side"`
	Size          string   `json:"size,omitzero" example:"1.10 mm"`
	Renew         bool     `json:"renew" example:"false"`
} //@name Fit

// SizeUse is a size of a ladder with its neighbours.
type SizeUse struct {
	Shims      string        `json:"shims" example:"pl-85/counter-shaft/stack-shims"`
	Href       string        `json:"href" example:"/v1/families/pl-85/components/counter-shaft/shims/stack-shims"`
	FamilyName string        `json:"family_name" example:"PL-85"`
	Unit       string        `json:"unit" example:"mm"`
	Thickness  wire.Decimal  `json:"thickness" swaggertype:"number" example:"1.10"`
	Display    string        `json:"display" example:"1.10 mm"`
	Tolerance  wire.Band     `json:"tolerance,omitzero"`
	Converted  RungConverted `json:"converted,omitzero"`
	FromSerial string        `json:"from_serial,omitzero" example:"7001"`
	ToSerial   string        `json:"to_serial,omitzero" example:"9999"`
	Variant    string        `json:"variant,omitzero" example:"b"`
	Mark       string        `json:"mark,omitzero" example:"carrier:C"`
	Thinner    Neighbour     `json:"thinner,omitzero"`
	Thicker    Neighbour     `json:"thicker,omitzero"`
} //@name SizeUse

// Neighbour is the next size of a ladder.
type Neighbour struct {
	SKU       string        `json:"sku,omitzero" example:"PL-SH-105"`
	Thickness wire.Decimal  `json:"thickness" swaggertype:"number" example:"1.05"`
	Display   string        `json:"display" example:"1.05 mm"`
	Converted RungConverted `json:"converted,omitzero"`
} //@name Neighbour

// PartLink is another part.
type PartLink struct {
	SKU  string `json:"sku" example:"PL-CL-20"`
	Href string `json:"href" example:"/v1/parts/PL-CL-20"`
	Name string `json:"name,omitzero" example:"Circlip 20"`
} //@name PartLink

// PartAnswer is one part with its cautions put into words.
type PartAnswer struct {
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Part         PartView       `json:"part"`
	Warnings     []wire.Note    `json:"warnings,omitzero"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name PartAnswer

// Part answers GET /v1/parts/{sku}.
//
//	@Summary		One part
//	@Description	Where a part fits, the specs it takes part in, the torques of its fasteners, what is renewed with it, the sizes beside it and what supersedes it. A superseded SKU answers and names its successor.
//	@ID				getPart
//	@Tags			catalogue
//	@Produce		json,application/ld+json,html
//	@Param			sku			path		string	true	"number of the part"
//	@Param			unit		query		string	false	"unit to convert to, for specs in a unit of its kind: mm, um, in, thou, N.m, lbf.ft, …"
//	@Param			unit_system	query		string	false	"instead of unit: convert to the usual units of a system"	Enums(metric, imperial)
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json, jsonld, html)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	PartAnswer
//	@Header		200			{string}	Link	"The canonical address, what it belongs to, and its other forms and languages (RFC 8288)"
//	@Success		default		{object}	linked.Thing
//	@Router			/v1/parts/{sku} [get]
func (h Handlers) Part(r *rim.Request) (rim.Reply, error) {
	unit, err := units(r)
	if err != nil {
		return rim.Reply{}, err
	}
	sku := r.Param("sku")
	view, ok := r.Revision.PartView(sku)
	if !ok {
		near, _ := r.Revision.NearestSKU(sku)
		return rim.Reply{}, wire.Missing("unknown_part", note.New("absent_part", note.Str("key", rim.Quote(sku)), note.Str("address", "/v1/families")), near)
	}
	var codes wire.Codes
	part := h.part(view, r, narrower{}, unit, &codes)
	return h.reply(r, h.shownPart(r, PartAnswer{Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Part: part, Warnings: h.said(r, nil),
		Cautions: h.resolved(&codes, r)}))
}

// part is a part as answers show it; the caution codes of its specs are collected.
func (h Handlers) part(v catalogue.PartView, r *rim.Request, by narrower, unit wire.UnitChoice, codes *wire.Codes) PartView {
	w := PartView{SKU: v.SKU, Href: partHref(v.SKU), Name: v.Name.In(r.Lang), SupersededBy: v.SupersededBy,
		Fits: make([]Fit, 0, len(v.Uses)), Sizes: make([]SizeUse, 0, len(v.Rungs)), Specs: make([]wire.Spec, 0, len(v.Specs)),
		Torques: make([]wire.Spec, 0, len(v.Torques)), Companions: partLinks(r, v.Companions), Supersedes: partLinks(r, v.Supersedes)}
	if v.Successor != "" {
		w.Successor = partLink(r, v.Successor)
	}
	for _, u := range v.Uses {
		w.Fits = append(w.Fits, Fit{Family: u.Family.Key, FamilyName: u.Family.Name.In(r.Lang), Component: u.Family.Key + "/" + u.Component.Key,
			ComponentName: u.Component.Name.In(r.Lang), Href: componentHref(u.Family.Key, u.Component.Key), Variants: u.Part.Variants,
			Quantity: u.Part.Quantity, Position: u.Part.Position.In(r.Lang), Size: u.Part.Size, Renew: u.Part.Renew})
		codes.Add(u.Component.Cautions...)
	}
	for _, u := range v.Rungs {
		w.Sizes = append(w.Sizes, fromRungUse(u, r.Lang, unit))
		w.Fits = fitting(w.Fits, u, r.Lang)
		codes.Add(r.Revision.Defaults.CautionsOf(&spec.Spec{Cautions: u.Shims.Cautions, Source: u.Shims.Source})...)
	}
	for _, e := range v.Specs {
		w.Specs = append(w.Specs, h.show(e.Resolve(by.of(r.Revision, e.Base.Key)), r, unit, codes))
	}
	for _, e := range v.Torques {
		w.Torques = append(w.Torques, h.show(e.Resolve(by.of(r.Revision, e.Base.Key)), r, unit, codes))
	}
	return w
}

// fitting adds the component that a size of a ladder is for, once for each variant.
func fitting(fits []Fit, u catalogue.RungUse, lang string) []Fit {
	f := Fit{Family: u.Family.Key, FamilyName: u.Family.Name.In(lang), Component: u.Family.Key + "/" + u.Component.Key, ComponentName: u.Component.Name.In(lang),
		Href: componentHref(u.Family.Key, u.Component.Key), Size: text.Value(u.Rung.Thickness.Padded(u.Shims.Decimals).String(), u.Shims.Unit)}
	if u.Variant != "" {
		f.Variants = []string{u.Variant}
	}
	if slices.ContainsFunc(fits, func(o Fit) bool { return o.Component == f.Component && slices.Equal(o.Variants, f.Variants) }) {
		return fits
	}
	var at []string
	for _, p := range u.Shims.Places {
		if name := p.Name.In(lang); name != "" {
			at = append(at, name)
		}
	}
	f.Position = strings.Join(at, ", ")
	return append(fits, f)
}

func fromRungUse(u catalogue.RungUse, lang string, unit wire.UnitChoice) SizeUse {
	thickness := u.Rung.Thickness.Padded(u.Shims.Decimals)
	return SizeUse{Shims: string(u.Shims.Key), Href: wire.Href(u.Shims.Key, "shims"), FamilyName: u.Family.Name.In(lang), Unit: string(u.Shims.Unit),
		Thickness: wire.Dec(thickness), Display: text.Value(thickness.String(), u.Shims.Unit), Tolerance: wire.FromRange(u.Rung.Tolerance, 0),
		Converted: inUnit(thickness, u.Shims.Unit, unit), FromSerial: u.Rung.FromSerial, ToSerial: u.Rung.ToSerial, Variant: u.Variant, Mark: u.Mark,
		Thinner: neighbour(u.Thinner, u.Shims, unit), Thicker: neighbour(u.Thicker, u.Shims, unit)}
}

func neighbour(g *spec.Rung, s *spec.ShimSet, unit wire.UnitChoice) Neighbour {
	if g == nil {
		return Neighbour{}
	}
	thickness := g.Thickness.Padded(s.Decimals)
	return Neighbour{g.SKU, wire.Dec(thickness), text.Value(thickness.String(), s.Unit), inUnit(thickness, s.Unit, unit)}
}

func partLinks(r *rim.Request, skus []string) []PartLink {
	list := make([]PartLink, 0, len(skus))
	for _, sku := range skus {
		list = append(list, partLink(r, sku))
	}
	return list
}

func partLink(r *rim.Request, sku string) PartLink {
	w := PartLink{SKU: sku, Href: partHref(sku)}
	if v, ok := r.Revision.PartView(sku); ok {
		w.Name = v.Name.In(r.Lang)
	}
	return w
}
