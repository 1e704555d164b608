package catalogue

import (
	"cmp"
	"slices"
	"strings"

	"endfloat/api/fragment"
	"endfloat/api/linked"
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
)

// shown is an answer in the forms of a product page: as JSON, as a fragment of HTML and in the vocabulary of schema.org.
type shown struct {
	answer   any
	cautions []wire.Caution
	warnings []wire.Note
	groups   func() []fragment.Group
	linked   func(linked.Said) linked.Thing
	links    []rim.Link // to what belongs to it
}

// reply is the answer in the form asked for. What a browser shows names the address that is the same for all forms, and
// its other forms and languages; a single spec as JSON or text, of which most look-ups are, stays without a Link.
func (h Handlers) reply(r *rim.Request, s shown) (rim.Reply, error) {
	list := slices.Concat([]rim.Link{{Href: canonical(r), Rel: "canonical"}}, s.links, r.Forms())
	if r.Media == rim.MediaHTML {
		list = append(list, r.Tongues()...)
	}
	links := rim.Links(list...)
	switch r.Media {
	case rim.MediaHTML:
		html, err := h.drawing.HTML(h.fragment(r, s))
		return rim.Reply{Bytes: html, Header: []rim.Header{links, {Name: "Content-Security-Policy", Value: fragment.Policy}}}, err
	case rim.MediaJSONLD:
		body, err := linked.Encode(s.linked(h.around(r, s.cautions)))
		return rim.Reply{Bytes: body, Header: []rim.Header{links}}, err
	}
	reply := rim.JSON(s.answer)
	if len(s.links) > 0 {
		reply.Header = []rim.Header{links}
	}
	return reply, nil
}

// canonical is the address of what is shown without what only chooses how.
func canonical(r *rim.Request) string {
	var kept []string
	for part := range strings.SplitSeq(r.HTTP.URL.RawQuery, "&") {
		name, _, _ := strings.Cut(part, "=")
		switch name {
		case "", "format", "lang", "unit", "unit_system":
		default:
			kept = append(kept, part)
		}
	}
	path := r.HTTP.URL.EscapedPath()
	if len(kept) > 0 {
		path += "?" + strings.Join(kept, "&")
	}
	return path
}

func (h Handlers) fragment(r *rim.Request, s shown) fragment.Fragment {
	say := func(code string) string { return h.book.Word(r.Lang, code) }
	f := fragment.Fragment{Lang: r.Lang, Revision: r.Revision.Name, Groups: s.groups(), Labels: fragment.Labels{Aim: say("word_label_aim"),
		Wear: say("word_label_wear"), Details: say("word_label_details"), Source: say("word_label_source"), Parts: say("word_label_parts")}}
	for _, c := range s.cautions {
		f.Cautions = append(f.Cautions, fragment.Caution(c))
	}
	for _, w := range s.warnings {
		f.Warnings = append(f.Warnings, w.Text)
	}
	return f
}

func (h Handlers) around(r *rim.Request, cautions []wire.Caution) linked.Said {
	say := func(code string) string { return h.book.Word(r.Lang, code) }
	return linked.Said{Base: h.base, Revision: r.Revision.Name, Cautions: cautions, Aim: say("word_label_aim"), Wear: say("word_label_wear"),
		Converted: say("word_label_converted"), Alternative: say("word_label_instead"), Always: catalogue.VerifyMaker}
}

// drawn is specs as a fragment shows them: in the unit asked for, which then says what it was converted from.
func drawn(list ...wire.Spec) []fragment.Spec {
	out := make([]fragment.Spec, 0, len(list))
	for _, s := range list {
		d := s.Display
		if s.Converted.Unit != "" {
			d = s.Converted.Display
		}
		w := fragment.Spec{Key: s.Key, Name: s.Name, About: s.FamilyName + " · " + s.ComponentName, Hand: d.Hand, Value: cmp.Or(d.Band, d.WearLimit, d.Target),
			Details: d.Details, Source: titled(s.Display.Source, s.Source), Cautions: strings.Join(s.Cautions, " ")}
		if d.Target != w.Value {
			w.Aim = d.Target
		}
		w.Wear = d.WearLimit
		for _, a := range s.Alternatives {
			w.Alternatives = append(w.Alternatives, fragment.Alternative{Name: a.Name, Text: summary(a.Display, a.Converted)})
		}
		out = append(out, w)
	}
	return out
}

// titled is the class of a source with its title and place.
func titled(class string, s wire.Source) string {
	for _, more := range []string{s.Title, s.Locator, s.Reviewed} {
		if more != "" {
			class += " · " + more
		}
	}
	return class
}

