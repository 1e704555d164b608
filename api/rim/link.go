package rim

import (
	"strings"

	"endfloat/service/spec"
)

// Link is one target of the header field Link (RFC 8288). Href is an address as it stands in a URL; an empty Type or
// Lang says nothing about the form or the language of the target.
type Link struct{ Href, Rel, Type, Lang string }

// Links is the header field that names targets, in their order; without any it is empty, and so left out. An address
// that could end its brackets early is left out too: a key of the catalogue never holds such a character.
func Links(list ...Link) Header {
	var b strings.Builder
	for _, l := range list {
		if l.Href == "" || strings.ContainsAny(l.Href, "<>\"\r\n ") {
			continue
		}
		if b.Len() > 0 {
			b.WriteString(", ")
		}
		b.WriteString("<" + l.Href + `>; rel="` + l.Rel + `"`)
		if l.Type != "" {
			b.WriteString(`; type="` + l.Type + `"`)
		}
		if l.Lang != "" {
			b.WriteString(`; hreflang="` + l.Lang + `"`)
		}
	}
	return Header{"Link", b.String()}
}

// longAddress is the longest address whose forms and languages are named: each repeats it, and a proxy takes a few
// kilobytes of header fields.
const longAddress = 250

// Forms are the other forms in which the address of a request can be read, in the language that it names; none of a
// long one.
func (r *Request) Forms() (list []Link) {
	if len(r.HTTP.RequestURI) > longAddress {
		return nil
	}
	for _, media := range r.Route.Media {
		for _, f := range formats {
			if f.media == media && media != r.Media {
				list = append(list, Link{Href: r.with("format", f.word), Rel: "alternate", Type: media})
			}
		}
	}
	return list
}

// Tongues are the other languages in which the address of a request can be read, in the form that it names; none of a
// long one.
func (r *Request) Tongues() (list []Link) {
	if !r.Route.Lang || len(r.HTTP.RequestURI) > longAddress {
		return nil
	}
	for _, l := range spec.Languages {
		if l != r.Lang {
			list = append(list, Link{Href: r.with("lang", l), Rel: "alternate", Lang: l})
		}
	}
	return list
}

// with is the address of a request with another value for one parameter.
func (r *Request) with(name, value string) string {
	var query strings.Builder
	for part := range strings.SplitSeq(r.HTTP.URL.RawQuery, "&") {
		if n, _, _ := strings.Cut(part, "="); n != "" && n != name {
			query.WriteString(part + "&")
		}
	}
	return r.HTTP.URL.EscapedPath() + "?" + query.String() + name + "=" + value
}
