package client

import (
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
)

// shown is the ready text of a thing, as the service writes it.
type shown struct {
	Summary string `json:"summary"`
}

type specText struct {
	Key           string   `json:"key"`
	Name          string   `json:"name"`
	FamilyName    string   `json:"family_name"`
	ComponentName string   `json:"component_name"`
	Cautions      []string `json:"cautions"`
	Display       shown    `json:"display"`
	Converted     struct {
		Display shown `json:"display"`
	} `json:"converted"`
	Source struct {
		Title    string `json:"title"`
		Locator  string `json:"locator"`
		Reviewed string `json:"reviewed"`
	} `json:"source"`
}

// rungText is a thickness of a ladder or of a part.
type rungText struct {
	Shims     string `json:"shims"`
	Display   string `json:"display"`
	SKU       string `json:"sku"`
	Converted struct {
		Display string `json:"display"`
	} `json:"converted"`
}

type shimsText struct {
	Key    string     `json:"key"`
	Name   string     `json:"name"`
	Ladder []rungText `json:"ladder"`
}

type partText struct {
	SKU          string `json:"sku"`
	Name         string `json:"name"`
	Size         string `json:"size"`
	SupersededBy string `json:"superseded_by"`
	Fits         []struct {
		FamilyName    string `json:"family_name"`
		ComponentName string `json:"component_name"`
		Component     string `json:"component"`
	} `json:"fits"`
	Sizes      []rungText `json:"sizes"`
	Specs      []specText `json:"specs"`
	Torques    []specText `json:"torques"`
	Companions []struct {
		SKU  string `json:"sku"`
		Name string `json:"name"`
	} `json:"companions"`
}

// around is what every answer has around the thing itself.
type around struct {
	Revision string    `json:"revision"`
	Cautions []caution `json:"cautions"`
	Warnings []struct {
		Text string `json:"text"`
	} `json:"warnings"`
}

// page is a text under way.
type page struct{ strings.Builder }

func (p *page) line(parts ...string) {
	parts = slices.DeleteFunc(parts, func(s string) bool { return s == "" })
	if len(parts) > 0 {
		p.WriteString(Plain(strings.Join(parts, "; ")) + "\n")
	}
}

// first is the first line: the codes of what to beware of in front of what was asked for.
func (p *page) first(cautions []string, what string) {
	if len(cautions) > 0 {
		what = "! " + strings.Join(cautions, ", ") + " | " + what
	}
	p.line(what)
}

// text is an answer for an eye.
func (t thing) text(body []byte) (string, error) {
	var a around
	var p page
	err := json.Unmarshal(body, &a)
	if err != nil {
		return "", err
	}
	switch t.kind {
	case "spec":
		err = p.spec(body)
	case "shims":
		err = p.shims(body, &a)
	case "part":
		err = p.part(body, &a)
	case "component":
		err = p.component(body, &a)
	default:
		err = p.family(body, &a)
	}
	for _, w := range a.Warnings {
		p.line(w.Text)
	}
	for _, c := range a.Cautions {
		p.line("! " + c.Text)
	}
	p.line(a.Revision)
	return p.String(), err
}

func (a *around) codes() []string {
	codes := make([]string, len(a.Cautions))
	for i, c := range a.Cautions {
		codes[i] = c.Code
	}
	return codes
}

func or(a, b string) string {
	if a == "" {
		return b
	}
	return a
}

func (s *specText) summary() string { return or(s.Converted.Display.Summary, s.Display.Summary) }

// listed is a spec as one line among several.
func (p *page) listed(s *specText) {
	p.line(s.Key + "  " + s.Name + ": " + s.summary())
}

func (p *page) spec(body []byte) error {
	var doc struct {
		Spec specText `json:"spec"`
	}
	err := json.Unmarshal(body, &doc)
	s := &doc.Spec
	p.first(s.Cautions, s.summary())
	p.line(s.Key, s.Name, s.ComponentName, s.FamilyName)
	p.line(s.Source.Title, s.Source.Locator, s.Source.Reviewed)
	return err
}

func (p *page) shims(body []byte, a *around) error {
	var doc struct {
		Shims shimsText `json:"shims"`
	}
	err := json.Unmarshal(body, &doc)
	p.first(a.codes(), doc.Shims.Name)
	p.rungs(doc.Shims.Ladder)
	return err
}

func (p *page) rungs(ladder []rungText) {
	for _, r := range ladder {
		p.line(or(r.Converted.Display, r.Display) + "  " + or(r.SKU, r.Shims))
	}
}

func (p *page) part(body []byte, a *around) error {
	var doc struct {
		Part partText `json:"part"`
	}
	err := json.Unmarshal(body, &doc)
	t := &doc.Part
	size := t.Size
	for _, r := range t.Sizes {
		size = or(size, or(r.Converted.Display, r.Display))
	}
	name := t.SKU + "  " + t.Name
	if size != "" {
		name += ", " + size
	}
	if t.SupersededBy != "" {
		name += " → " + t.SupersededBy
	}
	p.first(a.codes(), name)
	for _, f := range t.Fits {
		p.line(f.FamilyName + ", " + f.ComponentName + "  " + f.Component)
	}
	for _, r := range t.Sizes {
		p.line(r.Shims)
	}
	for _, list := range [][]specText{t.Torques, t.Specs} {
		for i := range list {
			p.listed(&list[i])
		}
	}
	for _, c := range t.Companions {
		p.line("+ " + c.SKU + "  " + c.Name)
	}
	return err
}

func (p *page) component(body []byte, a *around) error {
	var doc struct {
		Key        string      `json:"key"`
		Name       string      `json:"name"`
		FamilyName string      `json:"family_name"`
		Specs      []specText  `json:"specs"`
		Shims      []shimsText `json:"shims"`
		Parts      []struct {
			SKU  string `json:"sku"`
			Name string `json:"name"`
		} `json:"parts"`
	}
	err := json.Unmarshal(body, &doc)
	p.first(a.codes(), doc.FamilyName+", "+doc.Name+"  "+doc.Key)
	for i := range doc.Specs {
		p.listed(&doc.Specs[i])
	}
	for _, s := range doc.Shims {
		p.line(s.Key + "  " + s.Name)
	}
	for _, t := range doc.Parts {
		p.line(t.SKU + "  " + t.Name)
	}
	return err
}

func (p *page) family(body []byte, a *around) error {
	var doc struct {
		Key         string `json:"key"`
		Name        string `json:"name"`
		Description string `json:"description"`
		Components  []struct {
			Key  string `json:"key"`
			Name string `json:"name"`
		} `json:"components"`
	}
	err := json.Unmarshal(body, &doc)
	p.first(a.codes(), doc.Name+"  "+doc.Key)
	p.line(doc.Description)
	for _, c := range doc.Components {
		p.line(c.Key + "  " + c.Name)
	}
	return err
}
