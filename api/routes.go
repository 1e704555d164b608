package api

import (
	"net/http"
	"slices"

	"endfloat/api/catalogue"
	"endfloat/api/face"
	"endfloat/api/rim"
	"endfloat/api/text"
)

// Query parameters that several routes share.
var (
	replay   = []string{"revision", "lang", "format"}
	engine   = []string{"variant", "engine_number", "mark*"}
	measures = []string{"unit", "unit_system"}
)

func params(sets ...[]string) []string { return slices.Concat(sets...) }

// smallBody is the most bytes of a body where nothing else is said.
const smallBody = 1 << 20

// Routes is the one route table. The adapter, HEAD, CORS, the limits and the tests of the OpenAPI file read it.
func Routes(book *text.Book, deps Deps) []rim.Route {
	look := catalogue.New(book)
	about := face.New(book, deps.Version, deps.Catalogue)
	json := []string{rim.MediaJSON}
	get := func(path string, media, query []string, lang bool, h rim.Handler) rim.Route {
		return rim.Route{Method: http.MethodGet, Path: path, Class: rim.Lookup, Cost: 1, Media: media, Query: query, Lang: lang, Handle: h}
	}
	routes := []rim.Route{
		get("/v1", json, replay, true, about.Index),
		get("/v1/families", json, params(replay, []string{"q", "page_size", "page_token"}), true, look.Families),
	}
	_ = measures
	_ = engine
	return routes
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
