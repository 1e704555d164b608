package catalogue

import (
	"net/http"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// asked is what a look-up asks for.
type asked struct{ keys, skus, components []string }

func (a asked) count() int { return len(a.keys) + len(a.skus) + len(a.components) }

// finder looks things up one after the other.
type finder struct {
	h      Handlers
	r      *rim.Request
	by     narrower
	unit   wire.UnitChoice
	codes  wire.Codes // of the whole answer
	missed int
	items  []Lookup
}

func (h Handlers) lookups(r *rim.Request, ask asked, by narrower, unit wire.UnitChoice) LookupList {
	f := finder{h: h, r: r, by: by, unit: unit, items: make([]Lookup, 0, ask.count())}
	for _, k := range ask.keys {
		f.spec(k)
	}
	for _, s := range ask.skus {
		f.part(s)
	}
	for _, c := range ask.components {
		f.component(c)
	}
	say := func(code string) string { return h.book.Word(r.Lang, code) }
	return LookupList{Items: f.items, Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Warnings: h.said(r, nil),
		Labels:   Labels{Target: say("word_label_aim"), WearLimit: say("word_label_wear"), Source: say("word_label_source")},
		Cautions: h.resolved(&f.codes, r)}
}

// put adds an item with its cautions in order.
func (f *finder) put(w Lookup, mine wire.Codes) {
	f.codes.Add(mine...)
	w.Cautions = f.r.Revision.Defaults.Ordered(append(mine, catalogue.VerifyMaker))
	f.items = append(f.items, w)
}

// nothing adds what was not found; the nearest is sought for the first few only.
func (f *finder) nothing(key string, nearest func(string) (string, bool)) {
	w := Lookup{Asked: key, Found: "nothing", Warnings: f.elsewhere(key)}
	if f.missed++; f.missed <= mostNearest {
		w.Nearest, _ = nearest(key)
	}
	f.put(w, nil)
}

// elsewhere says by which parameter something is known that was asked for by another; nil where nobody knows it.
func (f *finder) elsewhere(asked string) []wire.Note {
	as := ""
	if _, is := f.r.Revision.Entry(spec.Key(asked)); is {
		as = "key"
	} else if _, is := f.r.Revision.PartView(asked); is {
		as = "sku"
	} else if _, is := f.r.Revision.Component(spec.Key(asked)); is && f.r.HTTP.Method != http.MethodPost {
		as = "component"
	}
	if as == "" {
		return nil
	}
	return wire.FromNotes([]note.Note{note.New("known_as", note.Str("asked", asked), note.Str("parameter", as))}, f.r.Lang, f.h.book)
}

func (f *finder) spec(key string) {
	e, ok := f.r.Revision.Entry(spec.Key(key))
	if !ok {
		f.nothing(key, func(k string) (string, bool) { return f.r.Revision.NearestSpec(spec.Key(k)) })
		return
	}
	f.shown(key, e, nil)
}

// shown adds a spec under the key asked for.
func (f *finder) shown(key string, e *catalogue.Entry, mine wire.Codes) {
	w := f.h.show(e.Resolve(f.by.of(f.r.Revision, e.Base.Key)), f.r, f.unit, &mine)
	f.put(Lookup{Asked: key, Found: "spec", Spec: w}, mine)
}

func (f *finder) part(sku string) {
	v, ok := f.r.Revision.PartView(sku)
	if !ok {
		f.nothing(sku, f.r.Revision.NearestSKU)
		return
	}
	var mine wire.Codes
	w := Lookup{Asked: sku, Found: "part", Part: f.h.part(v, f.r, f.by, f.unit, &mine)}
	f.put(w, mine)
}

// component adds every spec of a component; each carries the cautions of the component too.
func (f *finder) component(key string) {
	c, ok := f.r.Revision.Component(spec.Key(key))
	if !ok {
		f.nothing(key, f.nearestComponent)
		return
	}
	for _, e := range c.Specs {
		var mine wire.Codes
		mine.Add(c.Cautions...)
		f.shown(key, e, mine)
	}
}

func (f *finder) nearestComponent(key string) (string, bool) {
	head, tail, _ := strings.Cut(key, "/")
	family, ok := f.r.Revision.Family(head)
	if !ok {
		return "", false
	}
	near, ok := family.NearestComponent(tail)
	if !ok {
		return "", false
	}
	return head + "/" + near, true
}
