package api_test

import (
	"strings"
	"testing"
)

// A plan calls a place as the catalogue does in the language of the answer, in every line; a caller's own place, which
// has no name, is called by its id.
func TestAPlanCallsEveryPlaceByItsName(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const named = `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.62}],"instrument":{"kind":"dial"}}],
		"fitted":[{"place":"left","pieces":[{"thickness":1.00,"measured":true}]},{"place":"right","pieces":[{"thickness":1.00,"stamped":1.05,"measured":true}]}],"offset_now":0.05}`
	const own = `{"unit":"mm","caller_shims":[{"id":"stack","specs":[{"id":"play","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.08,"upper":0.35}}}],
		"places":[{"id":"inner","per_mm":[{"spec":"play","change":-1}]}],"ladder":[{"thickness":1.0},{"thickness":1.4}]}],
		"measured":[{"spec":"play","unit":"mm","readings":[{"value":0.62}],"instrument":{"kind":"dial"}}],"fitted":[{"place":"inner","pieces":[{"thickness":1.0}]}]}`
	for _, row := range []struct {
		lang, body string
		has        []string
	}{
		{"en", named, []string{"Fit left side 1.", "off the middle, right side.", "right side: a shim stamped 1.05 mm"}},
		{"de", named, []string{"Einbauen: linke Seite 1.", "Richtung rechte Seite.", "rechte Seite, 0.05 mm dicker: "}},
		{"fr", named, []string{"Monter\u00a0: côté gauche 1.", "du milieu, côté droit.", "côté droit\u00a0: une cale marquée 1.05 mm"}},
		{"de", own, []string{"Einbauen: inner 1.4"}},
	} {
		w := send(h, "/v1/shim-plans?lang="+row.lang, "application/json", []byte(row.body))
		for _, want := range row.has {
			if s := w.Body.String(); w.Code != 200 || !strings.Contains(s, want) {
				t.Errorf("%s: %d has no %q: %s", row.lang, w.Code, want, s)
			}
		}
	}
}
