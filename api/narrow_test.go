package api_test

import (
	"encoding/json"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/api/apitest"
	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// carrier is a family whose one spec differs between variants and for a marked part, and a shim set that differs too.
func carrier(t *testing.T) http.Handler {
	t.Helper()
	play := func(upper string, by spec.DecidedBy) *spec.Spec {
		return &spec.Spec{Key: "ov-1/carrier/float", Kind: spec.Dimension, Name: spec.English("Float"), Unit: "mm", Decimals: 2,
			Band: quantity.AtMost(quantity.MustParse(upper)), DecidedBy: by, Source: &spec.Source{Class: "maker"}}
	}
	set := func() *spec.ShimSet {
		return &spec.ShimSet{Key: "ov-1/carrier/shims", Unit: "mm", Decimals: 2, Places: []spec.Place{{ID: "one", MinPieces: 1, MaxPieces: 1}}}
	}
	f := &catalogue.Family{Key: "ov-1", Name: spec.English("OV-1"), Variants: []catalogue.Variant{{ID: "a"}, {ID: "b"}, {ID: "c"}},
		Components: []*catalogue.Component{{Key: "carrier", Name: spec.English("Carrier"), Marks: []string{"K2"},
			Specs: []*catalogue.Entry{{Base: play("0.20", spec.DecidedBy{}), Overrides: []catalogue.Override{
				{Variant: "b", Spec: play("0.30", spec.DecidedBy{Variant: "b"})},
				{Mark: "carrier:K2", Spec: play("0.40", spec.DecidedBy{Mark: "carrier:K2"})}}}},
			Shims: []*catalogue.ShimEntry{{Base: set(), Overrides: []catalogue.ShimOverride{{Variant: "b", Shims: set()}}}},
			Parts: []*catalogue.Part{{SKU: "ALL"}, {SKU: "ONLY-B", Variants: []string{"b"}}}}}}
	rev, err := catalogue.New("r-test", "2026-11-01", []*catalogue.Family{f}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: one{rev}, Log: slog.New(slog.DiscardHandler)}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	return apitest.Handler(t, h)
}

func TestTheEngineNarrowsASpec(t *testing.T) {
	t.Parallel()
	h := carrier(t)
	const at = "/v1/families/ov-1/components/carrier/specs/float"
	for _, row := range []struct {
		name, query, upper string
		alternatives       []string
	}{
		{"nothing named: the base and its alternatives", "", "0.20", []string{"b", "carrier:K2"}},
		{"the variant that differs", "?variant=b", "0.30", nil},
		{"a variant that does not differ", "?variant=a", "0.20", nil},
		{"the mark beats the variant", "?variant=b&mark=carrier:K2", "0.40", nil},
		{"the mark alone", "?mark=carrier:K2", "0.40", nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var a specAnswer
			fetch(t, h, at+row.query, &a)
			var names []string
			for _, alt := range a.Spec.Alternatives {
				names = append(names, alt.Variant+alt.Mark)
				if !strings.HasPrefix(alt.Display.Summary, "at most 0.") {
					t.Errorf("alternative %+v", alt)
				}
			}
			if a.Spec.Band.Upper.String() != row.upper || !slices.Equal(names, row.alternatives) {
				t.Errorf("upper %s, alternatives %v", a.Spec.Band.Upper, names)
			}
		})
	}
}

func TestTheEngineNarrowsPartsAndShims(t *testing.T) {
	t.Parallel()
	h := carrier(t)
	for query, want := range map[string]int{"": 2, "?variant=b": 2, "?variant=a": 1} {
		var c struct {
			Parts []struct{ SKU string }
			Shims []struct{ Alternatives []struct{ Href string } }
		}
		fetch(t, h, "/v1/families/ov-1/components/carrier"+query, &c)
		if len(c.Parts) != want {
			t.Errorf("%s: parts %+v", query, c.Parts)
		}
		if alts := c.Shims[0].Alternatives; (query == "") != (len(alts) == 1) {
			t.Errorf("%s: shims %+v", query, c.Shims)
		}
	}
}

