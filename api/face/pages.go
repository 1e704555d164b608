package face

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"html/template"
	"strings"

	"endfloat/api/rim"
)

//go:embed pages
var files embed.FS

// pages are the few HTML pages. They hold no script, and their one style sheet stands in them, allowed by its hash.
type pages struct {
	templates *template.Template
	policy    string
}

// newPages reads the templates. It panics on a broken one, which a test would have shown.
func newPages() pages {
	css, err := files.ReadFile("pages/style.css")
	if err != nil {
		panic("face: " + err.Error())
	}
	sum := sha256.Sum256(css)
	style := template.CSS(css) //nolint:gosec // it is our own file
	t := template.New("pages").Funcs(template.FuncMap{"style": func() template.CSS { return style },
		"steps": func(path string) []string { return strings.Split(path, "/") }})
	return pages{
		templates: template.Must(t.ParseFS(files, "pages/*.html")),
		policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
			"'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox",
	}
}

// render fills a page and adds the header fields that keep it harmless.
func (p pages) render(name string, data any) (rim.Reply, error) {
	var b bytes.Buffer
	if err := p.templates.ExecuteTemplate(&b, name, data); err != nil {
		return rim.Reply{}, err
	}
	reply := rim.Ready(b.Bytes())
	reply.Header = []rim.Header{{Name: "Content-Security-Policy", Value: p.policy}, {Name: "X-Content-Type-Options", Value: "nosniff"},
		{Name: "Referrer-Policy", Value: "no-referrer"}}
	return reply, nil
}
