package face

import (
	"net/url"
	"time"

	"endfloat/api/rim"
)

// Linkset is the catalogue of machine-readable documents (RFC 9727, in the form of RFC 9264).
type Linkset struct {
	Linkset []LinkContext `json:"linkset"`
} //@name Linkset

// LinkContext are the links of one thing.
type LinkContext struct {
	Anchor      string       `json:"anchor" example:"/v1"`
	Item        []LinkTarget `json:"item,omitzero"`
	ServiceDesc []LinkTarget `json:"service-desc,omitzero"`
	ServiceDoc  []LinkTarget `json:"service-doc,omitzero"`
	ServiceMeta []LinkTarget `json:"service-meta,omitzero"`
	Status      []LinkTarget `json:"status,omitzero"`
} //@name LinkContext

// LinkTarget is one document.
type LinkTarget struct {
	Href  string `json:"href" example:"/openapi.json"`
	Type  string `json:"type,omitzero" example:"application/json"`
	Title string `json:"title,omitzero" example:"The OpenAPI file"`
} //@name LinkTarget

// Catalog answers GET /.well-known/api-catalog.
//
//	@Summary		Where the machine-readable things are
//	@Description	A link set (RFC 9264) as RFC 9727 asks for it: the service with its descriptions, its manuals, what an integrator holds a client against and whether it is ready; and the card for product pages with its manifest. The relations are those of RFC 8631.
//	@ID				getApiCatalog
//	@Tags			service
//	@Produce		application/linkset+json
//	@Success		200	{object}	Linkset
//	@Header		200	{string}	Link	"The document itself, as the catalogue of the service (RFC 9727)"
//	@Router			/.well-known/api-catalog [get]
func (h Handlers) Catalog(*rim.Request) (rim.Reply, error) {
	base := h.settings.PublicURL
	to := func(path, media, link string) LinkTarget {
		return LinkTarget{base + path, media, h.book.Word("en", "link_"+link)}
	}
	api, card := to("/v1", rim.MediaJSON, "index"), to("/embed/v1/spec-card.js", rim.MediaJS, "embed")
	set := Linkset{[]LinkContext{
		{Anchor: base + "/.well-known/api-catalog", Item: []LinkTarget{api, card}},
		{Anchor: api.Href,
			ServiceDesc: []LinkTarget{to("/openapi.json", rim.MediaJSON, "openapi"), to("/openapi.yaml", rim.MediaYAML, "openapi_yaml")},
			ServiceDoc:  []LinkTarget{to("/docs", rim.MediaHTML, "docs"), to("/docs/reference", rim.MediaHTML, "reference"), to("/", rim.MediaHTML, "home")},
			ServiceMeta: []LinkTarget{to("/v1/catalogue", rim.MediaJSON, "catalogue"), to("/v1/codes", rim.MediaJSON, "codes"),
				to("/v1/practice", rim.MediaJSON, "practice"), to("/.well-known/jwks.json", rim.MediaKeys, "jwks"), to("/.well-known/security.txt", rim.MediaText, "security")},
			Status: []LinkTarget{to("/readyz", rim.MediaJSON, "ready"), to("/livez", rim.MediaJSON, "live")}},
		{Anchor: card.Href,
			ServiceDoc:  []LinkTarget{to("/", rim.MediaHTML, "home")},
			ServiceMeta: []LinkTarget{to("/embed/v1/manifest.json", rim.MediaJSON, "embed_manifest")}},
	}}
	return rim.Reply{Value: set, Header: []rim.Header{{Name: "Link", Value: `</.well-known/api-catalog>; rel="api-catalog"`}}}, nil
}

// Security answers GET /.well-known/security.txt (RFC 9116). Without a configured contact it names the role mailbox of
// RFC 2142 at the host where the service is reached, so that no person is invented. It expires half a year on.
//
//	@Summary		Where to report a weakness
//	@Description	As RFC 9116 asks for it. The contact is a setting of whoever runs the service.
//	@ID				getSecurityTxt
//	@Tags			service
//	@Produce		plain
//	@Success		200	{string}	string
//	@Router			/.well-known/security.txt [get]
func (h Handlers) Security(*rim.Request) (rim.Reply, error) {
	now := time.Now().UTC()
	expires := time.Date(now.Year(), now.Month()+6, 1, 0, 0, 0, 0, time.UTC)
	text := "Contact: " + h.contact() + "\nExpires: " + expires.Format(time.RFC3339) + "\nPreferred-Languages: en, de, fr, it, es\n"
	if h.settings.PublicURL != "" {
		text += "Canonical: " + h.settings.PublicURL + "/.well-known/security.txt\n"
	}
	return rim.Ready([]byte(text)), nil
}

func (h Handlers) contact() string {
	if h.settings.Contact != "" {
		return h.settings.Contact
	}
	host := "localhost"
	if u, err := url.Parse(h.settings.PublicURL); err == nil && u.Hostname() != "" {
		host = u.Hostname()
	}
	return "mailto:security@" + host
}
