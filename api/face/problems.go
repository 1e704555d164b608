package face

import (
	"endfloat/api/problem"
	"endfloat/api/rim"
	"endfloat/service/fault"
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
//	@Param			format	query		string	false	"form of the answer"	Enums(json, html)
//	@Success		200		{object}	ProblemType
//	@Router			/problems/{slug} [get]
func (h Handlers) Problem(r *rim.Request) (rim.Reply, error) {
	slug := r.Param("slug")
	list := "the slugs are"
	for _, c := range problem.Table() {
		if c.Slug == slug {
			return h.problemPage(r, ProblemType{"/problems/" + c.Slug, c.Title, c.Status, c.About})
		}
		list += " " + c.Slug
	}
	return rim.Reply{}, fault.New(fault.NotFound, "unknown_problem", "No problem has the slug "+rim.Quote(slug)+"; "+list+".")
}

func (h Handlers) problemPage(r *rim.Request, p ProblemType) (rim.Reply, error) {
	if r.Media == rim.MediaHTML {
		return h.pages.render("problem.html", p)
	}
	return rim.JSON(p), nil
}
