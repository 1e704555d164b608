//go:build integration

package integration_test

import (
	"net/url"
	"slices"
	"strings"
	"testing"
)

// values are the first values of the cards of a page, in their order; a card that shows its fallback has "".
func (v shopVisit) values() (list []string) {
	for _, c := range v.Cards {
		first := ""
		if len(c.Values) > 0 && !c.Fallback {
			first = c.Values[0]
		}
		list = append(list, first)
	}
	return list
}

func (v shopVisit) silent(t *testing.T, what string) {
	t.Helper()
	for _, c := range slices.Concat(v.Complaints, v.Warnings, v.Policy) {
		t.Errorf("%s: the browser says: %s", what, c)
	}
}

// names counts the keys of a look-up.
func names(t *testing.T, address string) int {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	return len(strings.Split(u.Query().Get("key"), ","))
}

const (
	playInMetric   = "0.08–0.35 mm"
	playInImperial = "0.0032–0.0137 in"
	boltInMetric   = "22–26 N·m"
)

// The life of a custom element (HTML, section 4.13.3): upgraded late, made by a script, moved, taken out and put back,
// given other attributes.
func TestTheLifeOfACard(t *testing.T) {
	t.Parallel()
	var r shopLife
	openShop(t, start(t)).visit(t, "life.mjs", &r)

	r.Late.silent(t, "late")
	if want := append([]string{playInMetric, playInMetric, playInImperial}, slices.Repeat([]string{boltInMetric}, 30)...); !slices.Equal(r.Late.values(), want) || len(r.Late.Requests) != 2 {
		t.Errorf("late: %q, %d requests (one a system of units)", r.Late.values(), len(r.Late.Requests))
	}
	if v := r.Made; len(v.Requests) != 2 || names(t, v.Requests[0]) != 50 || names(t, v.Requests[1]) != 11 || len(v.Cards) != 61 || v.Cards[0].Values[0] != playInMetric || len(v.Warnings) != 60 {
		t.Errorf("made by a script: %d cards, %q, %d warnings", len(v.Cards), v.Requests, len(v.Warnings))
	}
	r.Moved.silent(t, "moved")
	if v := r.Moved; !slices.Equal(v.values(), []string{playInMetric}) || len(v.Requests) != 1 {
		t.Errorf("moved: %q, requests %q", v.values(), v.Requests)
	}
	r.Removed.silent(t, "removed")
	if v := r.Removed; !slices.Equal(v.values(), []string{playInMetric, boltInMetric}) || len(v.Requests) > 2 {
		t.Errorf("taken out and put back: %q, requests %q", v.values(), v.Requests)
	}
	r.Renamed.silent(t, "renamed")
	if v := r.Renamed; v.During.Unit != playInMetric || v.During.Name != "" || !slices.Equal(v.values(), []string{boltInMetric}) {
		t.Errorf("renamed: %+v, then %q", v.During, v.values())
	}
	r.Overtaken.silent(t, "overtaken")
	if v := r.Overtaken.values(); !slices.Equal(v, []string{playInMetric}) {
		t.Errorf("the answer to an earlier question is shown: %q", v)
	}
	r.spoken(t)
	r.wrong(t)
	r.Placed.silent(t, "placed")
	if r.Placed.Visible || !r.Placed.Shown {
		t.Errorf("a card is hidden: it is seen %v, then %v", r.Placed.Visible, r.Placed.Shown)
	}
	for n, v := range r.Versions {
		v.silent(t, "two versions")
		if !slices.Equal(v.values(), []string{boltInMetric}) || len(v.Requests) != 1 {
			t.Errorf("versions in order %d: %q, %q", n, v.values(), v.Requests)
		}
	}
	if len(r.Versions) != 2 {
		t.Errorf("%d orders of versions", len(r.Versions))
	}
}

// A language tag is read as BCP 47 says: whatever the case, a region does not matter, and et (Estonian) is not es.
func (r shopLife) spoken(t *testing.T) {
	t.Helper()
	r.Spoken.silent(t, "language")
	if len(r.Spoken.Steps) != 5 {
		t.Errorf("%q", r.Spoken.Steps)
	}
	if c := r.Spoken.Cards; c[0].Lang != "en" || c[1].Lang != "es" || !slices.Contains(c[1].Labels, "Fuente") {
		t.Errorf("%+v", c)
	}
}

func (r shopLife) wrong(t *testing.T) {
	t.Helper()
	for _, c := range slices.Concat(r.Wrong.Complaints, r.Wrong.Policy) {
		t.Errorf("wrong attributes: %s", c)
	}
	if v := r.Wrong.values(); !slices.Equal(v, []string{playInMetric, "", "", "", "", "", "", "", playInMetric}) {
		t.Errorf("wrong attributes: %q", v)
	}
	for said, times := range map[string]int{"pl-85/counter-shaft/axail-play is unknown; perhaps pl-85/counter-shaft/axial-play": 1, "furlong": 1, "pl-85/none is unknown": 1} {
		n := 0
		for _, w := range r.Wrong.Warnings {
			if strings.HasPrefix(w, "warning: endfloat-spec: ") && strings.Contains(w, said) {
				n++
			}
		}
		if n != times {
			t.Errorf("%q is said %d times: %q", said, n, r.Wrong.Warnings)
		}
	}
}
