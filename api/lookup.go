package api

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"endfloat/api/rim"
	"endfloat/service/spec"
)

// ready serves a look-up whose answer is there already, before anything is routed: it is found by the address and by
// what the headers say as they stand, so that nothing is negotiated twice. Everything else goes to next.
func (s *server) ready(next http.Handler) http.Handler {
	counts := s.deps.Limiter.CountsLookUps()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if counts && !s.admit(w, r) {
			return
		}
		if (r.Method == http.MethodGet || r.Method == http.MethodHead) && r.Header["Authorization"] == nil {
			if accept, tongue, short := asked(r); short {
				began := time.Now()
				if page := s.current().pages.Get(r.RequestURI, accept, tongue); page != nil {
					s.watch.ready(r, page.Route, page.Serve(w, r), began)
					return
				}
			}
		}
		next.ServeHTTP(w, r)
	})
}

// lookUp answers a GET whose answer is not ready. Answers that came out the same are one. It returns the name of the
// problem, if the answer is one.
func (s *server) lookUp(c *gin.Context, route *rim.Route) (id string) {
	now, r := s.current(), c.Request
	s.suspect(r)
	if _, err := s.key(r); err != nil {
		return s.fail(c.Writer, r, err)
	}
	page, err := s.page(c, route, now)
	if err != nil {
		return s.fail(c.Writer, r, err)
	}
	if accept, tongue, short := asked(r); short && !route.Volatile {
		now.pages.Alias(r.RequestURI, accept, tongue, page)
	}
	page.Serve(c.Writer, r)
	return ""
}

// longHeader is the longest header field that a ready answer is kept under.
const longHeader = 160

// asked are the two header fields that choose a form and a language; ok is false where they stand more than once or
// are long.
func asked(r *http.Request) (accept, tongue string, ok bool) {
	a, t := r.Header["Accept"], r.Header["Accept-Language"]
	if len(a) > 1 || len(t) > 1 {
		return "", "", false
	}
	if len(a) == 1 {
		accept = a[0]
	}
	if len(t) == 1 {
		tongue = t[0]
	}
	return accept, tongue, len(accept) <= longHeader && len(tongue) <= longHeader
}

// page is the answer to a look-up, made anew where none is ready.
func (s *server) page(c *gin.Context, route *rim.Route, now *held) (*rim.Page, error) {
	req, err := s.request(c, route, now, "")
	if err != nil {
		return nil, err
	}
	if !route.Volatile {
		if page := now.pages.Get(c.Request.RequestURI, req.Media, req.Lang); page != nil {
			return page, nil
		}
	}
	reply, err := route.Handle(req)
	if err != nil {
		return nil, err
	}
	body, err := encode(reply, nil)
	if err != nil {
		return nil, err
	}
	page := rim.PageOf(s.coding(route, req.Media), body, identity(route, req), fields(route, req, reply)...)
	page.Route = route
	if !route.Volatile {
		now.pages.Put(c.Request.RequestURI, req.Media, req.Lang, page)
	}
	return page, nil
}

// coding is how the answers of an address are compressed, in one of its forms.
func (s *server) coding(route *rim.Route, media string) rim.Coding {
	switch {
	case route.Brief || route.Volatile:
		return rim.Coding{}
	case media == rim.MediaJS:
		return rim.Coding{Packer: s.kept, Above: rim.CompressibleScript}
	}
	return rim.Coding{Packer: s.kept, Above: rim.Compressible}
}

// identity is what the tag of an answer changes with, beside its bytes.
func identity(route *rim.Route, req *rim.Request) string {
	if route.Class == rim.Static {
		return req.Media + " " + req.Lang + " " + route.Path
	}
	url := req.HTTP.URL
	return strings.Join([]string{req.Revision.Name, spec.Rules, req.Media, req.Lang, url.Path, url.RawQuery}, "\n")
}

// fields are the header fields of a look-up; one without a value is left out.
func fields(route *rim.Route, req *rim.Request, reply rim.Reply) []rim.Header {
	list := append(guards(req.Media), []rim.Header{
		{Name: "Content-Type", Value: contentType(req.Media)},
		{Name: "Cache-Control", Value: cacheControl(route, req)},
		{Name: "Access-Control-Allow-Origin", Value: "*"},
		{Name: "Vary", Value: vary(route, req)},
		{Name: "Access-Control-Expose-Headers", Value: exposedHere},
	}...)
	if route.Class != rim.Static {
		list = append(list, rim.Header{Name: "Catalogue-Revision", Value: req.Revision.Name})
	}
	if route.Lang {
		list = append(list, rim.Header{Name: "Content-Language", Value: req.Lang})
	}
	return append(list, reply.Header...)
}

func vary(route *rim.Route, req *rim.Request) string {
	var by []string
	if len(route.Media) > 1 && req.One("format") == "" {
		by = append(by, "Accept")
	}
	if route.Lang && req.One("lang") == "" {
		by = append(by, "Accept-Language")
	}
	return strings.Join(by, ", ")
}

func cacheControl(route *rim.Route, req *rim.Request) string {
	switch {
	case slices.Contains(route.Query, "revision") && req.One("revision") != "":
		return "public, max-age=86400, stale-while-revalidate=300, stale-if-error=86400"
	case route.Volatile:
		return "no-store"
	}
	return "public, max-age=60, stale-while-revalidate=300, stale-if-error=86400"
}
