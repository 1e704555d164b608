// Package face answers what is about the service itself: where everything is, problems, documents and health.
package face

import (
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// Handlers answer for the service itself. They are safe for concurrent use.
type Handlers struct {
	book    *text.Book
	version string
	source  catalogue.Source
}

// New makes the handlers.
func New(book *text.Book, version string, source catalogue.Source) Handlers {
	return Handlers{book, version, source}
}

// Index is where everything is.
type Index struct {
	Service      string `json:"service" example:"endfloat"`
	Version      string `json:"version" example:"1.0.0"`
	Revision     string `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string `json:"revision_date" example:"2026-11-01"`
	Rules        string `json:"rules" example:"1"`
	Notice       string `json:"notice" example:"Check against the maker's own current manual; local rules and a qualified technician come first."`
	Links        []Link `json:"links"`
} //@name Index

// Link is an address and what it answers.
type Link struct {
	Href  string `json:"href" example:"/v1/families"`
	Title string `json:"title" example:"Engine families"`
} //@name Link

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
//	@Router			/v1 [get]
func (h Handlers) Index(r *rim.Request) (rim.Reply, error) {
	links := []Link{
		{"/v1/families", "Engine families"},
		{"/v1/specs", "Every spec"},
		{"/openapi.json", "The OpenAPI file"},
		{"/docs", "The reference page"},
	}
	return rim.JSON(Index{Service: "endfloat", Version: h.version, Revision: r.Revision.Name, RevisionDate: r.Revision.Date,
		Rules: spec.Rules, Notice: h.book.Word(r.Lang, "verify_with_maker"), Links: links}), nil
}
