//go:build integration

package integration_test

import (
	"slices"
	"strings"
	"testing"
)

// Places of the cards on part.html.
const (
	cardOfPart = iota
	cardOfPlay
	cardOfBolt
	cardOfVariants
	cardOfHead
	cardOfNothing
	cardOfComponent
	cardsOfPart
)

// quiet fails on what the browser complains of, and on warnings but the one for the key that nobody has.
func (v shopVisit) quiet(t *testing.T, what string) {
	t.Helper()
	for _, c := range slices.Concat(v.Complaints, v.Policy) {
		t.Errorf("%s: the browser says: %s", what, c)
	}
	for _, w := range v.Warnings {
		if !strings.Contains(w, "pl-85/counter-shaft/axail-play") {
			t.Errorf("%s: the card says: %s", what, w)
		}
	}
	if len(v.Warnings) > 1 {
		t.Errorf("%s: the card says it again: %q", what, v.Warnings)
	}
}

func (a shopAxe) clean(t *testing.T, what string) {
	t.Helper()
	for _, v := range a.Violations {
		t.Errorf("%s: axe: %s", what, v)
	}
	if a.Passes < 20 {
		t.Errorf("%s: axe looked at %d rules only", what, a.Passes)
	}
}

// One visit of the sample shop in a real browser: its cards show what the service says, in every language and both
// systems of units, by mouse and keyboard, under a strict policy, and stay quiet where the service does not answer.
func TestTheCardOnAShopPage(t *testing.T) {
	t.Parallel()
	s := start(t)
	var r shopReport
	openShop(t, s).visit(t, "look.mjs", &r)
	for _, lang := range []string{"en", "de", "fr", "it", "es"} {
		r.language(t, s, lang)
	}
	r.looks(t)
	r.keyboard(t)
	r.units(t, s)
	r.trouble(t)
	r.twenty(t)
}

func (r shopReport) language(t *testing.T, s *service, lang string) {
	t.Helper()
	visit := r.Languages[lang]
	visit.quiet(t, lang)
	visit.Axe.clean(t, lang)
	if len(visit.Requests) != 1 || len(visit.Network) > 0 || len(visit.Cards) != cardsOfPart {
		t.Fatalf("%s: %d cards, requests %q, %q", lang, len(visit.Cards), visit.Requests, visit.Network)
	}
	visit.Cards[cardOfComponent].holds(t, lang, componentText(t, s, "lang="+lang), false)
	for n, c := range visit.Cards {
		if n == cardOfNothing {
			if !c.Fallback || len(c.Values) > 0 {
				t.Errorf("%s: a card of nothing shows %+v", lang, c)
			}
			continue
		}
		if c.Fallback || c.Lang != lang || !c.HandBeforeValue || !c.CautionsFirst || len(c.Cautions) < 2 || len(c.Labels) == 0 {
			t.Errorf("%s: card %d: %+v", lang, n, c)
		}
		if !slices.ContainsFunc(c.Facts, func(f string) bool { return strings.HasPrefix(f, "DEMO") }) {
			t.Errorf("%s: card %d does not say that it is a demo: %q", lang, n, c.Facts)
		}
	}
	if bolt := visit.Cards[cardOfBolt]; len(bolt.Hands) != 1 || len(bolt.Values) != 1 || bolt.Values[0] != "22–26 N·m" {
		t.Errorf("%s: %+v", lang, bolt)
	}
	if part := visit.Cards[cardOfPart]; !strings.Contains(part.Names[0], "PL-SH-110 · 1.10 mm") {
		t.Errorf("%s: %q", lang, part.Names)
	}
	// Until the engine is known, a value that differs is shown with what a variant has instead.
	var both apiText
	asJSON(t, s, "/v1/lookups?key=pl-85/crank/side-clearance&lang="+lang, &both)
	variant := both.Items[0].Spec.Alternatives[0]
	if c := visit.Cards[cardOfVariants]; !slices.Equal(c.Values, []string{"0.15–0.40 mm", "0.20–0.45 mm"}) || !slices.Contains(c.Names, variant.Name) || variant.Display.Band != c.Values[1] {
		t.Errorf("%s: %q %q, the service says %+v", lang, c.Values, c.Names, variant)
	}
}

func (r shopReport) looks(t *testing.T) {
	t.Helper()
	for name, look := range r.Looks {
		look.quiet(t, name)
		if name != "print" {
			look.Axe.clean(t, name)
		}
		if look.Wide > 0 {
			t.Errorf("%s: the page is %d px wider than the window", name, look.Wide)
		}
	}
	if len(r.Looks) != 8 {
		t.Errorf("%d looks", len(r.Looks))
	}
	if o := r.Looks["rtl"].Order; len(o) != 3 || !slices.IsSorted(o) {
		t.Errorf("on a page from right to left 0.08–0.35 mm stands at %v", o)
	}
	if r.Looks["rtl"].Cards[cardOfPlay].Lang != "en" {
		t.Errorf("on a page in Arabic: %+v", r.Looks["rtl"].Cards[cardOfPlay])
	}
	if b := r.Looks["print"].Buttons; !slices.Equal(b, []bool{false, false}) {
		t.Errorf("on paper there are switches: %v", b)
	}
}

