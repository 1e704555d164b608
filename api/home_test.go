package api_test

import (
	"html"
	"log/slog"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// The first page speaks the language of whoever asks, and leads to itself in the others.
func TestTheFirstPageSpeaksEveryLanguage(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for lang, want := range map[string]string{"en": "<h2>A dealer&#39;s system</h2>", "de": "<h2>Ein Händlersystem</h2>", "fr": "Pour ceux qui remettent en état de petits moteurs\u00a0: ",
		"it": "<h2>Una pagina prodotto</h2>", "es": "Véase el manual del fabricante."} {
		w := do(h, "GET", "/", "Accept-Language", lang)
		page := w.Body.String()
		if w.Code != 200 || w.Header().Get("Content-Language") != lang || !strings.Contains(page, want) || !strings.Contains(page, `<html lang="`+lang+`">`) || !strings.Contains(w.Header().Get("Vary"), "Accept-Language") {
			t.Errorf("%s: %d %v %s", lang, w.Code, w.Header(), page)
		}
		if strings.Contains(page, "word_") || strings.Contains(page, "link_") || strings.Contains(page, "ZgotmplZ") {
			t.Errorf("%s shows a code: %s", lang, page)
		}
		for _, other := range spec.Languages {
			if leads := strings.Contains(page, `<a href="/?lang=`+other+`"`); leads != (other != lang) || !strings.Contains(do(h, "GET", "/?lang="+other).Body.String(), `<html lang="`+other+`">`) {
				t.Errorf("%s leads to %s: %v", lang, other, leads)
			}
		}
	}
}

// Whatever catalogue is in use, the lines to copy ask for what it has.
func TestTheLinesToCopyAskForWhatThereIs(t *testing.T) {
	t.Parallel()
	at := func(component, key string) *catalogue.Entry {
		return &catalogue.Entry{Base: &spec.Spec{Key: spec.Key("my-1/" + component + "/" + key), Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2,
			Band: quantity.Between(quantity.MustParse("0.10"), quantity.MustParse("0.40"))}}
	}
	bolt := at("shaft", "bolt")
	bolt.Base.Kind, bolt.Base.Unit, bolt.Base.Decimals = spec.Torque, quantity.NewtonMetre, 0
	varies := at("shaft", "a-size")
	varies.Overrides = []catalogue.Override{{Variant: "b", Spec: varies.Base}}
	for name, row := range map[string]struct {
		specs []*catalogue.Entry
		want  []string
	}{
		"a torque and a play": {[]*catalogue.Entry{varies, bolt, at("shaft", "play")}, []string{`<endfloat-spec key="my-1/shaft/bolt">`, `"spec": "my-1/shaft/play"`, `{"value": 0.25}`, "/v1/families/my-1/components/shaft/specs/play"}},
		"a play alone":        {[]*catalogue.Entry{at("shaft", "play")}, []string{`<endfloat-spec key="my-1/shaft/play">`, "A,my-1/shaft/play,mm,0.25,0.010"}},
		"neither":             {[]*catalogue.Entry{varies}, []string{`<endfloat-spec key="pl-85/counter-shaft/key-bolt">`}},
	} {
		family := &catalogue.Family{Key: "my-1", Name: spec.English("My 1"), Variants: []catalogue.Variant{{ID: "b"}},
			Components: []*catalogue.Component{{Key: "shaft", Name: spec.English("Shaft"), Specs: row.specs}}}
		rev, err := catalogue.New("r-mine", "2026-11-01", []*catalogue.Family{family}, catalogue.Defaults{})
		if err != nil {
			t.Fatal(err)
		}
		h, err := api.New(api.Deps{Catalogue: one{rev}, Log: slog.New(slog.DiscardHandler), Version: "test"}, api.Config{})
		if err != nil {
			t.Fatal(err)
		}
		page := html.UnescapeString(do(h, "GET", "/").Body.String())
		for _, w := range row.want {
			if !strings.Contains(page, w) {
				t.Errorf("%s: no %s in %s", name, w, page)
			}
		}
		for _, m := range regexp.MustCompile(`href="(/v1/families/[^"]*)"`).FindAllStringSubmatch(page, -1) {
			if w := do(h, "GET", m[1]); name != "neither" && w.Code != http.StatusOK {
				t.Errorf("%s: %s is %d", name, m[1], w.Code)
			}
		}
	}
}
