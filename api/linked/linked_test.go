package linked_test

import (
	"fmt"
	"os"
	"regexp"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	"github.com/google/go-cmp/cmp"

	"endfloat/api/linked"
	"endfloat/api/wire"
	"endfloat/service/quantity"
)

func number(s string) wire.Decimal { return wire.Dec(quantity.MustParse(s)) }

func said() linked.Said {
	return linked.Said{Base: "https://limits.example", Revision: "r-1", Aim: "Aim", Wear: "Wear limit", Converted: "Converted", Alternative: "Instead, with",
		Always: "verify_with_maker", Cautions: []wire.Caution{{Code: "left_hand_thread", Severity: 1, Text: "Left-hand thread."},
			{Code: "hot_parts", Severity: 3, Text: "Hot."}, {Code: "verify_with_maker", Severity: 8, Text: "Check."}}}
}

// Every code is the one that the QUDT vocabulary of units quotes from UN/CEFACT Recommendation 20.
func TestCodesAreThoseOfTheRecommendation(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("testdata/qudt-units.nq")
	if err != nil {
		t.Fatal(err)
	}
	published := map[string]string{}
	for _, m := range regexp.MustCompile(`vocab/unit/([^>]+)> <http://qudt.org/schema/qudt/uneceCommonCode> "([^"]+)"`).FindAllStringSubmatch(string(text), -1) {
		published[m[1]] = m[2]
	}
	units := map[string]string{"mm": "MilliM", "µm": "MicroM", "in": "IN", "thou": "MilliIN", "N·m": "N-M", "lbf·ft": "LB_F-FT", "lbf·in": "LB_F-IN",
		"kgf·m": "KiloGM_F-M", "°": "DEG", "N": "N", "kPa": "KiloPA", "bar": "BAR", "cm³": "CentiM3", "%": "PERCENT"}
	if len(units) != len(published) {
		t.Errorf("%d units, %d published", len(units), len(published))
	}
	for unit, name := range units {
		if code := linked.Code(unit); code == "" || code != published[name] {
			t.Errorf("%s is %q, published is %q", unit, code, published[name])
		}
	}
	for _, unit := range []string{"kgf·cm", "turns", "", "MM"} {
		if code := linked.Code(unit); code != "" {
			t.Errorf("%q has the code %s", unit, code)
		}
	}
}

func TestCautionsGoWithTheirValue(t *testing.T) {
	t.Parallel()
	s := wire.Spec{Key: "a/b/c", Name: "Bolt", Unit: "N·m", Band: wire.Band{Lower: number("22"), Upper: number("26")},
		Cautions: []string{"left_hand_thread"}, Display: wire.Display{Summary: "LEFT-HAND THREAD: 22–26 N·m"}}
	got := linked.Property(s, said())
	if got.Description != "Left-hand thread. Check. LEFT-HAND THREAD: 22–26 N·m" {
		t.Error(got.Description)
	}
	if len(got.ValueReference) != 2 || got.ValueReference[0].TermCode != "left_hand_thread" || got.ValueReference[1].TermCode != "verify_with_maker" {
		t.Errorf("%+v", got.ValueReference)
	}
}

func TestWhatHasNoNumberHasNone(t *testing.T) {
	t.Parallel()
	for name, s := range map[string]wire.Spec{
		"out of scope":  {Key: "a/b/c", Unit: "N·m", ValueForm: "out_of_scope", Display: wire.Display{Summary: "out of scope"}},
		"not published": {Key: "a/b/c", Unit: "N·m", ValueForm: "not_published", Display: wire.Display{Summary: "not published"}},
		"category":      {Key: "a/b/c", Kind: "category", Allowed: []string{"centred"}, Display: wire.Display{Summary: "allowed: centred"}},
	} {
		text, err := json.Marshal(linked.Document(linked.Property(s, said())))
		if err != nil || regexp.MustCompile(`"(value|minValue|maxValue|unitCode|unitText)"`).Match(text) {
			t.Errorf("%s: %s %v", name, text, err)
		}
	}
	single := linked.Property(wire.Spec{Unit: "N·m", Target: number("10")}, linked.Said{})
	if single.Value.IsZero() || single.ID != "" {
		t.Errorf("%+v", single)
	}
}

