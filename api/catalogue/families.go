package catalogue

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// FamilyList is a page of families.
type FamilyList struct {
	Items         []FamilyItem   `json:"items"`
	NextPageToken string         `json:"next_page_token,omitzero" example:"AbCdEf0123"`
	Revision      string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate  string         `json:"revision_date" example:"2026-11-01"`
	Rules         string         `json:"rules" example:"1"`
	Warnings      []wire.Note    `json:"warnings,omitzero"`
	Cautions      []wire.Caution `json:"cautions"`
} //@name FamilyList

// FamilyItem is a family in a list.
type FamilyItem struct {
	Key         string `json:"key" example:"pl-85"`
	Href        string `json:"href" example:"/v1/families/pl-85"`
	Name        string `json:"name" example:"PL-85"`
	Maker       string `json:"maker,omitzero" example:"Pellumbra"`
	Description string `json:"description,omitzero" example:"Two-stroke, single, 84 cm³"`
	Variants    int    `json:"variants" example:"2"`
	Components  int    `json:"components" example:"10"`
} //@name FamilyItem

// Families answers GET /v1/families.
//
//	@Summary		Engine families
//	@Description	The families of the catalogue in the order of their keys, a page at a time.
//	@ID				listFamilies
//	@Tags			catalogue
//	@Produce		json
//	@Param			q			query		string	false	"words to look for in names, makers and aliases"
//	@Param			page_size	query		int		false	"families a page, 1 to 1,000"	default(50)
//	@Param			page_token	query		string	false	"next_page_token of the page before, with the same query"
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	FamilyList
//	@Header		200			{string}	Link	"The next page (RFC 8288), where there is one"
//	@Router			/v1/families [get]
func (h Handlers) Families(r *rim.Request) (rim.Reply, error) {
	w, err := paging(r)
	if err != nil {
		return rim.Reply{}, err
	}
	found := r.Revision.FindFamilies(r.One("q"))
	run, more := page(found, func(f *catalogue.Family) string { return f.Key }, w)
	list := FamilyList{Items: make([]FamilyItem, 0, len(run)), Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Warnings: h.said(r, nil)}
	var codes wire.Codes
	for _, f := range run {
		list.Items = append(list.Items, FamilyItem{Key: f.Key, Href: familyHref(f.Key), Name: f.Name.In(r.Lang), Maker: f.Maker,
			Description: f.Description.In(r.Lang), Variants: len(f.Variants), Components: len(f.Components)})
		if hasDemo(f) {
			codes.Add(catalogue.DemoValues)
		}
	}
	reply := rim.Reply{}
	if more {
		list.NextPageToken = w.next(run[len(run)-1].Key)
		reply.Header = append(reply.Header, w.link(r, list.NextPageToken))
	}
	list.Cautions = h.resolved(&codes, r)
	reply.Value = list
	return reply, nil
}

// hasDemo reports whether any value of a family is invented.
func hasDemo(f *catalogue.Family) bool {
	for _, c := range f.Components {
		for _, e := range c.Specs {
			if e.Base.Source != nil && e.Base.Source.Class == "demo" {
				return true
			}
		}
	}
	return false
}

// Family is one engine family.
type Family struct {
	Key          string          `json:"key" example:"pl-85"`
	Href         string          `json:"href" example:"/v1/families/pl-85"`
	Name         string          `json:"name" example:"PL-85"`
	Maker        string          `json:"maker,omitzero" example:"Pellumbra"`
	Description  string          `json:"description,omitzero" example:"Two-stroke, single, 84 cm³"`
	Aliases      []string        `json:"aliases,omitzero" example:"PL 85"`
	Variants     []Variant       `json:"variants"`
	Components   []ComponentItem `json:"components"`
	Revision     string          `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string          `json:"revision_date" example:"2026-11-01"`
	Rules        string          `json:"rules" example:"1"`
	Warnings     []wire.Note     `json:"warnings,omitzero"`
	Cautions     []wire.Caution  `json:"cautions"`
} //@name Family

// Variant is a run of engines that differs from its sisters.
type Variant struct {
	ID      string        `json:"id" example:"b"`
	Name    string        `json:"name,omitzero" example:"Second run"`
	Feature string        `json:"feature,omitzero" example:"eight studs on the fan cowl"`
	Serials []SerialRange `json:"serials"`
} //@name Variant

// SerialRange is a run of serial numbers behind a prefix, both ends inside; without to it is open.
type SerialRange struct {
	Prefix string `json:"prefix" example:"PLC"`
	From   uint64 `json:"from" example:"7001"`
	To     uint64 `json:"to,omitzero" example:"9999"`
} //@name SerialRange

// ComponentItem is a component in the assembly order of its family.
type ComponentItem struct {
	Key       string   `json:"key" example:"pl-85/counter-shaft"`
	Href      string   `json:"href" example:"/v1/families/pl-85/components/counter-shaft"`
	Name      string   `json:"name" example:"Counter shaft stack"`
	Order     int      `json:"order" example:"1"`
	Marks     []string `json:"marks,omitzero" example:"K2"`
	MarkPlace string   `json:"mark_place,omitzero" example:"on the web"`
	Specs     int      `json:"specs" example:"12"`
	Shims     int      `json:"shims" example:"1"`
	Parts     int      `json:"parts" example:"9"`
} //@name ComponentItem

// Family answers GET /v1/families/{family}.
//
//	@Summary		One engine family
//	@Description	Variants with their runs of serial numbers, and components in assembly order.
//	@ID				getFamily
//	@Tags			catalogue
//	@Produce		json
//	@Param			family		path		string	true	"key of the family"
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	Family
//	@Router			/v1/families/{family} [get]
func (h Handlers) Family(r *rim.Request) (rim.Reply, error) {
	f, err := family(r)
	if err != nil {
		return rim.Reply{}, err
	}
	answer := Family{Key: f.Key, Href: familyHref(f.Key), Name: f.Name.In(r.Lang), Maker: f.Maker, Description: f.Description.In(r.Lang),
		Aliases: f.Aliases, Variants: fromVariants(f, r.Lang), Components: make([]ComponentItem, 0, len(f.Components)),
		Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Warnings: h.said(r, nil)}
	for i, c := range f.Components {
		answer.Components = append(answer.Components, ComponentItem{Key: f.Key + "/" + c.Key, Href: componentHref(f.Key, c.Key), Name: c.Name.In(r.Lang),
			Order: i + 1, Marks: c.Marks, MarkPlace: c.MarkPlace.In(r.Lang), Specs: len(c.Specs), Shims: len(c.Shims), Parts: len(c.Parts)})
	}
	var codes wire.Codes
	if hasDemo(f) {
		codes.Add(catalogue.DemoValues)
	}
	answer.Cautions = h.resolved(&codes, r)
	return rim.JSON(answer), nil
}

func fromVariants(f *catalogue.Family, lang string) []Variant {
	list := make([]Variant, 0, len(f.Variants))
	for _, v := range f.Variants {
		w := Variant{ID: v.ID, Name: v.Name.In(lang), Feature: v.Feature.In(lang), Serials: make([]SerialRange, 0, len(v.Ranges))}
		for _, s := range v.Ranges {
			w.Serials = append(w.Serials, SerialRange(s))
		}
		list = append(list, w)
	}
	return list
}
