package face

import (
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// Index is where everything is.
type Index struct {
	Service      string         `json:"service" example:"endfloat"`
	Version      string         `json:"version" example:"1.0.0"`
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Notice       string         `json:"notice" example:"Check against the maker's own current manual; local rules and a qualified technician come first."`
	Languages    []string       `json:"languages" example:"en"`
	Links        []Link         `json:"links"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name Index

// Link is an address and what it answers. In a templated address each name in braces stands for a key.
type Link struct {
	Rel       string `json:"rel" example:"families"`
	Method    string `json:"method" enums:"GET,POST" example:"GET"`
	Href      string `json:"href" example:"/v1/families"`
	Templated bool   `json:"templated,omitzero" example:"false"`
	Title     string `json:"title" example:"Engine families"`
} //@name Link

// Addresses lists everything that the service may answer, in the order in which a stranger would look. A title stands
// in the book as link_ and the relation.
func Addresses() []Link {
	const component = "/v1/families/{family}/components/{component}"
	const spec = component + "/specs/{spec}"
	return []Link{
		get("index", "/v1"),
		get("families", "/v1/families"),
		get("family", "/v1/families/{family}"),
		get("component", component),
		get("spec", spec),
		get("verdict", spec+"/verdict"),
		get("measuring_plan", spec+"/measuring-plan"),
		get("band", spec+"/band.svg"),
		get("shims", component+"/shims/{shims}"),
		get("specs", "/v1/specs"),
		get("part", "/v1/parts/{sku}"),
		get("lookups", "/v1/lookups"),
		post("lookups", "/v1/lookups"),
		get("identifications", "/v1/identifications"),
		get("codes", "/v1/codes"),
		get("instruments", "/v1/instruments"),
		post("evaluations", "/v1/evaluations"),
		post("closures", "/v1/closures"),
		post("shim_plans", "/v1/shim-plans"),
		post("torque_settings", "/v1/torque-settings"),
		post("torque_estimates", "/v1/torque-estimates"),
		get("sheet", "/v1/families/{family}/sheet"),
		post("sheets", "/v1/sheets"),
		post("sheets_verify", "/v1/sheets/verify"),
		get("jwks", "/.well-known/jwks.json"),
		get("practice", "/v1/practice"),
		get("catalogue", "/v1/catalogue"),
		get("changes", "/v1/catalogue/changes"),
		get("openapi", "/openapi.json"),
		get("openapi_yaml", "/openapi.yaml"),
		get("docs", "/docs"),
		get("reference", "/docs/reference"),
		get("embed", "/embed/v1/{file}"),
		get("embed_manifest", "/embed/v1/manifest.json"),
		get("problem", "/problems/{slug}"),
		get("api_catalog", "/.well-known/api-catalog"),
		get("security", "/.well-known/security.txt"),
		get("live", "/livez"),
		get("ready", "/readyz"),
	}
}

func get(rel, href string) Link  { return Link{Rel: rel, Method: "GET", Href: href} }
func post(rel, href string) Link { return Link{Rel: rel, Method: "POST", Href: href} }

// links are the addresses that this build answers, with titles.
func (h Handlers) links(lang string) []Link {
	links := slices.DeleteFunc(Addresses(), func(l Link) bool {
		path := strings.NewReplacer("{", ":", "}", "").Replace(l.Href)
		return h.settings.Has != nil && !h.settings.Has(l.Method, path)
	})
	for i := range links {
		links[i].Templated = strings.Contains(links[i].Href, "{")
		links[i].Title = h.book.Word(lang, "link_"+links[i].Rel)
	}
	return links
}

// Index answers GET /v1.
//
//	@Summary		Where everything is
//	@Description	The addresses, the catalogue revision in use and the standing notice.
//	@ID				getIndex
//	@Tags			service
//	@Produce		json
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	Index
//	@Header		200			{string}	Link	"What describes the service (RFC 8631, RFC 9727)"
//	@Failure		400			{object}	problem.Document
//	@Router			/v1 [get]
func (h Handlers) Index(r *rim.Request) (rim.Reply, error) {
	answer := Index{Service: "endfloat", Version: h.settings.Version, Revision: r.Revision.Name, RevisionDate: r.Revision.Date,
		Rules: spec.Rules, Notice: h.book.Word(r.Lang, catalogue.VerifyMaker), Languages: spec.Languages[:], Links: h.links(r.Lang),
		Cautions: h.always(r)}
	return rim.Reply{Value: answer, Header: []rim.Header{described}}, nil
}

// always is the caution of an answer that shows no value.
func (h Handlers) always(r *rim.Request) []wire.Caution {
	return wire.Resolved([]string{catalogue.VerifyMaker}, r.Lang, h.book, r.Revision.Defaults)
}

// described is describing as a header field.
var described = rim.Links(describing()...)

// describing leads from the first answers to what describes the service (RFC 8631, RFC 9727).
func describing() []rim.Link {
	return []rim.Link{{Href: "/.well-known/api-catalog", Rel: "api-catalog"}, {Href: "/openapi.json", Rel: "service-desc", Type: rim.MediaJSON},
		{Href: "/docs", Rel: "service-doc", Type: rim.MediaHTML}, {Href: "/docs/reference", Rel: "service-doc", Type: rim.MediaHTML}}
}
