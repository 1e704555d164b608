//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"os"
	"regexp"
	"slices"
	"testing"
)

// linkedNode is what a machine reads of a spec: a PropertyValue of schema.org.
type linkedNode struct {
	Type           string       `json:"@type"`
	Description    string       `json:"description"`
	PropertyID     string       `json:"propertyID"`
	TermCode       string       `json:"termCode"`
	Value          json.Number  `json:"value"`
	MinValue       json.Number  `json:"minValue"`
	MaxValue       json.Number  `json:"maxValue"`
	UnitCode       string       `json:"unitCode"`
	UnitText       string       `json:"unitText"`
	ValueReference []linkedNode `json:"valueReference"`
}

type linkedBand struct{ Lower, Upper json.Number }

// linkedSpec is the same spec as the service answers it in JSON.
type linkedSpec struct {
	Href      string
	Kind      string
	ValueForm string `json:"value_form"`
	Unit      string
	Band      linkedBand
	Target    json.Number
	Angle     json.Number
	Stages    []struct{ Value, Angle json.Number }
	WearLimit linkedBand `json:"wear_limit"`
	Cautions  []string
	Converted struct {
		Unit string
		Band linkedBand
	}
	Alternatives []struct {
		Unit string
		Band linkedBand
	}
}

// of are the references with a name.
func (n linkedNode) of(id string) (list []linkedNode) {
	for _, r := range n.ValueReference {
		if r.PropertyID == id {
			list = append(list, r)
		}
	}
	return list
}

// codes are the common codes of UN/CEFACT Recommendation 20 by the names that the QUDT 3.1 vocabulary gives units.
func codes(t *testing.T) map[string]bool {
	t.Helper()
	text, err := os.ReadFile("../api/linked/testdata/qudt-units.nq")
	if err != nil {
		t.Fatal(err)
	}
	list := map[string]bool{}
	for _, m := range regexp.MustCompile(`uneceCommonCode> "([^"]+)"`).FindAllStringSubmatch(string(text), -1) {
		list[m[1]] = true
	}
	return list
}

// holds fails unless the numbers are those of a band, in its unit.
func (n linkedNode) holds(t *testing.T, what string, b linkedBand, unit string) {
	t.Helper()
	if n.MinValue != b.Lower || n.MaxValue != b.Upper || b != (linkedBand{}) && n.UnitText != unit {
		t.Errorf("%s: %s to %s %s is said as %s to %s %s", what, b.Lower, b.Upper, unit, n.MinValue, n.MaxValue, n.UnitText)
	}
}

// Every spec says to machines just the numbers that it says in JSON, with the code of its unit, and loses no caution.
func TestEverySpecIsSaidToMachines(t *testing.T) {
	t.Parallel()
	s := start(t)
	l := saidLooker{s.URL, s.caller(t), codes(t), map[string]int{}}
	for _, system := range []string{"", "?unit_system=imperial", "?unit_system=metric"} {
		for next := ""; ; {
			var list struct {
				Items         []struct{ Href string }
				NextPageToken string `json:"next_page_token"`
			}
			l.read(t, "/v1/specs?page_size=100"+next, "application/json", &list)
			for _, item := range list.Items {
				l.check(t, item.Href+system)
			}
			if list.NextPageToken == "" {
				break
			}
			next = "&page_token=" + list.NextPageToken
		}
	}
	for _, kind := range []string{"dimension", "torque", "angle", "other", "category", "range", "single", "stages", "torque_angle", "not_published", "out_of_scope", "variants", "converted"} {
		if l.seen[kind] == 0 {
			t.Errorf("no spec of the kind %s was seen", kind)
		}
	}
}

// saidLooker asks for specs in both forms and notes which kinds it has seen.
type saidLooker struct {
	url    string
	caller *http.Client
	known  map[string]bool // codes of units
	seen   map[string]int
}

func (l saidLooker) read(t *testing.T, path, media string, into any) {
	t.Helper()
	a := send(t, l.caller, request(t, http.MethodGet, l.url+path, "", "Accept", media))
	if err := json.Unmarshal(a.Body, into); err != nil || a.Status != http.StatusOK {
		t.Fatalf("%s: %d %v", path, a.Status, err)
	}
}

func (l saidLooker) check(t *testing.T, path string) {
	t.Helper()
	var answer struct{ Spec linkedSpec }
	var node linkedNode
	l.read(t, path, "application/json", &answer)
	l.read(t, path, "application/ld+json", &node)
	spec := answer.Spec
	l.seen[spec.Kind]++
	l.seen[spec.ValueForm]++
	node.holds(t, path, spec.Band, spec.Unit)
	single := json.Number("")
	if spec.Band == (linkedBand{}) && spec.ValueForm != "torque_angle" {
		single = spec.Target
	}
	if node.Value != single || single != "" && node.UnitText != spec.Unit {
		t.Errorf("%s: the value is %q %s", path, node.Value, node.UnitText)
	}
	for _, n := range append([]linkedNode{node}, node.ValueReference...) {
		if n.UnitCode != "" && !l.known[n.UnitCode] {
			t.Errorf("%s: %q is no common code", path, n.UnitCode)
		}
	}
	if angle := node.of("angle"); spec.ValueForm == "torque_angle" && (len(angle) != 1 || angle[0].Value != spec.Angle || angle[0].UnitCode != "DD") {
		t.Errorf("%s: an angle of %s° is said as %+v", path, spec.Angle, angle)
	}
	if stages := node.of("stage"); len(stages) < len(spec.Stages) {
		t.Errorf("%s: %d stages of %d", path, len(stages), len(spec.Stages))
	}
	if wear := node.of("wear_limit"); spec.WearLimit != (linkedBand{}) {
		wear[0].holds(t, path+" wear", spec.WearLimit, spec.Unit)
	}
	if c := node.of("converted"); spec.Converted.Unit != "" && spec.Converted.Band != (linkedBand{}) {
		l.seen["converted"]++
		c[0].holds(t, path+" converted", spec.Converted.Band, spec.Converted.Unit)
	}
	others := node.of("alternative")
	if len(others) != len(spec.Alternatives) {
		t.Fatalf("%s: %d alternatives of %d", path, len(others), len(spec.Alternatives))
	}
	for n, other := range spec.Alternatives {
		l.seen["variants"]++
		others[n].holds(t, path+" alternative", other.Band, other.Unit)
	}
	for _, code := range spec.Cautions {
		if !slices.ContainsFunc(node.ValueReference, func(n linkedNode) bool { return n.Type == "DefinedTerm" && n.TermCode == code }) {
			t.Errorf("%s: the caution %s is lost", path, code)
		}
	}
}
