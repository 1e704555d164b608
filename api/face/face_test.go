package face_test

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"endfloat/api/face"
	"endfloat/api/problem"
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// one is a source that holds a single revision.
type one struct{ rev *catalogue.Revision }

func (o one) Current() *catalogue.Revision               { return o.rev }
func (o one) At(name string) (*catalogue.Revision, bool) { return o.rev, name == o.rev.Name }
func (o one) Held() []string                             { return []string{o.rev.Name} }
func handlers(t *testing.T, s face.Settings) face.Handlers {
	t.Helper()
	return face.New(text.New(), one{empty(t)}, s)
}
func ask(t *testing.T, media, slug string) *rim.Request {
	t.Helper()
	return askIn(t, media, slug, "en")
}

func askIn(t *testing.T, media, slug, lang string) *rim.Request {
	t.Helper()
	return &rim.Request{HTTP: httptest.NewRequest("GET", "/problems/x", nil), Route: &rim.Route{Media: []string{rim.MediaJSON, rim.MediaHTML}, Lang: true},
		Media: media, Lang: lang, Revision: empty(t), Param: func(string) string { return slug }}
}

func empty(t *testing.T) *catalogue.Revision {
	t.Helper()
	rev, err := catalogue.New("r-test", "2026-11-01", nil, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	return rev
}

func field(r rim.Reply, name string) string {
	for _, h := range r.Header {
		if h.Name == name {
			return h.Value
		}
	}
	return ""
}

func TestPagesRunUnderTheirOwnPolicy(t *testing.T) {
	t.Parallel()
	h := handlers(t, face.Settings{PublicURL: "https://limits.example"})
	home, err := h.Home(ask(t, rim.MediaHTML, ""))
	if err != nil {
		t.Fatal(err)
	}
	about, err := h.Problem(ask(t, rim.MediaHTML, "not-now"))
	if err != nil {
		t.Fatal(err)
	}
	style := regexp.MustCompile(`(?s)<style>(.*?)</style>`)
	for name, page := range map[string]rim.Reply{"home": home, "problem": about} {
		html, policy := string(page.Bytes), field(page, "Content-Security-Policy")
		css := style.FindStringSubmatch(html)
		if len(css) != 2 {
			t.Fatalf("%s has no style", name)
		}
		sum := sha256.Sum256([]byte(css[1]))
		if !strings.Contains(policy, "'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'") || !strings.HasPrefix(policy, "default-src 'none'") {
			t.Errorf("%s: the style is not the one the policy allows: %s", name, policy)
		}
		if strings.Contains(html, "<script") || strings.Contains(html, " style=") || strings.Contains(html, "onclick") || field(page, "X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: %s", name, html)
		}
	}
	if !strings.Contains(string(home.Bytes), "https://limits.example/v1/evaluations") {
		t.Errorf("%s", home.Bytes)
	}
}

func TestEveryProblemHasItsPage(t *testing.T) {
	t.Parallel()
	h := handlers(t, face.Settings{})
	for _, c := range problem.Table() {
		r, err := h.Problem(ask(t, rim.MediaJSON, c.Slug))
		if p, ok := r.Value.(face.ProblemType); err != nil || !ok || p.Type != "/problems/"+c.Slug || p.Status != c.Status || p.About == "" {
			t.Errorf("%s: %+v %v", c.Slug, r.Value, err)
		}
	}
	for _, lang := range spec.Languages[1:] {
		for _, c := range problem.Table() {
			english := problem.Voice{Book: text.New(), Lang: "en"}
			r, err := h.Problem(askIn(t, rim.MediaJSON, c.Slug, lang))
			if p, ok := r.Value.(face.ProblemType); err != nil || !ok || p.Title == c.Title(english) || p.About == c.About(english) || p.Title == "" {
				t.Errorf("%s in %s: %+v %v", c.Slug, lang, r.Value, err)
			}
			page, err := h.Problem(askIn(t, rim.MediaHTML, c.Slug, lang))
			html := string(page.Bytes)
			if err != nil || !strings.Contains(html, `<html lang="`+lang+`">`) || !strings.Contains(html, "?lang=en") || strings.Contains(html, "?lang="+lang) || strings.Contains(html, "The document") {
				t.Errorf("%s in %s: %v\n%s", c.Slug, lang, err, html)
			}
			if link := field(page, "Link"); strings.Count(link, "hreflang") != len(spec.Languages)-1 || !strings.Contains(link, `format=json>; rel="alternate"; type="application/json"`) {
				t.Errorf("%s in %s: %s", c.Slug, lang, link)
			}
		}
	}
	if _, err := h.Problem(ask(t, rim.MediaJSON, "none-such")); err == nil || !strings.Contains(err.Error(), "not-now") {
		t.Errorf("%v", err)
	}
}