// A torque that an angle follows is no torque to judge by (common practice, no source): as the number of the node itself
// it would be read as one.
func TestTorqueAndAngleStandApart(t *testing.T) {
	t.Parallel()
	got := linked.Property(wire.Spec{Unit: "N·m", ValueForm: "torque_angle", Target: number("20"), Angle: number("90"), AngleTolerance: number("5")}, linked.Said{Aim: "Aim"})
	if !got.Value.IsZero() || !got.MinValue.IsZero() || !got.MaxValue.IsZero() || got.UnitCode != "" {
		t.Errorf("%+v", got)
	}
	want := []linked.Thing{{Type: "PropertyValue", PropertyID: "target", Name: "Aim", Value: number("20"), UnitCode: "NU", UnitText: "N·m"},
		{Type: "PropertyValue", PropertyID: "angle", Value: number("90"), UnitCode: "DD", UnitText: "°"},
		{Type: "PropertyValue", PropertyID: "angle_tolerance", Value: number("5"), UnitCode: "DD", UnitText: "°"}}
	if diff := cmp.Diff(want, got.ValueReference, same); diff != "" {
		t.Error(diff)
	}
}

func TestEveryStageIsSaid(t *testing.T) {
	t.Parallel()
	got := linked.Property(wire.Spec{Unit: "N·m", ValueForm: "stages", Band: wire.Band{Lower: number("26"), Upper: number("30")},
		Stages: []wire.Stage{{Value: number("10"), Pattern: "crosswise"}, {Value: number("28"), Angle: number("60")}}}, linked.Said{})
	want := []linked.Thing{{Type: "PropertyValue", PropertyID: "stage", Value: number("10"), UnitCode: "NU", UnitText: "N·m"},
		{Type: "PropertyValue", PropertyID: "stage", Value: number("28"), UnitCode: "NU", UnitText: "N·m"},
		{Type: "PropertyValue", PropertyID: "stage", Value: number("60"), UnitCode: "DD", UnitText: "°"}}
	if diff := cmp.Diff(want, got.ValueReference, same); diff != "" {
		t.Error(diff)
	}
}

// same compares two nodes as they are written.
var same = cmp.Comparer(func(a, b linked.Thing) bool {
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	return errX == nil && errY == nil && string(x) == string(y)
})

func ExampleProperty() {
	play := wire.Spec{Key: "pl-85/counter-shaft/axial-play", Href: "/v1/…/axial-play", Name: "Axial play", Unit: "mm",
		Band: wire.Band{Lower: number("0.08"), Upper: number("0.35")}, Target: number("0.08"), Display: wire.Display{Summary: "0.08–0.35 mm", Source: "DEMO"}}
	text, _ := json.Marshal(linked.Document(linked.Property(play, linked.Said{Aim: "Aim", Revision: "r-1"})), jsontext.WithIndent("  "))
	fmt.Println(string(text))
	// Output:
	// {
	//   "@context": "https://schema.org",
	//   "@type": "PropertyValue",
	//   "name": "Axial play",
	//   "description": "0.08–0.35 mm",
	//   "propertyID": "pl-85/counter-shaft/axial-play",
	//   "minValue": 0.08,
	//   "maxValue": 0.35,
	//   "unitCode": "MMT",
	//   "unitText": "mm",
	//   "valueReference": [
	//     {
	//       "@type": "PropertyValue",
	//       "name": "Aim",
	//       "propertyID": "target",
	//       "value": 0.08,
	//       "unitCode": "MMT",
	//       "unitText": "mm"
	//     }
	//   ],
	//   "subjectOf": [
	//     {
	//       "@type": "Dataset",
	//       "name": "DEMO",
	//       "version": "r-1"
	//     }
	//   ]
	// }
}

// A document stands inside a script element of a page: no name ends it, and reading it gives the name back.
func TestADocumentEndsNoScript(t *testing.T) {
	t.Parallel()
	const name = `</script><script>alert("1")</script><!-- & `
	body, err := linked.Encode(linked.Document(linked.Property(wire.Spec{Key: "a/b/c", Name: name, State: name}, said())))
	if err != nil || regexp.MustCompile(`[<>&]`).Match(body) {
		t.Fatalf("%v: %s", err, body)
	}
	var back linked.Thing
	if err := json.Unmarshal(body, &back); err != nil || back.Name != name || back.Technique != name {
		t.Errorf("%v: %+v", err, back)
	}
}
