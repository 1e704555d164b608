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
	cardOfHead
	cardOfNothing
	cardOfComponent
)

func (v shopVisit) quiet(t *testing.T, what string) {
	t.Helper()
	for _, c := range slices.Concat(v.Complaints, v.Policy) {
		t.Errorf("%s: the browser says: %s", what, c)
	}
}

func (a shopAxe) clean(t *testing.T, what string) {
	t.Helper()
	for _, v := range a.Violations {
		t.Errorf("%s: axe: %s", what, v)
	}
	if a.Passes < 10 {
		t.Errorf("%s: axe looked at %d rules only", what, a.Passes)
	}
}

// One visit of the sample shop in a real browser: its cards show what the service says, in every language and both
// systems of units, by mouse and keyboard, under a strict policy, and stay quiet where the service does not answer.
func TestTheCardOnAShopPage(t *testing.T) {
	t.Parallel()
	s := start(t)
	r := visitShop(t, s)
	for _, lang := range []string{"en", "de", "fr", "it", "es"} {
		visit := r.Languages[lang]
		visit.quiet(t, lang)
		if len(visit.Requests) != 1 || len(visit.Network) > 0 || len(visit.Cards) != 6 {
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
			if c.Fallback || c.Lang != lang || !c.HandBeforeValue || len(c.Cautions) < 2 || len(c.Labels) == 0 {
				t.Errorf("%s: card %d: %+v", lang, n, c)
			}
			if !slices.ContainsFunc(c.Notes, func(f string) bool { return strings.Contains(f, ": DEMO") }) {
				t.Errorf("%s: card %d does not say that it is a demo: %q", lang, n, c.Notes)
			}
		}
		if bolt := visit.Cards[cardOfBolt]; len(bolt.Hands) != 1 || len(bolt.Values) != 1 || bolt.Values[0] != "22–26 N·m" {
			t.Errorf("%s: %+v", lang, bolt)
		}
		if part := visit.Cards[cardOfPart]; !strings.Contains(part.Names[0], "PL-SH-110 · 1.10 mm") {
			t.Errorf("%s: %q", lang, part.Names)
		}
	}
	r.Axe.clean(t, "desktop")
	r.keyboard(t)
	r.units(t, s)
	r.trouble(t)
	r.twenty(t)
	for name, v := range map[string]shopVisit{"narrow": r.Narrow.shopVisit, "dark": r.Dark.shopVisit} {
		v.quiet(t, name)
	}
	r.Narrow.Axe.clean(t, "narrow")
	r.Dark.Axe.clean(t, "dark")
	if r.Narrow.Wide > 320 {
		t.Errorf("the page is %d px wide on 320 px", r.Narrow.Wide)
	}
}

// A published value of 0.08–0.35 mm is 0.0032–0.0137 in, rounded inward.
func (r shopReport) keyboard(t *testing.T) {
	t.Helper()
	k := r.Keyboard
	if k.Before.Pressed != "false" || k.After.Pressed != "true" || k.After.Button != k.Before.Button {
		t.Errorf("the switch: %+v, then %+v", k.Before, k.After)
	}
	if len(k.Card.Values) == 0 || k.Card.Values[0] != "0.0032–0.0137 in" || k.Requests != 2 {
		t.Errorf("after the switch: %q, %d requests", k.Card.Values, k.Requests)
	}
	r.KeyboardAxe.clean(t, "after the switch")
	if r.Relabelled.Lang != "it" || !slices.Contains(r.Relabelled.Labels, "Limite di usura") {
		t.Errorf("in Italian: %+v", r.Relabelled)
	}
}

func (r shopReport) units(t *testing.T, s *service) {
	t.Helper()
	r.Imperial.quiet(t, "imperial")
	if len(r.Imperial.Requests) != 3 { // the page, one card, then all others at once
		t.Errorf("%d requests", len(r.Imperial.Requests))
	}
	r.Imperial.Cards[cardOfComponent].holds(t, "imperial", componentText(t, s, "lang=en&unit_system=imperial"), true)
	if bolt := r.Imperial.Cards[cardOfBolt]; !strings.HasSuffix(bolt.Values[0], " lbf·ft") || len(bolt.Hands) != 1 || !strings.Contains(strings.Join(bolt.Notes, " "), "22–26 N·m") {
		t.Errorf("%+v", bolt)
	}
}

func (r shopReport) trouble(t *testing.T) {
	t.Helper()
	r.Down.quiet(t, "down")
	if r.Down.Visible != r.Down.All || r.Down.All != 6 || len(r.Down.Requests) != 1 {
		t.Errorf("the service is down: %d of %d fallbacks, %d requests", r.Down.Visible, r.Down.All, len(r.Down.Requests))
	}
	r.Busy.quiet(t, "busy")
	if r.Busy.Waited < 1000 || len(r.Busy.Requests) != 2 || len(r.Busy.Cards[cardOfPlay].Values) != 1 {
		t.Errorf("asked to wait for a second: %v ms, %d requests, %+v", r.Busy.Waited, len(r.Busy.Requests), r.Busy.Cards[cardOfPlay])
	}
}

func (r shopReport) twenty(t *testing.T) {
	t.Helper()
	r.Twenty.quiet(t, "twenty")
	r.TwentyAxe.clean(t, "twenty")
	m, script := r.Twenty.Measured, r.Twenty.Sizes["/embed/v1/spec-card.js"]
	t.Logf("twenty cards: %d request, script %d bytes, answer %d bytes, asked after %.0f ms, first card after %.0f ms",
		len(r.Twenty.Requests), script, r.Twenty.Sizes["/v1/lookups"], m.Asked, m.Shown)
	if r.Twenty.Count != 20 || r.Twenty.Filled != 20 || len(r.Twenty.Requests) != 1 {
		t.Errorf("%d of %d cards in %d requests", r.Twenty.Filled, r.Twenty.Count, len(r.Twenty.Requests))
	}
	if script == 0 || script > 2048 {
		t.Errorf("the script came in %d bytes", script)
	}
}