// RFC 9116, section 2.5: Contact and Expires must stand in the file, Expires less than a year ahead is recommended.
func TestSecurityFile(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, contact, canonical string
		settings                 face.Settings
	}{
		{"nothing configured", "mailto:security@localhost", "", face.Settings{}},
		{"a public address", "mailto:security@limits.example", "https://limits.example/.well-known/security.txt", face.Settings{PublicURL: "https://limits.example"}},
		{"a contact", "https://limits.example/report", "", face.Settings{Contact: "https://limits.example/report"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r, err := handlers(t, row.settings).Security(ask(t, rim.MediaText, ""))
			if err != nil {
				t.Fatal(err)
			}
			said := map[string]string{}
			for line := range strings.Lines(string(r.Bytes)) {
				name, value, _ := strings.Cut(strings.TrimSpace(line), ": ")
				said[name] = value
			}
			expires, err := time.Parse(time.RFC3339, said["Expires"])
			if err != nil || time.Until(expires) < 100*24*time.Hour || time.Until(expires) > 365*24*time.Hour {
				t.Errorf("expires %q", said["Expires"])
			}
			if said["Contact"] != row.contact || said["Canonical"] != row.canonical {
				t.Errorf("%q", said)
			}
		})
	}
}

func TestReadinessEndsWithDraining(t *testing.T) {
	t.Parallel()
	draining := false
	h := handlers(t, face.Settings{Draining: func() bool { return draining }})
	if r, err := h.Ready(ask(t, rim.MediaJSON, "")); err != nil || r.Value.(face.Ready).Revision != "r-test" {
		t.Errorf("%+v %v", r, err)
	}
	draining = true
	if _, err := h.Ready(ask(t, rim.MediaJSON, "")); err == nil || !strings.Contains(err.Error(), "draining") {
		t.Errorf("%v", err)
	}
	if _, err := h.Live(ask(t, rim.MediaJSON, "")); err != nil {
		t.Errorf("the process is still up: %v", err)
	}
}

// RFC 9727, section 4: the catalogue links to each API as an item; appendix A.2 gives each a context of its own with the
// relations of RFC 8631.
func TestTheLinkSetIsAsRFC9727AsksFor(t *testing.T) {
	t.Parallel()
	const base = "https://limits.example"
	r, err := handlers(t, face.Settings{PublicURL: base}).Catalog(ask(t, rim.MediaLinks, ""))
	set, ok := r.Value.(face.Linkset)
	if err != nil || !ok || len(set.Linkset) != 3 || set.Linkset[0].Anchor != base+"/.well-known/api-catalog" || !strings.Contains(field(r, "Link"), `rel="api-catalog"`) {
		t.Fatalf("%+v %v", r, err)
	}
	targets := map[string]bool{}
	for i, c := range set.Linkset {
		for _, list := range [][]face.LinkTarget{c.Item, c.ServiceDesc, c.ServiceDoc, c.ServiceMeta, c.Status} {
			for _, l := range list {
				if targets[l.Href] = true; !strings.HasPrefix(l.Href, base+"/") || l.Type == "" || l.Title == "" || strings.HasPrefix(l.Title, "link_") {
					t.Errorf("%+v", l)
				}
			}
		}
		if i > 0 && c.Anchor != set.Linkset[0].Item[i-1].Href {
			t.Errorf("%s is no item", c.Anchor)
		}
	}
	for _, want := range []string{"/v1", "/openapi.json", "/openapi.yaml", "/docs", "/docs/reference", "/v1/codes", "/v1/practice", "/readyz", "/embed/v1/manifest.json", "/embed/v1/spec-card.js"} {
		if !targets[base+want] {
			t.Errorf("%s is not linked", want)
		}
	}
}

func TestDocumentsStayInTheirDirectory(t *testing.T) {
	t.Parallel()
	h := handlers(t, face.Settings{})
	for _, name := range []string{"start.js", "page.css", "index.html"} {
		if r, err := h.DocsFile(ask(t, rim.MediaText, name)); err != nil || len(r.Bytes) == 0 || !strings.HasPrefix(field(r, "Content-Security-Policy"), "default-src 'none'") {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, name := range []string{"", ".", "..", "../openapi.json", "ui/start.js", "start.js/", "no-such"} {
		if _, err := h.DocsFile(ask(t, rim.MediaText, name)); err == nil || !strings.Contains(err.Error(), "unknown_file") {
			t.Errorf("%q: %v", name, err)
		}
	}
}

func TestTitlesOfPracticeAreInEveryLanguage(t *testing.T) {
	t.Parallel()
	h := handlers(t, face.Settings{})
	list := func(lang string) []face.PracticeCase {
		r, err := h.Practice(askIn(t, rim.MediaJSON, "", lang))
		all, ok := r.Value.(face.PracticeList)
		if err != nil || !ok || len(all.Items) < 40 {
			t.Fatalf("%+v %v", r.Value, err)
		}
		return all.Items
	}
	english := list("en")
	for _, lang := range spec.Languages[1:] {
		for i, c := range list(lang) {
			if c.Title == english[i].Title || c.ID != english[i].ID || c.Request != english[i].Request {
				t.Errorf("%s in %s: %q", c.ID, lang, c.Title)
			}
		}
	}
}
