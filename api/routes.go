package api

import (
	"net/http"
	"slices"
	"time"

	"endfloat/api/catalogue"
	"endfloat/api/embed"
	"endfloat/api/face"
	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/sheets"
	"endfloat/api/shimming"
	"endfloat/api/text"
	"endfloat/api/torque"
)

// Query parameters that several routes share.
var (
	replay   = []string{"revision", "lang", "format"}
	engine   = []string{"variant", "engine_number", "mark*"}
	measures = []string{"unit", "unit_system"}
	paging   = []string{"page_size", "page_token"}
)

func params(sets ...[]string) []string { return slices.Concat(sets...) }

// smallBody is the most bytes of a body where nothing else is said.
const smallBody = 1 << 20

// Forms that several routes offer, the default first.
var (
	asJSON  = []string{rim.MediaJSON}
	orText  = []string{rim.MediaJSON, rim.MediaText}
	orTable = []string{rim.MediaJSON, rim.MediaCSV}
	orPage  = []string{rim.MediaJSON, rim.MediaJSONLD, rim.MediaHTML}
	orAny   = []string{rim.MediaJSON, rim.MediaText, rim.MediaJSONLD, rim.MediaHTML}
)

// Routes is the one route table. The adapter, HEAD, CORS, the limits and the tests of the OpenAPI file read it.
func Routes(book *text.Book, deps Deps, cfg Config) []rim.Route {
	var table []rim.Route
	about := face.Settings{Version: deps.Version, PublicURL: cfg.PublicURL, Contact: cfg.SecurityContact, Draining: deps.Draining, Warnings: deps.Warnings,
		Has: func(method, path string) bool {
			return slices.ContainsFunc(table, func(r rim.Route) bool { return r.Method == method && r.Path == path })
		}}
	table = slices.Concat(
		serviceRoutes(face.New(book, deps.Catalogue, about), embed.New(cfg.PublicURL)),
		catalogueRoutes(catalogue.New(book, deps.Catalogue, cfg.PublicURL)),
		judgingRoutes(judging.New(book)),
		sheetRoutes(sheets.New(book, judging.New(book), deps.Signing, time.Now)),
		torqueRoutes(torque.New(book)),
		shimmingRoutes(shimming.New(book, judging.New(book))),
	)
	return table
}

// get is a look-up: an answer that depends on the catalogue and has sentences.
func get(path string, media, query []string, h rim.Handler) rim.Route {
	return rim.Route{Method: http.MethodGet, Path: path, Class: rim.Lookup, Cost: 1, Media: media, Query: query, Lang: true, Handle: h}
}

// static is a look-up whose answer depends on the build alone.
func static(path string, media, query []string, h rim.Handler) rim.Route {
	return rim.Route{Method: http.MethodGet, Path: path, Class: rim.Static, Media: media, Query: query, Handle: h}
}

// spoken is a look-up whose answer has sentences.
func spoken(r rim.Route) rim.Route {
	r.Lang = true
	return r
}

// volatile is a look-up whose answer is never stored.
func volatile(r rim.Route) rim.Route {
	r.Volatile = true
	return r
}

// brief is a look-up whose answer is always a few lines.
func brief(r rim.Route) rim.Route {
	r.Brief = true
	return r
}

func serviceRoutes(about face.Handlers, card embed.Handlers) []rim.Route {
	return []rim.Route{
		get("/v1", asJSON, replay, about.Index),
		get("/v1/codes", asJSON, params(replay, []string{"kind"}), about.Codes),
		get("/v1/practice", asJSON, params(replay, []string{"topic"}), about.Practice),
		get("/", []string{rim.MediaHTML}, replay, about.Home),
		static("/openapi.json", asJSON, nil, about.OpenAPI),
		static("/openapi.yaml", []string{rim.MediaYAML}, nil, about.OpenAPIYAML),
		static("/docs", []string{rim.MediaHTML}, nil, about.Docs),
		static("/docs/reference", []string{rim.MediaHTML}, nil, about.Reference),
		static("/docs/:file", []string{rim.MediaJS, rim.MediaCSS, rim.MediaText}, nil, about.DocsFile),
		static("/embed/v1/manifest.json", asJSON, nil, card.Manifest),
		static("/embed/v1/:file", []string{rim.MediaJS}, nil, card.File),
		spoken(static("/problems/:slug", []string{rim.MediaJSON, rim.MediaHTML}, []string{"lang", "format"}, about.Problem)),
		static("/.well-known/api-catalog", []string{rim.MediaLinks}, nil, about.Catalog),
		volatile(static("/.well-known/security.txt", []string{rim.MediaText}, nil, about.Security)),
		volatile(static("/livez", asJSON, nil, about.Live)),
		volatile(static("/readyz", asJSON, nil, about.Ready)),
	}
}

func catalogueRoutes(look catalogue.Handlers) []rim.Route {
	const component = "/v1/families/:family/components/:component"
	return []rim.Route{
		get("/v1/families", asJSON, params(replay, paging, []string{"q"}), look.Families),
		get("/v1/families/:family", asJSON, replay, look.Family),
		get(component, orPage, params(replay, engine, measures), look.Component),
		brief(get(component+"/specs/:spec", orAny, params(replay, engine, measures), look.Spec)),
		get(component+"/shims/:shims", asJSON, params(replay, engine, measures), look.Shims),
		get("/v1/parts/:sku", orPage, params(replay, measures), look.Part),
		get("/v1/lookups", orPage, params(replay, engine, measures, []string{"key", "sku", "component"}), look.Lookups),
		ask("/v1/lookups", rim.Lookup, 1, look.LookupsPost),
		get("/v1/identifications", asJSON, params(replay, []string{"engine_number"}), look.Identify),
		get("/v1/catalogue", asJSON, replay, look.Revision),
		get("/v1/catalogue/changes", asJSON, params(replay, paging, []string{"from", "to", "family"}), look.Changes),
		get("/v1/specs", orTable, params(replay, paging, engine, []string{"q", "family", "component", "kind", "unit_system"}), look.Specs),
	}
}

// methodsOf lists the methods that each path answers.
func methodsOf(routes []rim.Route) map[string][]string {
	by := map[string][]string{}
	for _, r := range routes {
		by[r.Path] = append(by[r.Path], r.Method)
		if r.Method == http.MethodGet {
			by[r.Path] = append(by[r.Path], http.MethodHead)
		}
	}
	return by
}
