//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"text/template"
)

// shopCard is what a card of the sample shop shows, as the browser has it.
type shopCard struct {
	Fallback        bool
	Lang            string
	Cautions        []string
	Values          []string
	Hands           []string
	Facts           []string
	Labels          []string
	Names           []string
	Notes           []string
	HandBeforeValue bool
}

// shopVisit is a page with its cards and what was said about it.
type shopVisit struct {
	Cards      []shopCard
	Complaints []string // of the console and of scripts
	Network    []string // what the browser itself says of requests that failed
	Requests   []string // look-ups
	Policy     []string // violations
}

type shopAxe struct {
	Violations []string
	Passes     int
}

type shopReport struct {
	Languages map[string]shopVisit
	Axe       shopAxe
	Keyboard  struct {
		Tabs          int
		Before, After struct{ Button, Pressed string }
		Card          shopCard
		Requests      int
	}
	KeyboardAxe shopAxe
	Imperial    shopVisit
	Relabelled  shopCard
	Down        struct {
		shopVisit
		Visible, All int
	}
	Busy struct {
		shopVisit
		Waited float64
	}
	Twenty struct {
		shopVisit
		Count, Filled int
		Measured      struct{ Asked, Shown float64 } // ms after the navigation
		Sizes         map[string]int                 // bytes of bodies as they came
	}
	TwentyAxe    shopAxe
	Narrow, Dark struct {
		shopVisit
		Wide int
		Axe  shopAxe
	}
}

// The pages of the sample shop, on an origin of their own and under a policy that forbids all but what they need: no
// inline script or style, and no text made into markup (Content Security Policy Level 3; Trusted Types).
func visitShop(t *testing.T, s *service) (r shopReport) {
	t.Helper()
	var embed struct{ Href, Latest, Integrity string }
	asJSON(t, s, "/embed/v1/manifest.json", &embed)
	target, err := url.Parse(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	relay := httputil.NewSingleHostReverseProxy(target)
	var asked atomic.Int32
	busy := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if asked.Add(1) > 1 {
			relay.ServeHTTP(w, r)
			return
		}
		w.Header().Set("Retry-After", "1")
		w.Header().Set("Access-Control-Allow-Origin", "*")
		w.Header().Set("Access-Control-Expose-Headers", "Retry-After")
		w.WriteHeader(http.StatusTooManyRequests)
	}))
	t.Cleanup(busy.Close)
	down := httptest.NewServer(nil)
	down.Close()
	bases := map[string]string{"": "", "busy": `base="` + busy.URL + `/"`, "down": `base="` + down.URL + `/"`}
	pages := template.Must(template.ParseGlob("shop/*.html"))
	var keys []string
	var list struct{ Items []struct{ Key string } }
	asJSON(t, s, "/v1/specs?page_size=100", &list)
	for n := 0; len(keys) < 20; n += 5 {
		keys = append(keys, list.Items[n].Key)
	}
	shop := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'none'; script-src 'self' "+s.URL+"; style-src 'self'; img-src 'self'; connect-src "+
			strings.Join([]string{s.URL, busy.URL, down.URL}, " ")+"; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'")
		name := strings.TrimPrefix(r.URL.Path, "/")
		if name == "favicon.ico" { // every browser asks for it
			w.WriteHeader(http.StatusNoContent)
			return
		}
		if !strings.HasSuffix(name, ".html") {
			http.ServeFile(w, r, filepath.Join("shop", filepath.Base(name)))
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if err := pages.ExecuteTemplate(w, name, map[string]any{"Lang": r.FormValue("lang"), "Base": bases[r.FormValue("base")], "Keys": keys,
			"Again": `<script type="module" src="` + s.URL + embed.Latest + `" crossorigin></script>`,
			"Tag":   `<script type="module" src="` + s.URL + embed.Href + `" integrity="` + embed.Integrity + `" crossorigin></script>`}); err != nil {
			t.Error(err)
		}
	}))
	t.Cleanup(shop.Close)
	cmd := exec.CommandContext(t.Context(), "node", "shop/look.mjs", shop.URL, s.URL, t.ArtifactDir())
	var diag strings.Builder
	cmd.Stderr = &diag
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, diag.String())
	}
	if err := json.Unmarshal(out, &r); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return r
}

func asJSON(t *testing.T, s *service, path string, into any) {
	t.Helper()
	a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+path, ""))
	if a.Status != http.StatusOK {
		t.Fatalf("%s: %d %s", path, a.Status, a.Body)
	}
	if err := json.Unmarshal(a.Body, into); err != nil {
		t.Fatal(err)
	}
}

// apiText is what the service says for one card.
type apiText struct {
	Specs []struct {
		Name      string
		Display   apiDisplay
		Converted struct{ Display apiDisplay }
	}
	Cautions []struct{ Text string }
}

type apiDisplay struct {
	Band      string
	Target    string
	WearLimit string `json:"wear_limit"`
	Hand      string
}

// componentText asks for the component of the last card of part.html.
func componentText(t *testing.T, s *service, query string) (a apiText) {
	t.Helper()
	asJSON(t, s, "/v1/families/pl-85/components/selector?"+query, &a)
	return a
}

// holds fails unless a card shows what the service says, value by value.
func (c shopCard) holds(t *testing.T, what string, a apiText, converted bool) {
	t.Helper()
	var values, names []string
	for _, s := range a.Specs {
		d := s.Display
		if converted && s.Converted.Display != (apiDisplay{}) {
			d = s.Converted.Display
		}
		value := d.Band
		if value == "" {
			value = d.WearLimit
		}
		values, names = append(values, value), append(names, s.Name)
		for _, fact := range []string{d.Target, d.WearLimit} {
			if fact != "" && fact != value && !slices.Contains(c.Facts, fact) {
				t.Errorf("%s: %q is missing in %q", what, fact, c.Facts)
			}
		}
	}
	if len(values) == 0 || !slices.Equal(values, c.Values) {
		t.Errorf("%s shows %q, the service says %q", what, c.Values, values)
	}
	for n, name := range names {
		if n >= len(c.Names) || !strings.HasPrefix(c.Names[n], name) {
			t.Errorf("%s names %q, the service %q", what, c.Names, names)
		}
	}
	for _, caution := range a.Cautions {
		if !slices.Contains(c.Cautions, caution.Text) {
			t.Errorf("%s does not say %q", what, caution.Text)
		}
	}
}
