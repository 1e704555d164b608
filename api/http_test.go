package api_test

import (
	"bytes"
	"net/http"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/api/rim"
	"endfloat/api/text"
)

// concrete is the address of a route with keys that exist in the demo.
func concrete(path string) string {
	return strings.NewReplacer(":family", "pl-85", ":component", "counter-shaft", ":spec", "axial-play", ":shims", "stack-shims",
		":slug", "not-now", ":sku", "PL-SH-100").Replace(path)
}

// lookUps are the addresses of every GET route that answers without a query.
func lookUps(t *testing.T) (routes []rim.Route) {
	t.Helper()
	for _, r := range api.Routes(text.New(), api.Deps{Version: "test"}, api.Config{}) {
		if r.Method == http.MethodGet && !strings.ContainsAny(concrete(r.Path), ":*") && !needsQuery[r.Path] {
			routes = append(routes, r)
		}
	}
	if len(routes) < 10 {
		t.Fatalf("only %d routes", len(routes))
	}
	return routes
}

// needsQuery are routes that ask for a parameter.
var needsQuery = map[string]bool{
	"/v1/families/:family/components/:component/specs/:spec/verdict": true,
	"/v1/lookups":           true,
	"/v1/identifications":   true,
	"/v1/catalogue/changes": true,
}

func TestHeadEqualsGetAndTagsHold(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, route := range lookUps(t) {
		for _, media := range route.Media {
			target := concrete(route.Path)
			get := do(h, "GET", target, "Accept", media)
			head := do(h, "HEAD", target, "Accept", media)
			if get.Code != 200 || head.Code != 200 {
				t.Fatalf("%s: GET %d HEAD %d %s", target, get.Code, head.Code, get.Body)
			}
			if !strings.HasPrefix(get.Header().Get("Content-Type"), media) {
				t.Errorf("%s as %s is %s", target, media, get.Header().Get("Content-Type"))
			}
			for name := range get.Header() {
				if g, h := get.Header().Get(name), head.Header().Get(name); g != h {
					t.Errorf("%s: %s is %q for GET and %q for HEAD", target, name, g, h)
				}
			}
			tag := get.Header().Get("ETag")
			again := do(h, "GET", target, "Accept", media, "If-None-Match", `"other", W/`+tag)
			if again.Code != 304 || again.Body.Len() != 0 || again.Header().Get("ETag") != tag || again.Header().Get("Vary") != get.Header().Get("Vary") {
				t.Errorf("%s: %d %v", target, again.Code, again.Header())
			}
			if star := do(h, "GET", target, "Accept", media, "If-None-Match", "*"); star.Code != 304 {
				t.Errorf("%s: star is %d", target, star.Code)
			}
			if get.Header().Get("Access-Control-Allow-Origin") != "*" {
				t.Errorf("%s: no CORS", target)
			}
		}
	}
}

func TestTheSecondAnswerIsTheFirst(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	fresh, _ := demo(t)
	for _, route := range lookUps(t) {
		target := concrete(route.Path)
		first, second, other := do(h, "GET", target), do(h, "GET", target), do(fresh, "GET", target)
		if !bytes.Equal(first.Body.Bytes(), second.Body.Bytes()) || !bytes.Equal(first.Body.Bytes(), other.Body.Bytes()) ||
			first.Header().Get("ETag") != other.Header().Get("ETag") {
			t.Errorf("%s differs between two answers", target)
		}
	}
}

func TestTagsChangeWithWhatIsAsked(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const at = "/v1/families/pl-85/components/counter-shaft/specs/axial-play"
	seen := map[string]string{}
	for _, row := range []struct{ target, accept, lang string }{
		{at, "", ""}, {at + "?unit=in", "", ""}, {at + "?unit=thou", "", ""}, {at, "text/plain", ""}, {at, "", "fr"}, {at + "?lang=it", "", ""}, {at + "?variant=a", "", ""},
	} {
		w := do(h, "GET", row.target, "Accept", row.accept, "Accept-Language", row.lang)
		tag := w.Header().Get("ETag")
		if before, twice := seen[tag]; twice || w.Code != 200 {
			t.Errorf("%v (%d) has the tag of %s", row, w.Code, before)
		}
		seen[tag] = row.target + row.accept + row.lang
	}
}

