package api_test

import (
	"log/slog"
	"net/http"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// bolts is a family with a bolt whose torque differs between variants, and one that is published for one variant alone.
func bolts(t *testing.T) http.Handler {
	t.Helper()
	bolt := func(key, lower, upper string, by spec.DecidedBy) *spec.Spec {
		s := &spec.Spec{Key: spec.Key("ov-1/carrier/" + key), Kind: spec.Torque, Name: spec.English("Bolt"), Unit: "N·m", DecidedBy: by, Source: &spec.Source{Class: "maker"},
			Fastener: &spec.Fastener{Thread: "M8", PropertyClass: "8.8", Hand: spec.Left}, ValueForm: spec.NotPublished}
		if lower != "" {
			s.ValueForm, s.Band = spec.Range, quantity.Between(quantity.MustParse(lower), quantity.MustParse(upper))
		}
		return s
	}
	b, k2 := spec.DecidedBy{Variant: "b"}, spec.DecidedBy{Mark: "carrier:K2"}
	f := &catalogue.Family{Key: "ov-1", Name: spec.English("OV-1"), Variants: []catalogue.Variant{{ID: "a"}, {ID: "b"}},
		Components: []*catalogue.Component{{Key: "carrier", Name: spec.English("Carrier"), Marks: []string{"K2"}, Specs: []*catalogue.Entry{
			{Base: bolt("bolt", "20", "24", spec.DecidedBy{}), Overrides: []catalogue.Override{{Variant: "b", Spec: bolt("bolt", "28", "32", b)}, {Mark: "carrier:K2", Spec: bolt("bolt", "38", "42", k2)}}},
			{Base: bolt("stud", "", "", spec.DecidedBy{}), Overrides: []catalogue.Override{{Variant: "b", Spec: bolt("stud", "28", "32", b)}}}}}}}
	rev, err := catalogue.New("r-test", "2026-11-01", []*catalogue.Family{f}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: one{rev}, Log: slog.New(slog.DiscardHandler)}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func TestTheEngineDecidesWhatToSet(t *testing.T) {
	t.Parallel()
	h := bolts(t)
	for _, row := range []struct{ name, engine, outcome, set string }{
		{"nothing named", ``, "variant", ""},
		{"the variant that differs", `,"variant":"b"`, "set", "30"},
		{"the variant that does not", `,"variant":"a"`, "set", "22"},
		{"the mark beats the variant", `,"variant":"b","marks":[{"component":"carrier","mark":"K2"}]`, "set", "40"},
	} {
		s := setTorque(t, h, `{"spec":"ov-1/carrier/bolt"`+row.engine+`}`)
		if s.Outcome != row.outcome || s.Set.Value.String() != row.set || s.Hand != "left" || !strings.HasPrefix(s.Text, "LEFT-HAND THREAD") {
			t.Errorf("%s: %+v", row.name, s)
		}
		if row.outcome == "variant" && codes(s.Next) != "name_the_variant" {
			t.Errorf("%s: %v", row.name, s.Next)
		}
	}
	for body, want := range map[string]string{
		`{"spec":"ov-1/carrier/bolt","variant":"z"}`:                                "/variant",
		`{"spec":"ov-1/carrier/bolt","marks":[{"component":"carrier","mark":"Z"}]}`: "/marks/0",
	} {
		if got := faultsOf(t, h, "/v1/torque-settings", body, 422); !strings.HasSuffix(got, want) {
			t.Errorf("%s: %s", body, got)
		}
	}
}

// A figure that is published for one variant is enough to refuse a generic one where no variant is named.
func TestAGenericFigureNeverMeetsAPublishedOne(t *testing.T) {
	t.Parallel()
	h := bolts(t)
	for engine, reason := range map[string]string{``: "published_stands", `,"variant":"b"`: "published_stands", `,"variant":"a"`: "refused_left_hand"} {
		e := estimateTorque(t, h, `{"spec":"ov-1/carrier/stud","friction":{"thread":0.12,"head":0.12}`+engine+`}`)
		if e.Outcome != "refused" || e.Reason != reason || e.Torque.Value != "" || !strings.HasPrefix(e.Text, "LEFT-HAND THREAD") || !strings.Contains(codes(e.Cautions), "left_hand_thread") {
			t.Errorf("%q: %+v", engine, e)
		}
	}
}

func TestEqualClampOfAGivenTorque(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	joint := `{"thread":"M8","property_class":"8.8","friction":{"thread":0.12,"head":0.12},"torque_unit":"lbf·ft","equal_clamp":{"friction":{"thread":0.12,"head":0.12},"torque":`
	for _, unit := range []string{`22,"unit":"lbf·ft"}}`, `29.827995,"unit":"N·m"}}`} {
		if e := estimateTorque(t, h, joint+unit); e.Equal.Torque.Value != "22.00" || e.Equal.Torque.Unit != "lbf·ft" {
			t.Errorf("the same friction asks the same torque: %+v", e.Equal)
		}
	}
	const friction = `{"thread":"M8","property_class":"8.8","nut_factor":0.2,"equal_clamp":{"friction":{"thread":0.1,"head":0.1}}}`
	if got := faultsOf(t, h, "/v1/torque-estimates", friction, 422); got != "needs_friction /equal_clamp" {
		t.Error(got)
	}
	if got := faultsOf(t, h, "/v1/torque-estimates", joint+`0,"unit":"N·m"}}`, 422); got != "out_of_range /equal_clamp/torque" {
		t.Error(got)
	}
}
