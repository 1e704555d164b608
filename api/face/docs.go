package face

import (
	"io/fs"
	"path"
	"slices"

	"endfloat/api/rim"
	"endfloat/openapi"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// File is what every OpenAPI file says first; the rest is as the OpenAPI specification has it.
type File struct {
	OpenAPI string `json:"openapi" example:"3.0.3"`
} //@name OpenAPIFile

// OpenAPI answers GET /openapi.json.
//
//	@Summary		The OpenAPI file
//	@Description	Every operation, shape and fault of this service, in OpenAPI 3.0.3 as JSON.
//	@ID				getOpenApi
//	@Tags			service
//	@Produce		json
//	@Success		200	{object}	File
//	@Router			/openapi.json [get]
func (h Handlers) OpenAPI(*rim.Request) (rim.Reply, error) { return rim.Ready(openapi.JSON()), nil }

// OpenAPIYAML answers GET /openapi.yaml.
//
//	@Summary		The OpenAPI file as YAML
//	@Description	The same as /openapi.json, for eyes.
//	@ID				getOpenApiYaml
//	@Tags			service
//	@Produce		application/yaml
//	@Success		200	{string}	string
//	@Router			/openapi.yaml [get]
func (h Handlers) OpenAPIYAML(*rim.Request) (rim.Reply, error) { return rim.Ready(openapi.YAML()), nil }

// Docs answers GET /docs.
//
//	@Summary		The reference page
//	@Description	Draws the OpenAPI file; nothing is loaded from elsewhere.
//	@ID				getDocs
//	@Tags			service
//	@Produce		html
//	@Success		200	{string}	string
//	@Router			/docs [get]
func (h Handlers) Docs(*rim.Request) (rim.Reply, error) { return document("index.html") }

// DocsFile answers GET /docs/{file}.
//
//	@Summary		A file of the reference page
//	@Description	Style sheets, scripts and licences of the reference page.
//	@ID				getDocsFile
//	@Tags			service
//	@Produce		text/javascript,text/css,plain
//	@Param			file	path		string	true	"name of the file"
//	@Success		200		{string}	string
//	@Router			/docs/{file} [get]
func (h Handlers) DocsFile(r *rim.Request) (rim.Reply, error) { return document(r.Param("file")) }

// document is a file of the reference page under the policy that keeps it harmless. Only names that stand in its
// directory are read.
func document(name string) (rim.Reply, error) {
	files := openapi.UI()
	entries, err := fs.ReadDir(files, ".")
	if err != nil {
		return rim.Reply{}, err
	}
	if !slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return e.Name() == name && !e.IsDir() }) {
		return rim.Reply{}, fault.New(fault.NotFound, "unknown_file", note.New("found_reference_page_no_file", note.Str("file", rim.Quote(name)), note.Str("address", "/docs")))
	}
	body, err := fs.ReadFile(files, name)
	if err != nil {
		return rim.Reply{}, err
	}
	media := map[string]string{".html": rim.MediaHTML, ".js": rim.MediaJS, ".css": rim.MediaCSS}[path.Ext(name)]
	if media == "" {
		media = rim.MediaText
	}
	return rim.Reply{Bytes: body, Header: []rim.Header{{Name: "Content-Type", Value: media + "; charset=utf-8"},
		{Name: "Content-Security-Policy", Value: openapi.Policy}, {Name: "X-Content-Type-Options", Value: "nosniff"},
		{Name: "Referrer-Policy", Value: "no-referrer"}}}, nil
}
