package api_test

import (
	"log/slog"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/api/apitest"
	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// two is a source that holds two revisions, the newer one in use.
type two struct{ now, before *catalogue.Revision }

func (s two) Current() *catalogue.Revision { return s.now }
func (s two) Held() []string               { return []string{s.now.Name, s.before.Name} }
func (s two) At(name string) (*catalogue.Revision, bool) {
	for _, r := range []*catalogue.Revision{s.now, s.before} {
		if r.Name == name {
			return r, true
		}
	}
	return nil, false
}

func clearance(t testing.TB, name, upper, reason string) *catalogue.Revision {
	t.Helper()
	s := &spec.Spec{Key: "qb-1/valves/exhaust", Kind: spec.Dimension, Name: spec.English("Exhaust clearance"), Unit: "mm", Decimals: 2,
		Band: quantity.AtMost(quantity.MustParse(upper)), Reason: spec.English(reason), Source: &spec.Source{Class: "maker"}}
	f := &catalogue.Family{Key: "qb-1", Name: spec.English("QB-1"), Components: []*catalogue.Component{{Key: "valves", Name: spec.English("Valves"),
		Specs: []*catalogue.Entry{{Base: s}}}}}
	rev, err := catalogue.New(name, "2026-11-01", []*catalogue.Family{f}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	return rev
}

func TestReplayAndChanges(t *testing.T) {
	t.Parallel()
	source := two{clearance(t, "r-2", "0.25", "seats wore"), clearance(t, "r-1", "0.27", "")}
	bare, err := api.New(api.Deps{Catalogue: source, Log: slog.New(slog.DiscardHandler)}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	h := apitest.Handler(t, bare)
	const at = "/v1/families/qb-1/components/valves/specs/exhaust"
	for query, upper := range map[string]string{"": "0.25", "?revision=r-2": "0.25", "?revision=r-1": "0.27"} {
		var a specAnswer
		fetch(t, h, at+query, &a)
		if a.Spec.Band.Upper.String() != upper || query != "" && a.Revision != query[len("?revision="):] {
			t.Errorf("%q: %+v", query, a)
		}
	}
	if w := do(h, "GET", at+"?revision=r-0"); w.Code != 404 || !strings.Contains(w.Body.String(), "r-2, r-1") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	for query, want := range map[string]int{"": 1, "?from=r-1&to=r-2&family=qb-1": 1, "?from=r-2&to=r-2": 0, "?to=r-1": 0} {
		var list struct {
			From, To string
			Items    []struct {
				Key, How, Reason, Href string
				Fields                 []struct{ From, To string }
			}
		}
		fetch(t, h, "/v1/catalogue/changes"+query, &list)
		if len(list.Items) != want {
			t.Errorf("%q: %+v", query, list)
		}
		if want == 1 && (list.Items[0].Reason != "seats wore" || list.Items[0].Href != at || len(list.Items[0].Fields) == 0) {
			t.Errorf("%q: %+v", query, list)
		}
	}
	if w := do(h, "GET", "/v1/catalogue/changes?from=r-0"); w.Code != 404 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if w := do(h, "GET", "/v1/catalogue/changes?family=qb-9"); w.Code != 400 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}
