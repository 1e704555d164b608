package shimming

import (
	"slices"
	"strings"

	"endfloat/api/wire"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// notes puts notes into words. A sentence calls a spec and a place by their names, the parameters have key and id; with
// several sets it names the one that it is about.
func (s *shower) notes(list []note.Note) []wire.Note {
	out := make([]wire.Note, len(list))
	for i, n := range list {
		out[i] = wire.FromNote(n, s.lang, s.h.book)
		set := n.Get("shims")
		if n.Get("spec") == "" && set == "" {
			continue
		}
		called := note.Note{Code: n.Code, Params: slices.Clone(n.Params)}
		for at := range called.Params {
			switch p := &called.Params[at]; p.Name {
			case "spec":
				p.Value = s.called(p.Value)
			case "place":
				p.Value = s.spot(set, p.Value)
			}
		}
		out[i].Text = s.h.book.Note(s.lang, called)
		if s.several && set != "" && n.Get("place") == "" {
			out[i].Text = s.setName(set) + s.say("word_colon") + out[i].Text
		}
	}
	return out
}

// shims is the set with that key, of any set where there is one only; nil where there is none.
func (s *shower) shims(key string) *spec.ShimSet {
	for i := range s.in.Sets {
		if z := s.in.Sets[i].Shims; string(z.Key) == key || !s.several {
			return z
		}
	}
	return nil
}

// site is what a place of a set is called in the language of the answer; its id where it has no name.
func (s *shower) site(set, id string) string {
	z := s.shims(set)
	if z == nil {
		return id
	}
	for i := range z.Places {
		if p := &z.Places[i]; p.ID == id && p.Name.In(s.lang) != "" {
			return p.Name.In(s.lang)
		}
	}
	return id
}

// spot is a place by its name, with several sets beside that of its set; the name of a set with one place stands for it.
func (s *shower) spot(set, id string) string {
	z := s.shims(set)
	switch {
	case !s.several || z == nil:
		return s.site(set, id)
	case len(z.Places) == 1 && z.Name.In(s.lang) != "":
		return s.setName(set)
	}
	return s.setName(set) + " " + s.site(set, id)
}

// setName is what a set is called in the language of the answer; the last part of its key where it has no name.
func (s *shower) setName(key string) string {
	if z := s.shims(key); z != nil && z.Name.In(s.lang) != "" {
		return z.Name.In(s.lang)
	}
	return key[strings.LastIndex(key, "/")+1:]
}

// name is what a spec is called in the language of the answer; empty where it has no name.
func (s *shower) name(key string) string {
	for i := range s.in.Measured {
		if z := s.in.Measured[i].Check.Spec; key != "" && string(z.Key) == key {
			return z.Name.In(s.lang)
		}
	}
	if e, known := s.rev.Entry(spec.Key(key)); known {
		return e.Base.Name.In(s.lang)
	}
	return ""
}

// called is the name of a spec; the last part of its key where it has none.
func (s *shower) called(key string) string {
	if name := s.name(key); name != "" {
		return name
	}
	return strings.ReplaceAll(key[strings.LastIndex(key, "/")+1:], "-", " ")
}