func TestParametersOfLookUpsAreFaulted(t *testing.T) {
	t.Parallel()
	h := carrier(t)
	const component = "/v1/families/ov-1/components/carrier"
	for _, row := range []struct {
		name, target string
		status       int
		code, param  string
		says         string
	}{
		{"unknown variant", component + "/specs/float?variant=z", 400, "bad_parameter", "variant", "a, b, c"},
		{"unknown mark", component + "/specs/float?mark=carrier:X", 400, "bad_parameter", "mark", "carrier:K2"},
		{"mark of no component", component + "/specs/float?mark=crank:X", 400, "bad_parameter", "mark", "carrier"},
		{"mark without a colon", component + "/specs/float?mark=K2", 400, "bad_parameter", "mark", "component:mark"},
		{"unknown unit", component + "/specs/float?unit=furlong", 400, "unknown_unit", "unit", "mm"},
		{"unit of another kind", component + "/specs/float?unit=Nm", 400, "unit_of_wrong_kind", "unit", "thou"},
		{"unit and unit_system", component + "/specs/float?unit=in&unit_system=imperial", 400, "bad_parameter", "unit_system", "one of"},
		{"unknown unit for a component", component + "?unit=furlong", 400, "unknown_unit", "unit", "mm"},
		{"unknown system", component + "?unit_system=troy", 400, "bad_parameter", "unit_system", "imperial"},
		{"page of nothing", "/v1/specs?page_size=0", 400, "bad_parameter", "page_size", "1 to 1000"},
		{"page too large", "/v1/specs?page_size=1001", 400, "bad_parameter", "page_size", "1000"},
		{"token that is none", "/v1/specs?page_token=abc", 400, "bad_page_token", "page_token", "without it"},
		{"kind that is none", "/v1/specs?kind=colour", 400, "bad_parameter", "kind", "torque"},
		{"unknown family in a filter", "/v1/specs?family=ov-2", 400, "bad_parameter", "family", "ov-1"},
		{"unknown component in a filter", "/v1/specs?family=ov-1&component=carier", 400, "bad_parameter", "component", "carrier"},
		{"component of another family", "/v1/specs?family=ov-1&component=pl/carrier", 400, "bad_parameter", "component", "leave"},
		{"variant of no family", "/v1/specs?variant=b", 400, "bad_parameter", "variant", "family"},
		{"unknown family", "/v1/families/ov-2", 404, "unknown_family", "", "ov-1"},
		{"unknown component", "/v1/families/ov-1/components/carier", 404, "unknown_component", "", "ov-1/carrier"},
		{"unknown spec", component + "/specs/flaot", 404, "unknown_spec", "", "ov-1/carrier/float"},
		{"unknown shims", component + "/shims/shim", 404, "unknown_shims", "", "ov-1/carrier/shims"},
		{"path that leaves", component + "/specs/..%2f..%2fetc", 404, "unknown_spec", "", "GET " + component},
		{"family in another case", "/v1/families/OV-1", 404, "unknown_family", "", "ov-1"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			w := do(h, "GET", row.target)
			var p struct {
				Code, Detail string
				Errors       []struct{ Code, Parameter, Detail, Fix string }
			}
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
				t.Fatal(err)
			}
			if w.Code != row.status || p.Code != row.code || !strings.Contains(w.Body.String(), row.says) {
				t.Fatalf("%d %s", w.Code, w.Body)
			}
			if row.param != "" && (len(p.Errors) != 1 || p.Errors[0].Parameter != row.param) {
				t.Errorf("%+v", p.Errors)
			}
		})
	}
}

func TestATokenBelongsToItsQueryAndRevision(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	var list struct {
		NextPageToken string `json:"next_page_token"`
	}
	fetch(t, h, "/v1/specs?page_size=1&kind=torque", &list)
	if list.NextPageToken == "" {
		t.Fatal("no token")
	}
	for query, want := range map[string]int{"kind=torque": 200, "kind=torque&lang=de": 200, "kind=dimension": 400, "": 400} {
		if w := do(h, "GET", "/v1/specs?page_token="+list.NextPageToken+"&"+query); w.Code != want {
			t.Errorf("%q: %d %s", query, w.Code, w.Body)
		}
	}
	if w := do(carrier(t), "GET", "/v1/specs?kind=torque&page_token="+list.NextPageToken); w.Code != 400 || !strings.Contains(w.Body.String(), "another revision") {
		t.Errorf("another revision: %d %s", w.Code, w.Body)
	}
}

func TestSearchOverlooksCaseAccentsAndOneSlip(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for query, found := range map[string]bool{
		"axial play": true, "AXIAL": true, "axail": true, "axialspiel": true, "Axialspiél": true, "pellumbra+axial": true, "zzz": false, "axlai": false,
	} {
		var list struct{ Items []shownSpec }
		fetch(t, h, "/v1/specs?q="+strings.ReplaceAll(query, " ", "+"), &list)
		got := slices.ContainsFunc(list.Items, func(s shownSpec) bool { return s.Key == "pl-85/counter-shaft/axial-play" })
		if got != found {
			t.Errorf("%q finds it: %v", query, got)
		}
	}
}
