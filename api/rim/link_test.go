package rim_test

import (
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/api/rim"
	"endfloat/service/spec"
)

// links takes a Link field apart as RFC 8288, appendix B.2, has it, in the forms that its examples use.
func links(field string) (list []rim.Link) {
	for rest := field; ; {
		_, after, found := strings.Cut(rest, "<")
		if !found {
			return list
		}
		href, params, _ := strings.Cut(after, ">")
		l := rim.Link{Href: href}
		rest = params
		for {
			rest = strings.TrimLeft(rest, " \t")
			if !strings.HasPrefix(rest, ";") {
				break
			}
			name, value, _ := strings.Cut(strings.TrimLeft(rest[1:], " \t\r\n"), "=")
			if strings.HasPrefix(value, `"`) {
				value, rest, _ = strings.Cut(value[1:], `"`)
			} else {
				end := strings.IndexAny(value+",", ";, ")
				value, rest = value[:end], value[end:]
			}
			switch name {
			case "rel":
				l.Rel = value
			case "type":
				l.Type = value
			case "hreflang":
				l.Lang = value
			}
		}
		list = append(list, l)
	}
}

// The examples of RFC 8288, section 3.5: our reader of the field must take them, or it proves nothing about ours.
func TestTheReaderOfLinksTakesPublishedExamples(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		field string
		want  []rim.Link
	}{
		{`<http://example.com/TheBook/chapter2>; rel="previous"; title="previous chapter"`, []rim.Link{{Href: "http://example.com/TheBook/chapter2", Rel: "previous"}}},
		{`</>; rel="http://example.net/foo"`, []rim.Link{{Href: "/", Rel: "http://example.net/foo"}}},
		{`</terms>; rel="copyright"; anchor="#foo"`, []rim.Link{{Href: "/terms", Rel: "copyright"}}},
		{`</TheBook/chapter2>; rel="previous"; title*=UTF-8'de'letztes%20Kapitel, </TheBook/chapter4>; rel="next"; title*=UTF-8'de'n%c3%a4chstes%20Kapitel`,
			[]rim.Link{{Href: "/TheBook/chapter2", Rel: "previous"}, {Href: "/TheBook/chapter4", Rel: "next"}}},
		{`<http://example.org/>; rel="start http://example.net/relation/other"`, []rim.Link{{Href: "http://example.org/", Rel: "start http://example.net/relation/other"}}},
	} {
		if diff := cmp.Diff(row.want, links(row.field)); diff != "" {
			t.Errorf("%s (-want +got)\n%s", row.field, diff)
		}
	}
}

func TestLinksAreReadBack(t *testing.T) {
	t.Parallel()
	list := []rim.Link{{Href: "/v1/families/pl-85", Rel: "up"}, {Href: "/v1/x?format=html&lang=de", Rel: "alternate", Type: rim.MediaHTML, Lang: "de"}}
	field := rim.Links(list...)
	if diff := cmp.Diff(list, links(field.Value)); field.Name != "Link" || diff != "" {
		t.Errorf("%s (-want +got)\n%s", field.Value, diff)
	}
	if one := rim.Links(list[0]).Value; one != `</v1/families/pl-85>; rel="up"` {
		t.Error(one)
	}
	for _, bad := range []string{"", "/a>b", "/a\r\nSet-Cookie: x", `/a"b`, "/a b"} {
		if got := rim.Links(rim.Link{Href: bad, Rel: "up"}).Value; got != "" {
			t.Errorf("%q became %q", bad, got)
		}
	}
}

func TestTheOtherFormsAndLanguagesOfAnAddress(t *testing.T) {
	t.Parallel()
	r := &rim.Request{HTTP: httptest.NewRequest("GET", "/v1/x%2Fy?unit=in&lang=fr&q=a%22b", nil), Lang: "fr", Media: rim.MediaHTML,
		Route: &rim.Route{Media: []string{rim.MediaJSON, rim.MediaHTML}, Lang: true}}
	want := []rim.Link{{Href: "/v1/x%2Fy?unit=in&lang=fr&q=a%22b&format=json", Rel: "alternate", Type: rim.MediaJSON}}
	if diff := cmp.Diff(want, r.Forms()); diff != "" {
		t.Errorf("forms (-want +got)\n%s", diff)
	}
	all := r.Tongues()
	if len(all) != len(spec.Languages)-1 || all[1] != (rim.Link{Href: "/v1/x%2Fy?unit=in&q=a%22b&lang=de", Rel: "alternate", Lang: "de"}) {
		t.Errorf("%+v", all)
	}
	r.HTTP = httptest.NewRequest("GET", "/v1/x?q="+strings.Repeat("a", 250), nil)
	if r.Forms() != nil || r.Tongues() != nil {
		t.Errorf("a long address: %v %v", r.Forms(), r.Tongues())
	}
	r.HTTP, r.Route = httptest.NewRequest("GET", "/v1/x", nil), &rim.Route{Media: []string{rim.MediaHTML}}
	if r.Forms() != nil || r.Tongues() != nil {
		t.Errorf("%v %v", r.Forms(), r.Tongues())
	}
}
