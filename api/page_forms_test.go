package api_test

import (
	"encoding/json"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// productPages are addresses that answer as pages of a shop need it.
var productPages = []string{
	"/v1/families/pl-85/components/counter-shaft/specs/key-bolt",
	"/v1/families/pl-85/components/counter-shaft",
	"/v1/parts/PL-SH-110",
	"/v1/lookups?key=pl-85/counter-shaft/key-bolt&sku=PL-SH-110,no-such&component=qb-270/camshaft",
}

var tag = regexp.MustCompile(`<[^>]*>`)

// A fragment shows every value and every caution that the JSON of the same address has, in every language, and nothing
// that runs or that clashes with the page around it.
func TestFragmentsSayWhatTheJSONSays(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, page := range productPages {
		for _, lang := range spec.Languages {
			target := page + map[bool]string{true: "&", false: "?"}[strings.Contains(page, "?")] + "lang=" + lang + "&unit_system=imperial"
			var said any
			fetch(t, h, target, &said)
			w := do(h, "GET", target+"&format=html")
			if w.Code != 200 || w.Header().Get("Content-Type") != "text/html; charset=utf-8" || w.Header().Get("Content-Language") != lang {
				t.Fatalf("%s: %d %v", target, w.Code, w.Header())
			}
			html := w.Body.String()
			text := strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&amp;", "&", "&#43;", "+", "&gt;", ">", "&lt;", "<").Replace(tag.ReplaceAllString(html, ""))
			for _, want := range sentences(said) {
				if !strings.Contains(text, want) {
					t.Errorf("%s: %q is missing in\n%s", target, want, text)
				}
			}
			if strings.Contains(html, "<script") || strings.Contains(html, "style=") || strings.Contains(html, " id=") || strings.Contains(html, "http") {
				t.Errorf("%s: %s", target, html)
			}
			policy := w.Header().Get("Content-Security-Policy")
			if !strings.HasPrefix(policy, "default-src 'none'") || !strings.HasSuffix(policy, "sandbox") || w.Header().Get("X-Content-Type-Options") != "nosniff" {
				t.Errorf("%s: %v", target, w.Header())
			}
		}
	}
}

// sentences are the texts that a page must show: of cautions, and the value of every spec in the unit asked for.
func sentences(v any) (list []string) {
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			list = append(list, sentences(x)...)
		}
	case map[string]any:
		if v["severity"] != nil {
			return []string{v["text"].(string)}
		}
		if display, ok := v["display"].(map[string]any); ok && v["source"] != nil {
			source := display["source"].(string)
			if c, ok := v["converted"].(map[string]any); ok {
				display = c["display"].(map[string]any)
			}
			for _, part := range []string{"band", "target", "wear_limit", "hand", "details"} {
				if s, ok := display[part].(string); ok {
					list = append(list, s)
				}
			}
			return append(list, v["name"].(string), source)
		}
		for _, x := range v {
			list = append(list, sentences(x)...)
		}
	}
	return list
}

func TestTheHandOfAThreadStandsBeforeItsValue(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, lang := range spec.Languages {
		html := do(h, "GET", productPages[0]+"?format=html&lang="+lang).Body.String()
		caution, hand, value := strings.Index(html, "left_hand_thread"), strings.Index(html, "endfloat-hand"), strings.Index(html, "22–26 N·m")
		if caution < 0 || hand < caution || value < hand {
			t.Errorf("%s: %d %d %d\n%s", lang, caution, hand, value, html)
		}
	}
}

// The numbers, the codes of cautions and the identity of a spec are the same as JSON and as JSON-LD.
func TestLinkedDataSaysWhatTheJSONSays(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, page := range productPages {
		w := do(h, "GET", page, "Accept", "application/ld+json")
		var doc any
		if err := json.Unmarshal(w.Body.Bytes(), &doc); err != nil || w.Code != 200 || w.Header().Get("Content-Type") != "application/ld+json" {
			t.Fatalf("%s: %d %v %v", page, w.Code, w.Header(), err)
		}
		if doc.(map[string]any)["@context"] != "https://schema.org" {
			t.Errorf("%s: %s", page, w.Body)
		}
		linked := map[string]map[string]any{}
		walk(doc, func(m map[string]any) {
			if key, ok := m["propertyID"].(string); ok && strings.Contains(key, "/") {
				linked[key] = m
			}
		})
		var plain any
		fetch(t, h, page, &plain)
		specs := 0
		walk(plain, func(m map[string]any) {
			if m["decimals"] == nil || m["source"] == nil || m["ladder"] != nil {
				return
			}
			specs++
			l := linked[m["key"].(string)]
			band, _ := m["band"].(map[string]any)
			var unit any // a unit stands beside a number alone
			if l["value"] != nil || l["minValue"] != nil || l["maxValue"] != nil {
				unit = m["unit"]
			}
			if l == nil || l["name"] != m["name"] || l["minValue"] != band["lower"] || l["maxValue"] != band["upper"] || l["unitText"] != unit {
				t.Errorf("%s: %v is %v", page, m["key"], l)
				return
			}
			var codes []any
			for _, r := range l["valueReference"].([]any) {
				if code := r.(map[string]any)["termCode"]; code != nil {
					codes = append(codes, code)
				}
			}
			if !slices.Equal(codes, m["cautions"].([]any)) {
				t.Errorf("%s: %v warns of %v, not %v", page, m["key"], codes, m["cautions"])
			}
		})
		if specs == 0 {
			t.Errorf("%s: no spec", page)
		}
	}
}

