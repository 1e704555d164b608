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
	"strings"
	"sync"
	"testing"
	"text/template"
	"time"
)

// shopCard is what a card of the sample shop shows, as the browser has it.
type shopCard struct {
	Fallback        bool
	Brought         string // what the page brings, where it is seen
	Lang            string
	Cautions        []string
	Values          []string
	Hands           []string
	Facts           []string
	Labels          []string
	Names           []string
	Notes           []string
	Text            string
	HandBeforeValue bool
	CautionsFirst   bool
}

// shopVisit is a page with its cards and what was said about it.
type shopVisit struct {
	Cards      []shopCard
	Complaints []string // of the console and of scripts
	Warnings   []string // of the console
	Network    []string // what the browser itself says of requests that failed
	Requests   []string // look-ups
	Policy     []string // violations
	Axe        shopAxe
}

type shopAxe struct {
	Violations []string
	Passes     int
}

type shopReport struct {
	Languages map[string]shopVisit
	Looks     map[string]struct {
		shopVisit
		Wide    int
		Order   []float64
		Buttons []bool
	}
	Keyboard struct {
		Tabs                int
		Before, After, Back struct {
			Button, Pressed string
			Ringed          bool
		}
		Card     shopCard
		Requests int
	}
	Imperial shopVisit
	Switched struct {
		shopVisit
		Asked int
	}
	Trouble map[string]struct {
		shopVisit
		Waited       float64
		Visible, All int
	}
	Twenty struct {
		shopVisit
		Cold, Warm struct{ Asked, Shown float64 } // ms after the navigation
		Sizes      map[string]int                 // bytes of bodies as they came
	}
}

// shopLife is what happened to cards that pages did something to.
type shopLife struct {
	Late, Made, Moved, Removed, Overtaken, Wrong shopVisit
	Renamed                                      struct {
		shopVisit
		During struct{ Unit, Name string }
	}
	Spoken struct {
		shopVisit
		Steps [][]string
	}
	Placed struct {
		shopVisit
		Visible, Shown bool
	}
	Versions []shopVisit
}

// sampleShop is the pages of a shop on an origin of their own.
type sampleShop struct {
	URL       string
	Card      string // address of the current card
	Integrity string
	Other     string // address of another version
}

// trouble answers the first look-up below each of its paths as a service does that cannot now, and all others as the
// service behind it.
type trouble struct {
	relay http.Handler
	mu    sync.Mutex
	asked map[string]int
}

func (b *trouble) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	way, _, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/"), "/")
	b.mu.Lock()
	b.asked[way]++
	first := b.asked[way] == 1
	b.mu.Unlock()
	if !first && way != "long" && way != "broken" {
		http.StripPrefix("/"+way, b.relay).ServeHTTP(w, r)
		return
	}
	w.Header().Set("Access-Control-Allow-Origin", "*")
	w.Header().Set("Access-Control-Expose-Headers", "Retry-After")
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	status := http.StatusTooManyRequests
	switch way {
	case "seconds":
		w.Header().Set("Retry-After", "1")
	case "date": // whole seconds: a wait of more than one
		w.Header().Set("Retry-After", time.Now().Add(2*time.Second).UTC().Format(http.TimeFormat))
	case "unavailable":
		w.Header().Set("Retry-After", "0")
		status = http.StatusServiceUnavailable
	case "long":
		w.Header().Set("Retry-After", "86400")
	case "broken":
		status = http.StatusOK
	}
	w.WriteHeader(status)
	_, _ = w.Write([]byte("<!doctype html><title>Not now</title>")) // the browser may have gone
}

// openShop serves the pages under a policy that forbids all but what they need: no inline script or style, and no text
// made into markup (Content Security Policy Level 3; Trusted Types).
func openShop(t *testing.T, s *service) sampleShop {
	t.Helper()
	var embed struct{ Href, Integrity string }
	asJSON(t, s, "/embed/v1/manifest.json", &embed)
	shop := sampleShop{Card: s.URL + embed.Href, Integrity: embed.Integrity}
	published, err := filepath.Glob("../api/embed/files/*.js")
	if err != nil || len(published) < 2 {
		t.Fatalf("there is one version only: %v %v", published, err)
	}
	for _, f := range published {
		if name := filepath.Base(f); !strings.HasSuffix(shop.Card, name) {
			shop.Other = s.URL + "/embed/v1/" + name
		}
	}
	target, err := url.Parse(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	busy := httptest.NewServer(&trouble{relay: httputil.NewSingleHostReverseProxy(target), asked: map[string]int{}})
	t.Cleanup(busy.Close)
	down := httptest.NewServer(nil)
	down.Close()
	var keys []string
	var list struct{ Items []struct{ Key string } }
	asJSON(t, s, "/v1/specs?page_size=100", &list)
	for n := 0; len(keys) < 20; n += 5 {
		keys = append(keys, list.Items[n].Key)
	}
	// What the server of the shop draws itself, and says to machines.
	component := "/v1/families/pl-85/components/selector?lang=en&format="
	fragment, linked := asText(t, s, component+"html"), asText(t, s, component+"jsonld")
	spec := asText(t, s, "/v1/families/pl-85/components/crank/specs/side-clearance?lang=en&format=html")
	pages := template.Must(template.ParseGlob("shop/*.html"))
	srv := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
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
		base := r.FormValue("base")
		switch base {
		case "":
		case "down":
			base = `base="` + down.URL + `"`
		default:
			base = `base="` + busy.URL + "/" + base + `"`
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		if err := pages.ExecuteTemplate(w, name, map[string]any{"Lang": r.FormValue("lang"), "Dir": r.FormValue("dir"), "Base": base, "Keys": keys,
			"Languages": []string{"en", "de", "fr", "it", "es"}, "Fragment": fragment, "Spec": spec, "Linked": linked,
			"Again": `<script type="module" src="` + shop.Other + `" crossorigin></script>`,
			"Tag":   `<script type="module" src="` + shop.Card + `" integrity="` + shop.Integrity + `" crossorigin></script>`}); err != nil {
			t.Error(err)
		}
	}))
	t.Cleanup(srv.Close)
	shop.URL = srv.URL
	return shop
}

// visit runs a program of the directory shop in a browser and reads what it says.
func (s sampleShop) visit(t *testing.T, program string, into any) {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "node", "shop/"+program, s.URL, t.ArtifactDir(), s.Card, s.Other)
	var diag strings.Builder
	cmd.Stderr = &diag
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, diag.String())
	}
	if err := json.Unmarshal(out, into); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
}

func asText(t *testing.T, s *service, path string) string {
	t.Helper()
	a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+path, ""))
	if a.Status != http.StatusOK {
		t.Errorf("%s: %d %s", path, a.Status, a.Body)
	}
	return string(a.Body)
}
