package wire_test

import (
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func caller(t *testing.T, body string) *wire.CallerSpecRequest {
	t.Helper()
	var c wire.CallerSpecRequest
	if err := json.Unmarshal([]byte(body), &c, json.RejectUnknownMembers(true)); err != nil {
		t.Fatalf("%s: %v", body, err)
	}
	return &c
}

func TestToSpecFaults(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, body, code, pointer string }{
		{"no kind", `{"unit":"mm","band":{"upper":1}}`, "missing_kind", "/c/kind"},
		{"unknown kind", `{"kind":"colour","unit":"mm","band":{"upper":1}}`, "unknown_word", "/c/kind"},
		{"no unit", `{"kind":"dimension","band":{"upper":1}}`, "missing_unit", "/c/unit"},
		{"unknown unit", `{"kind":"dimension","unit":"furlong","band":{"upper":1}}`, "unknown_unit", "/c/unit"},
		{"kind other has no room for a sentence", `{"kind":"other","unit":"as it comes","band":{"upper":1}}`, "unknown_unit", "/c/unit"},
		{"kind other is no length", `{"kind":"other","unit":"um","band":{"upper":1}}`, "unit_of_wrong_kind", "/c/unit"},
		{"unit of another kind", `{"kind":"dimension","unit":"N·m","band":{"upper":1}}`, "unit_of_wrong_kind", "/c/unit"},
		{"torque in millimetres", `{"kind":"torque","unit":"mm","band":{"upper":1}}`, "unit_of_wrong_kind", "/c/unit"},
		{"no limit", `{"kind":"dimension","unit":"mm"}`, "no_limit", "/c"},
		{"empty band", `{"kind":"dimension","unit":"mm","band":{}}`, "no_limit", "/c"},
		{"lower over upper", `{"kind":"dimension","unit":"mm","band":{"lower":2,"upper":1}}`, "lower_over_upper", "/c/band"},
		{"target outside", `{"kind":"dimension","unit":"mm","band":{"lower":1,"upper":2},"target":3}`, "target_outside_band", "/c/target"},
		{"wear inside the band", `{"kind":"dimension","unit":"mm","band":{"lower":1,"upper":2},"wear_limit":{"upper":1.5}}`, "wear_limit_inside_band", "/c/wear_limit/upper"},
		{"lower wear inside the band", `{"kind":"dimension","unit":"mm","band":{"lower":1},"wear_limit":{"lower":1.5}}`, "wear_limit_inside_band", "/c/wear_limit/lower"},
		{"decimal comma", `{"kind":"dimension","unit":"mm","band":{"upper":"0,15"}}`, "decimal_comma", "/c/band/upper"},
		{"too many digits", `{"kind":"dimension","unit":"µm","band":{"upper":0.1234567}}`, "too_many_decimals", "/c/band/upper"},
		{"out of range", `{"kind":"dimension","unit":"mm","band":{"upper":1e400}}`, "number_out_of_range", "/c/band/upper"},
		{"decimals no whole number", `{"kind":"dimension","unit":"mm","band":{"upper":1},"decimals":1.5}`, "not_a_whole_number", "/c/decimals"},
		{"negative spread", `{"kind":"dimension","unit":"mm","band":{"upper":1},"points":{"max_spread":-1}}`, "negative", "/c/points/max_spread"},
		{"unknown combine", `{"kind":"dimension","unit":"mm","band":{"upper":1},"points":{"combine":"median"}}`, "unknown_word", "/c/points/combine"},
		{"policy over 100 %", `{"kind":"torque","unit":"N·m","value_form":"single","target":10,"policy":{"percent":101}}`, "out_of_range", "/c/policy/percent"},
		{"unknown hand", `{"kind":"torque","unit":"N·m","band":{"upper":1},"fastener":{"hand":"both"}}`, "unknown_word", "/c/fastener/hand"},
		{"category without words", `{"kind":"category"}`, "no_limit", "/c/allowed"},
		{"too many words", `{"kind":"category","allowed":[` + strings.Repeat(`"a",`, 50) + `"a"]}`, "too_many", "/c/allowed"},
		{"name too long", `{"kind":"dimension","unit":"mm","band":{"upper":1},"name":"` + strings.Repeat("é", 201) + `"}`, "too_long", "/c/name"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var bad fault.List
			_, ok := caller(t, row.body).ToSpec("/c", &bad)
			v, faulty := bad.First()
			if ok || !faulty || v.Code != row.code || v.At.Pointer != row.pointer || v.Fix.Code == "" {
				t.Errorf("ok %v: %+v", ok, v)
			}
		})
	}
}