func walk(v any, see func(map[string]any)) {
	switch v := v.(type) {
	case []any:
		for _, x := range v {
			walk(x, see)
		}
	case map[string]any:
		see(v)
		for _, x := range v {
			walk(x, see)
		}
	}
}

func TestWhatBelongsToAnAnswerIsLinked(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	const component = "/v1/families/pl-85/components/counter-shaft"
	form := func(href, word, media string) string {
		return `, <` + href + `format=` + word + `>; rel="alternate"; type="` + media + `"`
	}
	tongues := func(href string, langs ...string) (list string) {
		for _, l := range langs {
			list += `, <` + href + `lang=` + l + `>; rel="alternate"; hreflang="` + l + `"`
		}
		return list
	}
	const up = `; rel="canonical", </v1/families/pl-85>; rel="up"`
	const bolt = component + "/specs/key-bolt?variant=b"
	replayed := component + "?revision=" + rev.Name
	for target, want := range map[string]string{
		component: `<` + component + `>` + up + form(component+"?", "jsonld", "application/ld+json") + form(component+"?", "html", "text/html"),
		component + "?format=html&lang=de&unit=in": `<` + component + `>` + up + form(component+"?lang=de&unit=in&", "json", "application/json") +
			form(component+"?lang=de&unit=in&", "jsonld", "application/ld+json") + tongues(component+"?format=html&unit=in&", "en", "fr", "it", "es"),
		bolt + "&format=jsonld": `<` + bolt + `>; rel="canonical"` + form(bolt+"&", "json", "application/json") + form(bolt+"&", "text", "text/plain") +
			form(bolt+"&", "html", "text/html"),
		component + "/specs/key-bolt": "",
		replayed + "&unit_system=imperial": `<` + replayed + `>` + up + form(replayed+"&unit_system=imperial&", "jsonld", "application/ld+json") +
			form(replayed+"&unit_system=imperial&", "html", "text/html"),
	} {
		if got := do(h, "GET", target).Header().Get("Link"); got != want {
			t.Errorf("%s links\n%s, not\n%s", target, got, want)
		}
	}
}

// What stands in an address is never taken from Host or from what a proxy says, so that no cache can be poisoned.
func TestNoAnswerIsMadeFromTheHost(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, page := range append(productPages, "/v1", "/", "/.well-known/api-catalog", "/.well-known/security.txt") {
		w := do(h, "GET", page, "X-Forwarded-Host", "evil.example", "Host", "evil.example", "Forwarded", "host=evil.example", "X-Original-Url", "/evil")
		if w.Code != http.StatusOK || strings.Contains(w.Body.String(), "evil") || strings.Contains(strings.Join(w.Header()["Link"], ""), "evil") {
			t.Errorf("%s: %d %s", page, w.Code, w.Body)
		}
	}
}

func TestALookUpOfAComponentIsAllItsSpecs(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	type item struct {
		Asked, Found, Nearest string
		Spec                  struct{ Key string }
		Cautions              []string
	}
	var whole struct{ Specs []struct{ Key string } }
	fetch(t, h, "/v1/families/pl-85/components/counter-shaft", &whole)
	var list struct {
		Items    []item
		Cautions []struct{ Code string }
	}
	fetch(t, h, "/v1/lookups?component=pl-85/counter-shaft,pl-85/conter-shaft,no/such&sku=no-such", &list)
	var keys []string
	for _, i := range list.Items {
		if i.Found == "spec" && i.Asked == "pl-85/counter-shaft" {
			keys = append(keys, i.Spec.Key)
		}
		for _, code := range i.Cautions {
			if !slices.ContainsFunc(list.Cautions, func(c struct{ Code string }) bool { return c.Code == code }) {
				t.Errorf("%s is not put into words", code)
			}
		}
		if len(i.Cautions) == 0 || i.Cautions[len(i.Cautions)-1] != catalogue.VerifyMaker {
			t.Errorf("%+v", i)
		}
	}
	if len(keys) != len(whole.Specs) || len(list.Items) != len(keys)+3 {
		t.Fatalf("%d of %d specs, %d items", len(keys), len(whole.Specs), len(list.Items))
	}
	for n, s := range whole.Specs {
		if keys[n] != s.Key {
			t.Errorf("%s stands where %s is", keys[n], s.Key)
		}
	}
	rest := list.Items[len(keys)+1:]
	if list.Items[0].Asked != "no-such" || rest[0].Found != "nothing" || rest[0].Nearest != "pl-85/counter-shaft" || rest[1].Found != "nothing" || rest[1].Nearest != "" {
		t.Errorf("%+v", rest)
	}
	many := strings.Repeat("pl-85/counter-shaft,", 51)
	if w := do(h, "GET", "/v1/lookups?component="+many); w.Code != 400 || !strings.Contains(w.Body.String(), "too_many") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}
