// Package catalogue answers what is allowed: families, components, specs, shims and parts.
//
// It decides how the read model is shown and how a query narrows it. It refuses to know how readings are judged.
//
//	look := catalogue.New(book, source, "https://limits.example")
//	reply, err := look.Spec(request) // the spec in the path, for the engine in the query
package catalogue

import (
	"strings"

	"endfloat/api/fragment"
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Handlers answer look-ups. They are safe for concurrent use.
type Handlers struct {
	book    *text.Book
	source  catalogue.Source
	drawing *fragment.Drawing
	base    string // where the service is reached; empty: addresses stay relative
}

// New makes the handlers. public is where the service is reached, without a slash at the end; empty where nobody said.
func New(book *text.Book, source catalogue.Source, public string) Handlers {
	return Handlers{book, source, fragment.New(), public}
}

// family is the family in the path.
func family(r *rim.Request) (*catalogue.Family, error) {
	key := r.Param("family")
	if f, ok := r.Revision.Family(key); ok {
		return f, nil
	}
	near, _ := r.Revision.NearestFamily(key)
	return nil, wire.Missing("unknown_family", note.New("absent_family", note.Str("key", rim.Quote(key)), note.Str("address", "/v1/families")), near)
}

// component is the component in the path with its family.
func component(r *rim.Request) (*catalogue.Family, *catalogue.Component, error) {
	f, err := family(r)
	if err != nil {
		return nil, nil, err
	}
	key := f.Key + "/" + r.Param("component")
	if c, ok := r.Revision.Component(spec.Key(key)); ok {
		return f, c, nil
	}
	near, ok := f.NearestComponent(r.Param("component"))
	if ok {
		near = f.Key + "/" + near
	}
	return nil, nil, wire.Missing("unknown_component", note.New("absent_component", note.Str("key", rim.Quote(key)), note.Str("address", familyHref(f.Key))), near)
}

func familyHref(key string) string { return "/v1/families/" + key }

func componentHref(family, component string) string {
	return familyHref(family) + "/components/" + component
}

// system is the choice of units that unit_system asks for; nil where it is not there.
func system(r *rim.Request) (wire.UnitChoice, error) {
	word := r.One("unit_system")
	if word == "" {
		return nil, nil
	}
	if choice := wire.System(word); choice != nil {
		return choice, nil
	}
	return nil, badWord("unit_system", word, wire.Systems()...)
}

// units is the choice of units for specs of several kinds: that of the system asked for, or the unit asked for where a
// spec is in a unit of its kind.
func units(r *rim.Request) (wire.UnitChoice, error) {
	word := r.One("unit")
	if word == "" {
		return system(r)
	}
	u, err := unitOf(r, word)
	if err != nil {
		return nil, err
	}
	return func(own quantity.Unit) quantity.Unit {
		if own.Kind() == u.Kind() && own.Kind() != quantity.Other {
			return u
		}
		return own
	}, nil
}

// unitFor is the choice of units for one spec: the unit asked for, which must measure what the spec limits, or that of
// the system asked for.
func unitFor(r *rim.Request, own quantity.Unit) (wire.UnitChoice, error) {
	choice, err := units(r)
	if word := r.One("unit"); word != "" && err == nil {
		var bad fault.List
		if _, ok := wire.Unit(word, own, wire.Query("unit"), &bad); !ok {
			return nil, firstFault("unit", bad)
		}
	}
	return choice, err
}

// unitOf reads the parameter unit, which does not stand beside unit_system.
func unitOf(r *rim.Request, word string) (quantity.Unit, error) {
	if r.One("unit_system") != "" {
		return "", rim.BadParameter("unit_system", "bad_parameter", note.New("found_unit_says_already_unit"), note.New("fix_send_one_unit_unit"))
	}
	var bad fault.List
	u, ok := wire.AnyUnit(word, wire.Query("unit"), &bad)
	if !ok {
		return "", firstFault("unit", bad)
	}
	return u, nil
}

func firstFault(name string, bad fault.List) error {
	v, _ := bad.First()
	return rim.BadParameter(name, v.Code, v.Detail, v.Fix)
}

func badWord(name, word string, words ...string) error {
	return rim.BadParameter(name, "bad_parameter", note.New("found_none_words_takes", note.Str("word", rim.Quote(word)), note.Str("name", name)), note.New("fix_send_one_of", note.Str("list", strings.Join(words, ", "))))
}

// said is what an answer says beside what it shows: what an engine number left open, and that the revision should no
// longer be used.
func (h Handlers) said(r *rim.Request, open []note.Note) []wire.Note {
	if r.Revision.Withdrawn {
		open = append(open, note.New("revision_withdrawn", note.Str("revision", r.Revision.Name), note.Str("reason", r.Revision.WithdrawnReason.In(r.Lang))))
	}
	return wire.FromNotes(open, r.Lang, h.book)
}

// resolved is the dictionary of an answer; every answer asks to be checked against the maker's manual.
func (h Handlers) resolved(c *wire.Codes, r *rim.Request) []wire.Caution {
	c.Add(catalogue.VerifyMaker)
	return wire.Resolved(*c, r.Lang, h.book, r.Revision.Defaults)
}