func (h Handlers) say(r *rim.Request, code string, params ...note.Param) string {
	return h.book.Note(r.Lang, note.New(code, params...))
}

// spec is one spec in all its forms.
func (a SpecAnswer) shown() shown {
	return shown{answer: a, cautions: a.Cautions, warnings: a.Warnings,
		groups: func() []fragment.Group { return []fragment.Group{{Key: a.Spec.Key, Specs: drawn(a.Spec)}} },
		linked: func(s linked.Said) linked.Thing { return linked.Document(linked.Property(a.Spec, s)) }}
}

func (h Handlers) shownComponent(r *rim.Request, c Component) shown {
	return shown{answer: c, cautions: c.Cautions, warnings: c.Warnings,
		groups: func() []fragment.Group {
			g := fragment.Group{Key: c.Key, Name: c.Name, About: c.FamilyName, Specs: drawn(c.Specs...)}
			for _, p := range c.Parts {
				g.Parts = append(g.Parts, h.drawnPart(r, p))
			}
			return []fragment.Group{g}
		},
		linked: func(s linked.Said) linked.Thing {
			return linked.Document(linked.Model(c.Href, c.FamilyName+" · "+c.Name, c.Specs, s))
		},
		links: []rim.Link{{Href: familyHref(strings.SplitN(c.Key, "/", 2)[0]), Rel: "up"}}}
}

func (h Handlers) drawnPart(r *rim.Request, p Part) fragment.Part {
	var about []string
	if p.Quantity > 0 {
		about = append(about, h.say(r, "word_times", note.Count("count", p.Quantity)))
	}
	for _, s := range []string{p.Size, p.Position} {
		if s != "" {
			about = append(about, s)
		}
	}
	if p.Renew {
		about = append(about, h.say(r, "word_renew_always"))
	}
	if p.SupersededBy != "" {
		about = append(about, h.say(r, "word_superseded_by", note.Str("sku", p.SupersededBy)))
	}
	return fragment.Part{SKU: p.SKU, Name: p.Name, About: strings.Join(about, ", ")}
}

func (h Handlers) shownPart(r *rim.Request, a PartAnswer) shown {
	return shown{answer: a, cautions: a.Cautions, warnings: a.Warnings,
		groups: func() []fragment.Group { return []fragment.Group{h.partGroup(r, a.Part)} },
		linked: func(s linked.Said) linked.Thing { return linked.Document(product(a.Part, s)) }}
}

func (h Handlers) partGroup(r *rim.Request, p PartView) fragment.Group {
	g := fragment.Group{Key: p.SKU, Name: p.Name, About: p.SKU, Specs: drawn(slices.Concat(p.Specs, p.Torques)...)}
	if p.SupersededBy != "" {
		g.About += ", " + h.say(r, "word_superseded_by", note.Str("sku", p.SupersededBy))
	}
	for i, s := range p.Sizes {
		if i == 0 || s.Display != p.Sizes[i-1].Display {
			g.About += " · " + s.Display
			if c := s.Converted.Display; c != "" {
				g.About += " (" + c + ")"
			}
		}
	}
	for _, c := range p.Companions {
		g.Parts = append(g.Parts, fragment.Part{SKU: c.SKU, Name: c.Name})
	}
	return g
}

func product(p PartView, s linked.Said) linked.Thing {
	return linked.Part(p.Href, p.SKU, p.Name, slices.Concat(p.Specs, p.Torques), s)
}

func (h Handlers) shownLookups(r *rim.Request, list LookupList) shown {
	return shown{answer: list, cautions: list.Cautions, warnings: list.Warnings,
		groups: func() []fragment.Group {
			groups := make([]fragment.Group, 0, len(list.Items))
			for _, i := range list.Items {
				switch i.Found {
				case "spec":
					groups = append(groups, fragment.Group{Key: i.Asked, Specs: drawn(i.Spec)})
				case "part":
					groups = append(groups, h.partGroup(r, i.Part))
				default:
					groups = append(groups, fragment.Group{Key: i.Asked, Nothing: h.say(r, "word_nothing_found", note.Str("asked", i.Asked))})
				}
			}
			return groups
		},
		linked: func(s linked.Said) linked.Thing {
			things := []linked.Thing{}
			for _, i := range list.Items {
				switch i.Found {
				case "spec":
					things = append(things, linked.Property(i.Spec, s))
				case "part":
					things = append(things, product(i.Part, s))
				}
			}
			return linked.Documents(things)
		}}
}
