package rim

import "strings"

// Link is one target of the header field Link (RFC 8288). Href is an address as it stands in a URL; an empty Type says
// nothing about the form of the target.
type Link struct{ Href, Rel, Type string }

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
	}
	return Header{"Link", b.String()}
}
