package shimming

import (
	"strings"

	"endfloat/api/wire"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// notes puts notes into words. A sentence calls a spec and a place by their names, the parameters have key and id.
func (s *shower) notes(list []note.Note) []wire.Note {
	out := make([]wire.Note, len(list))
	for i, n := range list {
		out[i] = wire.FromNote(n, s.lang, s.h.book)
		if n.Get("spec") == "" && n.Get("place") == "" {
			continue
		}
		called := note.Note{Code: n.Code}
		for _, p := range n.Params {
			switch p.Name {
			case "spec":
				p.Value = s.called(p.Value)
			case "place":
				p.Value = s.site("", p.Value)
			}
			called.Params = append(called.Params, p)
		}
		out[i].Text = s.h.book.Note(s.lang, called)
	}
	return out
}

// site is what a place of a set is called in the language of the answer, of any set where none is named; its id where it
// has no name or sets call it differently.
func (s *shower) site(set, id string) string {
	called := ""
	for i := range s.in.Sets {
		shims := s.in.Sets[i].Shims
		if set != "" && string(shims.Key) != set {
			continue
		}
		for j := range shims.Places {
			p := &shims.Places[j]
			if name := p.Name.In(s.lang); p.ID == id {
				if name == "" || called != "" && called != name {
					return id
				}
				called = name
			}
		}
	}
	if called == "" {
		return id
	}
	return called
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
