//go:build integration

package integration_test

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"strings"
	"testing"
)

// question is one way to ask for an address.
type question struct {
	path   string
	header []string
}

func (q question) ask(t *testing.T, base string) answer {
	t.Helper()
	return send(t, plain, request(t, http.MethodGet, base+q.path, "", q.header...))
}

func (q question) String() string { return q.path + " " + strings.Join(q.header, " ") }

// ways are all the ways to ask for one spec: every form, language and unit, said by header or by parameter, and every
// spelling of what compression is taken.
func ways() []question {
	const spec, component = axialPlay, "/v1/families/pl-85/components/counter-shaft"
	var list []question
	for _, path := range []string{
		spec, spec + "?unit=in", spec + "?unit=mm", spec + "?lang=de", spec + "?lang=fr&unit=in", spec + "?format=text", spec + "?format=text&unit=in",
		spec + "?format=text&lang=it", component, component + "?unit_system=imperial", component + "?lang=es",
		component + "?format=jsonld", component + "?format=html&lang=it", "/v1/lookups?sku=PL-SH-110&key=pl-85/counter-shaft/key-bolt", "/v1/families/pl-85/sheet", "/v1/families/pl-85/sheet?format=csv", "/v1/families/pl-85/sheet?format=html&lang=de", "/v1/specs?page_size=200", "/v1/specs?format=csv",
	} {
		for _, accept := range []string{"", "*/*", "application/json", "text/plain", "text/csv", "text/html, */*;q=0.1", "application/ld+json", "image/png"} {
			for _, lang := range []string{"", "de", "fr-CH, en;q=0.5", "es,it"} {
				for _, coding := range []string{"", "gzip", "br, gzip;q=0.5", "gzip;q=0"} {
					q := question{path: path}
					for name, value := range map[string]string{"Accept": accept, "Accept-Language": lang, "Accept-Encoding": coding} {
						if value != "" {
							q.header = append(q.header, name, value)
						}
					}
					list = append(list, q)
				}
			}
		}
	}
	return list
}

// Whatever was asked before, each way to ask is answered through the edge as the service answers it without one.
func TestVariantsAreNeverMixed(t *testing.T) {
	t.Parallel()
	e, r, s := behindEdge(t)
	all := ways()
	want := make([]answer, len(all))
	for i, q := range all {
		want[i] = q.ask(t, s.URL)
	}
	order := rand.New(rand.NewPCG(20261101, 1)) // one order, so that a run says the same tomorrow
	hits, bodies := 0, map[string]bool{}
	for round := range 3 {
		for _, i := range order.Perm(len(all)) {
			got := all[i].ask(t, e.URL)
			if want[i].Status == http.StatusNotAcceptable {
				// An address of one form may answer with it whatever is accepted (RFC 9110, section 15.5.7), and what is
				// kept of it does not vary by Accept.
				if got.Status != http.StatusNotAcceptable && strings.Contains(got.Header.Get("Vary")+",", "Accept,") {
					t.Fatalf("round %d: %v: %d %v", round, all[i], got.Status, got.Header)
				}
				continue
			}
			if diff := differs(want[i], got); diff != "" {
				t.Fatalf("round %d: %v:\n%s", round, all[i], diff)
			}
			if got.came() == "hit" {
				hits++
			}
			bodies[fmt.Sprint(all[i].path, got.Header.Get("Etag"))] = true
		}
	}
	t.Logf("%d ways to ask, %d different answers, asked %d times: %d from the edge, %d from the service", len(all), len(bodies), 3*len(all), hits, len(r.since(0)))
	if len(bodies) < 40 || hits < len(all) {
		t.Errorf("%d different answers and %d from the edge: that proves little", len(bodies), hits)
	}
}
