// Package openapi holds the OpenAPI file of the service and the page that shows it without internet.
//
// The file is generated from the handlers by go run ./openapi/generate; a test regenerates and compares it. It stands
// beside in OpenAPI 3.1.1 too, equal in meaning, for tools that want that, and is not served so. The package decides
// nothing and refuses to know the rest of the project: it hands out bytes.
//
//	w.Write(openapi.JSON())
package openapi

import (
	"embed"
	"io/fs"
)

var (
	//go:embed openapi.json
	json30 []byte
	//go:embed openapi.yaml
	yaml30 []byte
	//go:embed ui
	ui embed.FS
)

// JSON is the file in OpenAPI 3.0.3 as JSON. The bytes are shared and must not be changed.
func JSON() []byte { return json30 }

// YAML is the file in OpenAPI 3.0.3 as YAML. The bytes are shared and must not be changed.
func YAML() []byte { return yaml30 }

// Policy is the Content-Security-Policy under which the reference page renders: nothing from elsewhere, no script in
// the page itself. The style sheet of the viewer has its icons in it as data addresses; the viewer sets styles of
// elements through the object model, which the policy does not touch.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// UI is the reference page: index.html, which loads everything else from /docs/, and the files it loads. Serve it
// under Policy.
func UI() fs.FS {
	sub, err := fs.Sub(ui, "ui")
	if err != nil {
		panic("openapi: " + err.Error()) // the name is fixed
	}
	return sub
}