// A published value of 0.08–0.35 mm is 0.0032–0.0137 in, rounded inward.
func (r shopReport) keyboard(t *testing.T) {
	t.Helper()
	k := r.Keyboard
	if k.Before.Pressed != "false" || k.After.Pressed != "true" || k.Back.Pressed != "false" || k.After.Button != k.Before.Button || !k.Before.Ringed {
		t.Errorf("the switch: %+v, then %+v, then %+v", k.Before, k.After, k.Back)
	}
	if len(k.Card.Values) == 0 || k.Card.Values[0] != "0.0032–0.0137 in" || k.Requests != 3 || !strings.Contains(k.Card.Names[0], "(") && !strings.Contains(k.Card.Names[0], "0.0433 in") {
		t.Errorf("after the switch: %q %q, %d requests", k.Card.Values, k.Card.Names, k.Requests)
	}
	r.Switched.quiet(t, "another language")
	for n, c := range r.Switched.Cards {
		if n != cardOfNothing && (c.Lang != "it" || !slices.ContainsFunc(c.Facts, func(f string) bool { return strings.HasPrefix(f, "DEMO") })) {
			t.Errorf("in Italian: card %d: %+v", n, c)
		}
	}
	if r.Switched.Asked != 1 {
		t.Errorf("another language took %d requests", r.Switched.Asked)
	}
}

func (r shopReport) units(t *testing.T, s *service) {
	t.Helper()
	r.Imperial.Axe.clean(t, "imperial")
	if len(r.Imperial.Requests) != 4 { // the page, one card there and back, then all at once
		t.Errorf("%d requests: %q", len(r.Imperial.Requests), r.Imperial.Requests)
	}
	r.Imperial.Cards[cardOfComponent].holds(t, "imperial", componentText(t, s, "lang=en&unit_system=imperial"), true)
	if bolt := r.Imperial.Cards[cardOfBolt]; !strings.HasSuffix(bolt.Values[0], " lbf·ft") || len(bolt.Hands) != 1 || !strings.Contains(strings.Join(bolt.Notes, " "), "22–26 N·m") {
		t.Errorf("%+v", bolt)
	}
	if v := r.Imperial.Cards[cardOfVariants].Values; !slices.Equal(v, []string{"0.0060–0.0157 in", "0.0079–0.0177 in"}) {
		t.Errorf("variants: %q", v)
	}
}

// What the page brings stays where no answer comes; where the service names a time, as seconds or as a date (RFC 9110,
// section 10.2.3), the card asks again then, unless that is out of all proportion.
func (r shopReport) trouble(t *testing.T) {
	t.Helper()
	for _, name := range []string{"down", "long", "broken"} {
		v := r.Trouble[name]
		for _, c := range slices.Concat(v.Complaints, v.Warnings, v.Policy) {
			t.Errorf("%s: %s", name, c)
		}
		if v.Visible != v.All || v.All != cardsOfPart || len(v.Requests) != 1 {
			t.Errorf("%s: %d of %d fallbacks, requests %q", name, v.Visible, v.All, v.Requests)
		}
	}
	// What the server of the shop drew into a card is seen while the service is away, cautions and variants included.
	if b := r.Trouble["down"].Cards[cardOfVariants].Brought; !strings.Contains(b, "0.15–0.40 mm") || !strings.Contains(b, "0.20–0.45 mm") || !strings.Contains(b, "DEMO values") {
		t.Errorf("down: the page shows %q", b)
	}
	for name, least := range map[string]float64{"seconds": 1000, "date": 1000, "unavailable": 1000} {
		v := r.Trouble[name]
		v.quiet(t, name)
		if v.Waited < least || v.Waited > 10_000 || len(v.Requests) != 2 || len(v.Cards[cardOfPlay].Values) != 1 {
			t.Errorf("%s: %v ms, %d requests, %+v", name, v.Waited, len(v.Requests), v.Cards[cardOfPlay])
		}
	}
}

func (r shopReport) twenty(t *testing.T) {
	t.Helper()
	r.Twenty.quiet(t, "twenty")
	r.Twenty.Axe.clean(t, "twenty")
	script := r.Twenty.Sizes["/embed/v1/spec-card.js"]
	t.Logf("twenty cards: %d request, script %d bytes, answer %d bytes; first card after %.0f ms, asked after %.0f ms; again: after %.0f ms, asked after %.0f ms",
		len(r.Twenty.Requests), script, r.Twenty.Sizes["/v1/lookups"], r.Twenty.Cold.Shown, r.Twenty.Cold.Asked, r.Twenty.Warm.Shown, r.Twenty.Warm.Asked)
	if len(r.Twenty.Cards) != 20 || len(r.Twenty.Requests) != 1 {
		t.Errorf("%d cards in %d requests", len(r.Twenty.Cards), len(r.Twenty.Requests))
	}
	for n, c := range r.Twenty.Cards {
		if c.Fallback || len(c.Values) == 0 {
			t.Errorf("card %d is empty", n)
		}
	}
	if script == 0 || script > mostOfTheCard {
		t.Errorf("the script came in %d bytes", script)
	}
}

// mostOfTheCard is how many bytes the script may take on its way.
const mostOfTheCard = 2200
