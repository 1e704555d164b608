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
	Status      []LinkTarget `json:"status,omitzero"`
} //@name LinkContext

// LinkTarget is one document.
type LinkTarget struct {
	Href string `json:"href" example:"/openapi.json"`
	Type string `json:"type,omitzero" example:"application/json"`
} //@name LinkTarget

// Catalog answers GET /.well-known/api-catalog.
//
//	@Summary		Where the machine-readable things are
//	@Description	A link set (RFC 9264) as RFC 9727 asks for it.
//	@ID				getApiCatalog
//	@Tags			service
//	@Produce		application/linkset+json
//	@Success		200	{object}	Linkset
//	@Router			/.well-known/api-catalog [get]
func (h Handlers) Catalog(*rim.Request) (rim.Reply, error) {
	base := h.settings.PublicURL
	set := Linkset{[]LinkContext{
		{Anchor: base + "/.well-known/api-catalog", Item: []LinkTarget{{Href: base + "/v1", Type: rim.MediaJSON}}},
		{Anchor: base + "/v1",
			ServiceDesc: []LinkTarget{{base + "/openapi.json", rim.MediaJSON}, {base + "/openapi.yaml", rim.MediaYAML}},
			ServiceDoc:  []LinkTarget{{base + "/docs", rim.MediaHTML}},
			Status:      []LinkTarget{{base + "/readyz", rim.MediaJSON}}},
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
