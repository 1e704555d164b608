// Package page draws check sheets and their reports as HTML for paper: A4 or US letter, black and white, without a
// script and without anything from elsewhere.
//
// It decides what stands where on the page, and that a policy forbids everything that the page does not bring itself. It
// refuses to know verdicts and words: every string comes in finished and goes out as text, whatever is in it.
//
//	pages := page.New()
//	html, policy, err := pages.Blank(page.Blank{Frame: page.Frame{Lang: "en", Title: "Check sheet"}})
package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"strings"
)

//go:embed templates
var files embed.FS

// Paper is the size of a page.
type Paper string

// The sizes.
const (
	A4     Paper = "A4"
	Letter Paper = "letter"
)

// Frame is what every page has. Foot stands at the foot of each printed page, beside its number.
type Frame struct {
	Lang  string
	Title string
	Foot  string
	Paper Paper
	Style template.CSS // filled in when the page is drawn
}

// Pages are the templates. They are immutable and safe for concurrent use.
type Pages struct {
	templates *template.Template
	css       string
}

// New reads the templates. It panics on a broken one, which a test would have shown.
func New() *Pages {
	css, err := files.ReadFile("templates/sheet.css")
	if err != nil {
		panic("page: " + err.Error())
	}
	return &Pages{template.Must(template.ParseFS(files, "templates/*.html")), strings.TrimSpace(string(css))}
}

// Blank draws a sheet to be filled by hand. policy is the Content-Security-Policy that belongs to it.
func (p *Pages) Blank(v Blank) (html []byte, policy string, err error) {
	v.Style, policy = p.style(v.Frame)
	return p.draw("blank.html", v, policy)
}

// Report draws a judged sheet. policy is the Content-Security-Policy that belongs to it.
func (p *Pages) Report(v Report) (html []byte, policy string, err error) {
	v.Style, policy = p.style(v.Frame)
	return v.appendTo(make([]byte, 0, 12<<10+3<<10*len(v.Lines))), policy, nil
}

func (p *Pages) draw(name string, v any, policy string) ([]byte, string, error) {
	var b bytes.Buffer
	if err := p.templates.ExecuteTemplate(&b, name, v); err != nil {
		return nil, "", fmt.Errorf("page: %w", err)
	}
	return b.Bytes(), policy, nil
}

// style is the one style sheet of a page with the size and the foot of its paper, and the policy that allows it by its
// hash.
func (p *Pages) style(f Frame) (template.CSS, string) {
	size := "A4"
	if f.Paper == Letter {
		size = "letter"
	}
	css := p.css + "\n@page{size:" + size + ";margin:13mm 11mm 17mm;@bottom-left{content:" + quoted(f.Foot) +
		";font:7.5pt sans-serif}@bottom-right{content:counter(page) \" / \" counter(pages);font:7.5pt sans-serif}}"
	sum := sha256.Sum256([]byte(css))
	//nolint:gosec // the file is ours and the foot is escaped character by character
	return template.CSS(css), "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox"
}

// quoted is a text as a CSS string: everything but letters, digits and spaces is escaped by its number.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range s {
		switch {
		case c == ' ', c >= '0' && c <= '9', c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z':
			b.WriteRune(c)
		default:
			fmt.Fprintf(&b, "\\%x ", c)
		}
	}
	b.WriteByte('"')
	return b.String()
}
