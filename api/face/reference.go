package face

import (
	"endfloat/api/reference"
	"endfloat/api/rim"
	"endfloat/openapi"
)

// manual is what the reference page without scripts shows.
type manual struct {
	Notice string
	Page   *reference.Page
}

// Reference answers GET /docs/reference.
//
//	@Summary		The reference page without scripts
//	@Description	Every operation and every shape of the OpenAPI file on one page, for narrow screens, for paper and for readers that run no scripts.
//	@ID				getReference
//	@Tags			service
//	@Produce		html
//	@Success		200	{string}	string
//	@Router			/docs/reference [get]
func (h Handlers) Reference(*rim.Request) (rim.Reply, error) {
	page, err := reference.Read(openapi.JSON())
	if err != nil {
		return rim.Reply{}, err
	}
	return h.pages.render("reference.html", manual{Notice: h.book.Word("en", "verify_with_maker"), Page: page})
}