func TestToSpecKeepsWhatIsWritten(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, body string
		decimals   int
		lower      string
	}{
		{"the finest limit sets the digits", `{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.4}}`, 2, "0.10"},
		{"unless they are named", `{"kind":"dimension","unit":"mm","decimals":3,"band":{"lower":0.10,"upper":0.4}}`, 3, "0.10"},
		{"limits may be equal", `{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.1}}`, 2, "0.10"},
		{"target on the limit", `{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.4},"target":0.1}`, 2, "0.10"},
		{"another spelling of the unit", `{"kind":"torque","unit":"Nm","band":{"lower":22}}`, 0, "22"},
		{"wear limit alone", `{"kind":"dimension","unit":"in","wear_limit":{"upper":0.02}}`, 2, ""},
		{"not published needs no limit", `{"kind":"torque","unit":"N·m","value_form":"not_published"}`, 0, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var bad fault.List
			s, ok := caller(t, row.body).ToSpec("", &bad)
			if !ok {
				t.Fatalf("%+v", bad.Err())
			}
			if s.Decimals != row.decimals || s.Band.HasLower && s.Band.Lower.String() != row.lower || s.Source.Class != "caller" {
				t.Errorf("%+v", s)
			}
		})
	}
}

// rich is a spec with nearly every field, shown as answers show it.
func rich() *spec.Spec {
	d := quantity.MustParse
	return &spec.Spec{Key: "pl-85/counter-shaft/key-bolt", Kind: spec.Torque, Name: spec.English("Bolt"), Unit: "N·m", Decimals: 1,
		ValueForm: spec.TorqueAngle, Band: quantity.Between(d("22.0"), d("26.5")), Target: d("24"), HasTarget: true, TargetPolicy: spec.NotAbove,
		TurnAngle: d("90"), HasTurnAngle: true, AngleTolerance: d("5"), HasAngleTolerance: true, Remedy: spec.Replace, Critical: true,
		Stages:    []spec.Stage{{Value: d("10"), HasValue: true, Pattern: "crosswise"}},
		Plausible: quantity.Between(d("0"), d("100")), State: spec.English("cold"), Conditions: []string{"cold"},
		Points:   spec.Points{Minimum: 1, MaxSpread: d("1.0"), HasMaxSpread: true},
		Fastener: &spec.Fastener{Thread: "M8x1.25", Hand: spec.Left, Condition: "dry", Count: 4, Prevailing: "extra", Running: d("2.1"), HasRunning: true, Slots: 6},
		After:    []spec.Key{"pl-85/counter-shaft/gear-face"}, Waiver: true,
		Cautions: []string{"left_hand_thread"}, DecidedBy: spec.DecidedBy{Variant: "b"}, Source: &spec.Source{Class: "maker", Title: "Book"}, RevisionDate: "2026-11-01"}
}

func TestAnAnsweredSpecIsACallersSpec(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, unit := range []wire.UnitChoice{nil, wire.System("imperial")} {
		shown := wire.ShowResolved(catalogue.Resolved{Spec: rich(), Undecided: true, Alternatives: []catalogue.Override{{Variant: "a", Spec: rich()}}},
			"de", book, catalogue.Defaults{}, unit)
		body, err := json.Marshal(shown)
		if err != nil {
			t.Fatal(err)
		}
		var bad fault.List
		s, ok := caller(t, string(body)).ToSpec("", &bad)
		if !ok {
			t.Fatalf("%s: %+v", body, bad.Err())
		}
		s.Source, s.DecidedBy, s.RevisionDate, s.After, s.Waiver = rich().Source, rich().DecidedBy, rich().RevisionDate, rich().After, rich().Waiver
		again, _ := json.Marshal(wire.Show(s, "de", book, catalogue.Defaults{}, nil))
		first, _ := json.Marshal(wire.Show(rich(), "de", book, catalogue.Defaults{}, nil))
		if string(again) != string(first) {
			t.Errorf("came back as\n%s\nfrom\n%s", again, first)
		}
	}
}

func FuzzToSpec(f *testing.F) {
	for _, s := range []string{`{"kind":"dimension","unit":"mm","band":{"lower":0.1,"upper":0.4}}`, `{"kind":"torque","unit":"N·m","value_form":"single","target":10,"policy":{"percent":5}}`,
		`{"kind":"category","allowed":["a"]}`, `{"kind":"other","unit":"kPa","band":{"lower":1e17}}`, `{"kind":"dimension","unit":"in","band":{"upper":-0.0}}`} {
		f.Add([]byte(s))
	}
	book := text.New()
	f.Fuzz(func(t *testing.T, b []byte) {
		var c wire.CallerSpecRequest
		if json.Unmarshal(b, &c, json.RejectUnknownMembers(true)) != nil {
			return
		}
		var bad fault.List
		s, ok := c.ToSpec("", &bad)
		if ok != (bad.Len() == 0) {
			t.Fatalf("ok is %v with %d faults", ok, bad.Len())
		}
		if ok {
			if w := wire.Show(s, "en", book, catalogue.Defaults{}, wire.System("imperial")); w.Display.Summary == "" {
				t.Errorf("nothing to show of %s", b)
			}
		}
	})
}
