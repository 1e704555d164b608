package face

import (
	"slices"
	"strings"

	"endfloat/api/problem"
	"endfloat/api/rim"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// ProblemType explains one kind of problem.
type ProblemType struct {
	Type   string `json:"type" example:"/problems/values-not-accepted"`
	Title  string `json:"title" example:"The values cannot be accepted"`
	Status int    `json:"status" example:"422"`
	About  string `json:"about" example:"Every fault is listed with its place, what was found and what to send instead."`
} //@name ProblemType

// Problem answers GET /problems/{slug}.
//
//	@Summary		What a problem means
//	@Description	The page behind the type of a problem document (RFC 9457).
//	@ID				getProblemType
//	@Tags			service
//	@Produce		json,html
//	@Param			slug	path		string	true	"last part of the type of a problem"
//	@Param			lang	query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format	query		string	false	"form of the answer"	Enums(json, html)
//	@Success		200		{object}	ProblemType
//	@Header		200		{string}	Link	"Its other forms and languages (RFC 8288)"
//	@Router			/problems/{slug} [get]
func (h Handlers) Problem(r *rim.Request) (rim.Reply, error) {
	slug := r.Param("slug")
	var slugs []string
	for _, c := range problem.Table() {
		if c.Slug == slug {
			return h.problemPage(r, c)
		}
		slugs = append(slugs, c.Slug)
	}
	return rim.Reply{}, fault.New(fault.NotFound, "unknown_problem", note.New("found_no_problem_slug_slugs", note.Str("slug", rim.Quote(slug)), note.Str("list", strings.Join(slugs, " "))))
}

// explained is the page of a problem: what it explains and the words around it, in one language.
type explained struct {
	ProblemType

	Lang                            string
	Problem, Named, Index, Docs, In string
	Languages                       []tongue
}

// tongue is a language that a page can be read in; the address is empty for that of the page itself.
type tongue struct{ Lang, Name, Href string }

func (h Handlers) problemPage(r *rim.Request, c problem.Class) (rim.Reply, error) {
	v := problem.Voice{Book: h.book, Lang: r.Lang}
	p := ProblemType{"/problems/" + c.Slug, c.Title(v), c.Status, c.About(v)}
	if r.Media != rim.MediaHTML {
		return rim.Reply{Value: p, Header: []rim.Header{rim.Links(slices.Concat(r.Forms(), r.Tongues())...)}}, nil
	}
	word := func(code string) string { return h.book.Word(r.Lang, code) }
	reply, err := h.pages.render("problem.html", explained{ProblemType: p, Lang: r.Lang, Problem: word("word_problem"), Named: word("word_problem_page"),
		Index: word("link_index"), Docs: word("link_docs"), In: word("word_languages"), Languages: tongues(r.Lang, p.Type)})
	reply.Header = append(reply.Header, rim.Links(slices.Concat(r.Forms(), r.Tongues())...))
	return reply, err
}

// tongues are the languages of an address, each by its own name.
func tongues(own, href string) []tongue {
	names := map[string]string{"en": "English", "de": "Deutsch", "fr": "Français", "it": "Italiano", "es": "Español"}
	list := make([]tongue, 0, len(spec.Languages))
	for _, l := range spec.Languages {
		t := tongue{l, names[l], href + "?lang=" + l}
		if l == own {
			t.Href = ""
		}
		list = append(list, t)
	}
	return list
}