func TestVaryNamesWhatWasNegotiated(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	const at = "/v1/families/pl-85/components/counter-shaft/specs/axial-play"
	for query, want := range map[string]string{"": "Accept, Accept-Language", "?format=json": "Accept-Language", "?lang=de": "Accept", "?lang=de&format=text": ""} {
		if got := do(h, "GET", at+query).Header().Get("Vary"); got != want {
			t.Errorf("%q varies by %q, want %q", query, got, want)
		}
	}
	named := do(h, "GET", at+"?revision="+rev.Name).Header().Get("Cache-Control")
	if !strings.Contains(named, "max-age=86400") {
		t.Errorf("an address that names its revision has %q", named)
	}
	if plain := do(h, "GET", at).Header().Get("Cache-Control"); plain != "public, max-age=60, stale-while-revalidate=300, stale-if-error=86400" {
		t.Errorf("Cache-Control is %q", plain)
	}
}

func TestLookUpsStayWithinEightHeaderFields(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	w := do(h, "GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-play")
	n := len(w.Header())
	if w.Header().Get("Content-Length") != "" {
		n--
	}
	if n > 8 {
		t.Errorf("%d: %v", n, w.Header())
	}
}

// A script in a browser may read what an answer says beside its body, in every form.
func TestEveryFormShowsItsFieldsToScripts(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, form := range []string{"json", "text", "jsonld", "html"} {
		got := do(h, "GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-play?format="+form).Header()
		if exposed := got.Get("Access-Control-Expose-Headers"); got.Get("Access-Control-Allow-Origin") != "*" || exposed != "Catalogue-Revision, ETag, Link" {
			t.Errorf("%s shows %q", form, exposed)
		}
	}
}

func TestEveryLinkOfTheIndexLeadsSomewhere(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	var index struct {
		Links []struct {
			Rel, Method, Href, Title string
			Templated                bool
		}
	}
	fetch(t, h, "/v1", &index)
	linked := map[string]bool{}
	for _, l := range index.Links {
		path := strings.NewReplacer("{", ":", "}", "").Replace(l.Href)
		linked[l.Method+" "+path] = true
		if l.Title == "" || strings.HasPrefix(l.Title, "link_") || l.Templated != strings.Contains(l.Href, "{") {
			t.Errorf("%+v", l)
		}
		if w := do(h, "OPTIONS", concrete(path)); w.Code != 204 || !strings.Contains(w.Header().Get("Allow"), l.Method) {
			t.Errorf("%s %s leads nowhere: %d %s", l.Method, l.Href, w.Code, w.Header().Get("Allow"))
		}
	}
	for _, r := range api.Routes(text.New(), api.Deps{}, api.Config{}) {
		if !linked[r.Method+" "+r.Path] && r.Path != "/" && r.Path != "/docs/:file" {
			t.Errorf("GET /v1 does not name %s %s", r.Method, r.Path)
		}
	}
}

func TestHeadOfAProblemHasTheFieldsOfGet(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, target := range []string{"/v1/nope", "/v1/evaluations", "/v1/families/nope"} {
		get, head := do(h, "GET", target), do(h, "HEAD", target)
		if head.Code != get.Code || head.Body.Len() != 0 {
			t.Errorf("%s: HEAD says %d with %d bytes, GET %d", target, head.Code, head.Body.Len(), get.Code)
		}
		if got := head.Header().Get("Content-Type"); got != "application/problem+json" {
			t.Errorf("%s: the media type of HEAD is %q", target, got)
		}
	}
}

func TestAProblemWithoutFaultsHasNoListInAnyLanguage(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, lang := range []string{"en", "de", "fr", "it", "es"} {
		if body := do(h, "GET", "/v1/families/nope?lang="+lang).Body.Bytes(); bytes.Contains(body, []byte(`"errors"`)) {
			t.Errorf("%s: %s", lang, body)
		}
	}
}
