// Package fragment draws specs and parts as a piece of HTML that a shop's server puts into a page of its own: without a
// script, a style or an id, so that nothing in it clashes with the page around it. Classes begin with endfloat.
//
// It decides the order in which things stand: cautions first, and the hand of a thread before its value. It refuses to
// know limits and words: every string comes in finished and goes out as text, whatever is in it.
//
//	draw := fragment.New()
//	html, err := draw.HTML(fragment.Fragment{Lang: "en", Groups: groups})
package fragment

import (
	"bytes"
	"embed"
	"html/template"
)

//go:embed templates
var files embed.FS

// Policy is the Content-Security-Policy of a fragment that is opened alone: it may do nothing.
const Policy = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox"

// Fragment is a whole answer.
type Fragment struct {
	Lang     string
	Revision string
	Labels   Labels
	Cautions []Caution // the most severe first
	Warnings []string
	Groups   []Group
}

// Labels name the facts beside a value, in the language of the fragment.
type Labels struct{ Aim, Wear, Details, Source, Parts string }

// Caution is a warning about harm.
type Caution struct {
	Code     string
	Severity int
	Text     string
}

// Group is what was asked for as one: a component, a part or a spec. Name may be empty.
type Group struct {
	Key     string
	Name    string
	About   string // what it belongs to
	Nothing string // why there is nothing to show; empty where there is
	Specs   []Spec
	Parts   []Part
}

// Spec is one limit. Hand is empty for a right-hand thread.
type Spec struct {
	Key, Name, About       string
	Hand, Value, Aim, Wear string
	Details, Source        string
	Cautions               string // codes, separated by spaces
	Alternatives           []Alternative
}

// Alternative is what a variant or a mark has instead, in one line.
type Alternative struct{ Name, Text string }

// Part is something with a SKU.
type Part struct{ SKU, Name, About string }

// Drawing holds the template. It is immutable and safe for concurrent use.
type Drawing struct{ template *template.Template }

// New reads the template. It panics on a broken one, which a test would have shown.
func New() *Drawing {
	return &Drawing{template.Must(template.ParseFS(files, "templates/fragment.html"))}
}

// HTML draws a fragment.
func (d *Drawing) HTML(f Fragment) ([]byte, error) {
	var b bytes.Buffer
	if err := d.template.Execute(&b, f); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
