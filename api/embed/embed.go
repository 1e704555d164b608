// Package embed serves the card that a product page puts in: one script without dependencies, under an address that
// never changes its content, and a manifest with the integrity hash to pin it by.
//
// It decides which files there are, once and for all: what is not among them does not exist, whatever a path says. It
// refuses to know what the card asks for; that is HTTP like that of any caller.
//
//	card := embed.New("https://limits.example")
//	reply, err := card.File(request) // spec-card.js, or the same under the name of its content
package embed

import (
	"embed"
	"encoding/json"
	"strings"

	"endfloat/api/rim"
	"endfloat/service/fault"
	"endfloat/service/note"
)

//go:embed files
var files embed.FS

// Latest is the name under which the current card always stands.
const Latest = "spec-card.js"

// place is the directory of the addresses; its number goes up with a card that understands other attributes.
const place = "/embed/v1/"

// Handlers answer for the card. They are immutable and safe for concurrent use.
type Handlers struct {
	scripts map[string][]byte
	answer  Manifest
	latest  string // name of the current card
}

// Manifest says which card is current, and how a page pins it.
type Manifest struct {
	Element   string `json:"element" example:"endfloat-spec"`
	Href      string `json:"href" example:"/embed/v1/spec-card.0a1b2c3d4e5f.js"`
	Latest    string `json:"latest" example:"/embed/v1/spec-card.js"`
	Integrity string `json:"integrity" example:"sha384-oqVuAfXRKap7fdgcCY5uykM6+R9GqQ8K/uxy9rx7HNQlGYl1kPzQho1wx4JwY8wC"`
	Bytes     int    `json:"bytes" example:"4800"`
	Tag       string `json:"tag" example:"<script type=\"module\" src=\"…\" integrity=\"…\" crossorigin></script>"`
} //@name EmbedManifest

// New reads the files. public is where the service is reached, without a slash at the end; empty: addresses stay
// relative. It panics on a broken manifest, which a test would have shown.
func New(public string) Handlers {
	h := Handlers{scripts: map[string][]byte{}}
	entries, err := files.ReadDir("files")
	if err != nil {
		panic("embed: " + err.Error())
	}
	for _, e := range entries {
		body, err := files.ReadFile("files/" + e.Name())
		if err != nil {
			panic("embed: " + err.Error())
		}
		h.scripts[e.Name()] = body
	}
	var made struct{ Element, File, Integrity string }
	if err := json.Unmarshal(h.scripts["manifest.json"], &made); err != nil || h.scripts[made.File] == nil {
		panic("embed: the manifest names no file")
	}
	delete(h.scripts, "manifest.json")
	h.latest = made.File
	h.answer = Manifest{Element: made.Element, Href: public + place + made.File, Latest: public + place + Latest, Integrity: made.Integrity,
		Bytes: len(h.scripts[made.File])}
	h.answer.Tag = `<script type="module" src="` + h.answer.Href + `" integrity="` + made.Integrity + `" crossorigin></script>`
	return h
}

// Manifest answers GET /embed/v1/manifest.json.
//
//	@Summary		The current product-page card
//	@Description	The address whose content never changes, and the hash that a page pins it by (Subresource Integrity).
//	@ID				getEmbedManifest
//	@Tags			service
//	@Produce		json
//	@Success		200	{object}	Manifest
//	@Router			/embed/v1/manifest.json [get]
func (h Handlers) Manifest(*rim.Request) (rim.Reply, error) { return rim.JSON(h.answer), nil }

// File answers GET /embed/v1/{file}.
//
//	@Summary		The product-page card
//	@Description	A custom element, endfloat-spec, without dependencies: spec-card.js is the current one, spec-card.<hash>.js never changes and may be kept for a year.
//	@ID				getEmbedFile
//	@Tags			service
//	@Produce		text/javascript
//	@Param			file	path		string	true	"name of the script"
//	@Success		200		{string}	string
//	@Header		200		{string}	Link	"The manifest that names the current file (RFC 8288)"
//	@Router			/embed/v1/{file} [get]
func (h Handlers) File(r *rim.Request) (rim.Reply, error) {
	name := r.Param("file")
	keep := "public, max-age=31536000, immutable"
	if name == Latest {
		name, keep = h.latest, ""
	}
	body, ok := h.scripts[name]
	if !ok {
		return rim.Reply{}, fault.New(fault.NotFound, "unknown_file", note.New("found_no_file_get_names", note.Str("file", rim.Quote(name)), note.Str("address", strings.TrimSuffix(place, "/")+"/manifest.json")))
	}
	return rim.Reply{Bytes: body, Header: []rim.Header{{Name: "Cache-Control", Value: keep}, {Name: "Cross-Origin-Resource-Policy", Value: "cross-origin"},
		rim.Links(rim.Link{Href: place + "manifest.json", Rel: "describedby", Type: rim.MediaJSON})}}, nil
}
