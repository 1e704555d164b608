package face

import (
	"cmp"

	"endfloat/api/rim"
)

// home is what the first page shows.
type home struct {
	Version, Base, Notice string
	Links                 []Link
}

// Home answers GET /.
//
//	@Summary		The first page
//	@Description	What this is, three ways in and where everything is, for people.
//	@ID				getHome
//	@Tags			service
//	@Produce		html
//	@Success		200	{string}	string
//	@Header		200	{string}	Link	"What describes the service (RFC 8631, RFC 9727)"
//	@Router			/ [get]
func (h Handlers) Home(*rim.Request) (rim.Reply, error) {
	page := home{Version: h.settings.Version, Base: cmp.Or(h.settings.PublicURL, "http://127.0.0.1:8080"),
		Notice: h.book.Word("en", "verify_with_maker"), Links: h.links("en")}
	reply, err := h.pages.render("home.html", page)
	reply.Header = append(reply.Header, described)
	return reply, err
}
