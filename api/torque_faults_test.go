package api_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
)

// faultsOf are "code pointer" of every fault of a problem, which must be the status.
func faultsOf(t *testing.T, h http.Handler, target, body string, status int) string {
	t.Helper()
	w := post(h, target, body)
	var p struct {
		Errors []struct{ Code, Pointer, Detail, Fix string }
	}
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != status {
		t.Fatalf("%s: %d %s", body, w.Code, w.Body)
	}
	var list []string
	for _, e := range p.Errors {
		if e.Detail == "" || e.Fix == "" {
			t.Errorf("%s: %s says nothing", body, e.Code)
		}
		list = append(list, e.Code+" "+e.Pointer)
	}
	return strings.Join(list, ", ")
}

func TestFaultsOfSettings(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	lever := func(length string) string { return `"wrench":{"length":` + length + `,"unit":"mm"}` }
	for _, row := range []struct {
		name, body string
		status     int
		want       string
	}{
		{"nothing wanted", `{}`, 422, "missing_spec "},
		{"wanted twice", `{"spec":"pl-85/head/head-nuts",` + thirty + `}`, 422, "two_specs "},
		{"unknown spec", `{"spec":"pl-85/head/head-nut"}`, 422, "unknown_spec /spec"},
		{"a length", `{"spec":"pl-85/counter-shaft/axial-play"}`, 422, "not_a_torque /spec"},
		{"no unit", `{"wanted":{"value":30}}`, 422, "missing_unit /wanted/unit"},
		{"a unit of length", `{"wanted":{"value":30,"unit":"mm"}}`, 422, "unit_of_wrong_kind /wanted/unit"},
		{"no number", `{"wanted":{"unit":"N·m"}}`, 422, "missing_value /wanted/value"},
		{"a band with one end and no number", `{"wanted":{"unit":"N·m","band":{"lower":28}}}`, 422, "missing_value /wanted/value"},
		{"zero", `{"wanted":{"value":0,"unit":"N·m"}}`, 422, "out_of_range /wanted/value"},
		{"below zero", `{"wanted":{"value":-5,"unit":"N·m"}}`, 422, "out_of_range /wanted/value"},
		{"more than any wrench", `{"wanted":{"value":1000000.1,"unit":"N·m"}}`, 422, "out_of_range /wanted/value"},
		{"a decimal comma", `{"wanted":{"value":"30,5","unit":"N·m"}}`, 422, "decimal_comma /wanted/value"},
		{"seven decimals", `{"wanted":{"value":30.0000001,"unit":"N·m"}}`, 422, "too_many_decimals /wanted/value"},
		{"band and policy", `{"wanted":{"value":30,"band":{"lower":28,"upper":32},"policy":{"percent":5},"unit":"N·m"}}`, 422, "two_values /wanted/policy"},
		{"a policy of 101 %", `{"wanted":{"value":30,"policy":{"percent":101},"unit":"N·m"}}`, 422, "out_of_range /wanted/policy/percent"},
		{"out of its band", `{"wanted":{"value":33,"band":{"lower":28,"upper":32},"unit":"N·m"}}`, 422, "target_outside_band /wanted/value"},
		{"limits exchanged", `{"wanted":{"value":30,"band":{"lower":32,"upper":28},"unit":"N·m"}}`, 422, "lower_over_upper /wanted/band"},
		{"an unknown hand", `{"wanted":{"value":30,"unit":"N·m","hand":"up"}}`, 422, "unknown_word /wanted/hand"},
		{"extension without lever", `{` + thirty + `,` + straight("0") + `}`, 422, "missing_value /wrench/length"},
		{"extension without unit", `{` + thirty + `,"extension":{"length":50},` + lever("300") + `}`, 422, "missing_unit /extension/unit"},
		{"negative extension", `{` + thirty + `,"extension":{"length":-50,"unit":"mm"},` + lever("300") + `}`, 422, "negative /extension/length"},
		{"more than a turn", `{` + thirty + `,` + straight("361") + `,` + lever("300") + `}`, 422, "out_of_range /extension/angle_deg"},
		{"zero lever", `{` + thirty + `,` + straight("0") + `,` + lever("0") + `}`, 422, "not_positive /wrench/length"},
		{"negative lever", `{` + thirty + `,` + straight("0") + `,` + lever("-300") + `}`, 422, "not_positive /wrench/length"},
		{"lever without unit", `{` + thirty + `,"wrench":{"length":300}}`, 422, "missing_unit /wrench/unit"},
		{"longer than the lever", `{` + thirty + `,` + straight("0") + `,` + lever("40") + `}`, 422, "extension_longer_than_lever /extension/length"},
		{"folded back to the grip", `{` + thirty + `,` + straight("180") + `,` + lever("50") + `}`, 422, "extension_too_long /extension/length"},
		{"folded back past the grip", `{` + thirty + `,` + straight("180") + `,` + lever("40") + `}`, 422, "extension_too_long /extension/length"},
		{"almost to the grip", `{` + thirty + `,"extension":{"length":50,"unit":"mm","angle_deg":180},` + lever("50.000000001") + `}`, 422, "extension_too_long /extension/length"},
		{"range without unit", `{` + thirty + `,"wrench":{"range":{"lower":5,"upper":50}}}`, 422, "missing_unit /wrench/torque_unit"},
		{"range exchanged", `{` + thirty + `,"wrench":{"torque_unit":"N·m","range":{"lower":50,"upper":5}}}`, 422, "lower_over_upper /wrench/range"},
		{"range that ends at zero", `{` + thirty + `,"wrench":{"torque_unit":"N·m","range":{"upper":0}}}`, 422, "not_positive /wrench/range/upper"},
		{"step of zero", `{` + thirty + `,"wrench":{"torque_unit":"N·m","step":0}}`, 422, "not_positive /wrench/step"},
		{"accuracy below zero", `{` + thirty + `,"wrench":{"accuracy_percent":-1}}`, 422, "out_of_range /wrench/accuracy_percent"},
		{"accuracy of 51 %", `{` + thirty + `,"wrench":{"accuracy_percent":51}}`, 422, "out_of_range /wrench/accuracy_percent"},
		{"a class that no type has", `{` + thirty + `,"wrench":{"tool_type":"I","tool_class":"G"}}`, 422, "unknown_word /wrench/tool_class"},
		{"a direction that is none", `{` + thirty + `,"wrench":{"directions":"wrong"}}`, 422, "unknown_word /wrench/directions"},
		{"wrench and wrenches", `{` + thirty + `,"wrench":{},"wrenches":[{}]}`, 422, "two_values /wrenches"},
		{"no wrench offered", `{` + thirty + `,"wrenches":[]}`, 422, "missing_value /wrenches"},
		{"21 wrenches", `{` + thirty + `,"wrenches":[` + strings.Repeat("{},", 20) + `{}]}`, 422, "too_many /wrenches"},
		{"running torque below zero", `{` + thirty + `,"running_torque":-1}`, 422, "out_of_range /running_torque"},
		{"castle without slope", `{` + thirty + `,"castle":{"angle_deg":14}}`, 422, "missing_value /castle/torque_per_degree"},
		{"castle without angle", `{` + thirty + `,"castle":{"torque_per_degree":0.9}}`, 422, "missing_value /castle/angle_deg"},
		{"castle without a limit", `{"wanted":{"value":45,"unit":"N·m"},"castle":{"angle_deg":14,"torque_per_degree":0.9}}`, 422, "no_limit /castle"},
		{"everything at once", `{"wanted":{"value":"a","unit":"x"},"extension":{"length":-1,"unit":"mm"},"wrench":{"length":0,"unit":"mm","step":-1,"torque_unit":"N·m"}}`, 422,
			"unknown_unit /wanted/unit, not_a_number /wanted/value, not_positive /wrench/length, not_positive /wrench/step, negative /extension/length"},
		{"unknown key", `{"wanted":{"value":30,"unit":"N·m","colour":1}}`, 400, "unknown_key /wanted/colour"},
		{"wrong case", `{"Wanted":{"value":30,"unit":"N·m"}}`, 400, "unknown_key /Wanted"},
		{"wrong type", `{"wanted":[]}`, 400, "wrong_type /wanted"},
		{"a running torque that is none", `{` + thirty + `,"running_torque":true}`, 400, "wrong_type /running_torque"},
		{"null", `{"wanted":null}`, 400, "null_value /wanted"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if got := faultsOf(t, h, "/v1/torque-settings", row.body, row.status); got != row.want {
				t.Errorf("got %q, want %q", got, row.want)
			}
		})
	}
}

func TestFaultsOfEstimates(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const friction = `"friction":{"thread":0.12,"head":0.12}`
	joint := func(more string) string { return `{"thread":"M8","property_class":"8.8",` + more + `}` }
	for _, row := range []struct{ name, body, want string }{
		{"nothing", `{}`, "missing_thread /thread, missing_value /friction/thread, missing_value /friction/head"},
		{"unknown thread", `{"thread":"Q8","property_class":"8.8",` + friction + `}`, "unknown_thread /thread"},
		{"a size out of the tables", `{"thread":"M30","property_class":"8.8",` + friction + `}`, "unknown_thread /thread"},
		{"a pitch that does not exist", `{"thread":"M8x1.3","property_class":"8.8",` + friction + `}`, "no_such_pitch /thread"},
		{"no class", `{"thread":"M8",` + friction + `}`, "missing_class /property_class"},
		{"unknown class", `{"thread":"M8","property_class":"8.9",` + friction + `}`, "unknown_class /property_class"},
		{"a grade on a metric thread", `{"thread":"M8","property_class":"SAE 5",` + friction + `}`, "class_not_for_thread /property_class"},
		{"9.8 above M16", `{"thread":"M20","property_class":"9.8",` + friction + `}`, "class_not_for_size /property_class"},
		{"friction 0", joint(`"friction":{"thread":0,"head":0.12}`), "out_of_range /friction/thread"},
		{"friction 2", joint(`"friction":{"thread":0.12,"head":2}`), "out_of_range /friction/head"},
		{"half a friction", joint(`"friction":{"thread":0.12}`), "missing_value /friction/head"},
		{"a decimal comma", joint(`"friction":{"thread":"0,12","head":0.12}`), "decimal_comma /friction/thread"},
		{"utilisation over 1", joint(friction + `,"utilisation":1.01`), "out_of_range /utilisation"},
		{"utilisation 0", joint(friction + `,"utilisation":0`), "out_of_range /utilisation"},
		{"unknown head", joint(friction + `,"head":"wing"`), "unknown_word /head"},
		{"no such head", `{"thread":"M9","property_class":"8.8",` + friction + `}`, "no_face /bearing"},
		{"a face inside its hole", joint(friction + `,"bearing":{"outer":9,"hole":9,"unit":"mm"}`), "out_of_range /bearing"},
		{"a face without unit", joint(friction + `,"bearing":{"outer":12,"hole":9}`), "missing_unit /bearing/unit"},
		{"friction and nut factor", joint(friction + `,"nut_factor":0.2`), "two_values /friction"},
		{"no nut factor", joint(`"model":"nut_factor"`), "missing_value /nut_factor"},
		{"nut factor 2", joint(`"nut_factor":2`), "out_of_range /nut_factor"},
		{"unknown model", joint(friction + `,"model":"guess"`), "unknown_word /model"},
		{"unknown way to tighten", joint(friction + `,"tightening":"shouting"`), "unknown_word /tightening"},
		{"unknown purpose", joint(friction + `,"purpose":"fun"`), "unknown_word /purpose"},
		{"engaged without strength", joint(friction + `,"engaged_in":{"material":"light_alloy","length_mm":12}`), "missing_value /engaged_in/shear_strength_mpa"},
		{"engaged by nothing", joint(friction + `,"engaged_in":{"shear_strength_mpa":150,"length_mm":0}`), "out_of_range /engaged_in/length_mm"},
		{"stiffness without unit", joint(friction + `,"stiffness":{"joint":120}`), "missing_unit /stiffness/unit"},
		{"stiffness in two forms", joint(friction + `,"stiffness":{"joint":120,"bolt":1,"parts":1,"unit":"kN/mm"}`), "two_values /stiffness"},
		{"half a stiffness", joint(friction + `,"stiffness":{"bolt":120,"unit":"kN/mm"}`), "missing_value /stiffness/parts"},
		{"an equal clamp without unit", joint(friction + `,"equal_clamp":{` + friction + `,"torque":22}`), "missing_unit /equal_clamp/unit"},
		{"a torque unit that is none", joint(friction + `,"torque_unit":"mm"`), "unit_of_wrong_kind /torque_unit"},
		{"unknown spec", `{"spec":"pl-85/x/y",` + friction + `}`, "unknown_spec /spec, missing_thread /thread"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if got := faultsOf(t, h, "/v1/torque-estimates", row.body, 422); got != row.want {
				t.Errorf("got %q, want %q", got, row.want)
			}
		})
	}
}

// Whoever has no figure for the friction is told what it may be: the remedy says how large such a figure is.
func TestAMissingFrictionHasAnExample(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for lang, want := range map[string]string{"en": "such as 0.12 oiled or 0.16 dry", "de": "etwa 0.12 geölt oder 0.16 trocken"} {
		w := post(h, "/v1/torque-estimates?lang="+lang, `{"thread":"M8","property_class":"8.8"}`)
		if w.Code != 422 || strings.Count(w.Body.String(), want) != 2 {
			t.Errorf("%s: %d %s", lang, w.Code, w.Body)
		}
	}
}

// Whatever a body holds, the answer is a document: never a fault of ours, never a panic.
func FuzzTorqueBodies(f *testing.F) {
	h, _ := bare(f)
	for _, s := range []string{
		"{" + thirty + "," + straight("45") + "," + clickWrench + "}", `{"wanted":{"value":1e-6,"unit":"kgf·cm"},"wrench":{"torque_unit":"lbf·ft","step":0.000001,"accuracy_percent":50}}`,
		`{"wanted":{"value":999999,"unit":"kgf·m"},"wrench":{"torque_unit":"lbf·in","step":999999}}`, `{"spec":"qb-270/governor/spindle-nut","castle":{"torque_per_degree":0.000000001}}`,
		`{"thread":"M8","property_class":"8.8","friction":{"thread":0.12,"head":0.12}}`, `{"thread":"3/8-16 UNC","property_class":"SAE 8","nut_factor":0.2,"torque_unit":"lbf·ft"}`,
		`{"thread":"M24x2","property_class":"A4-80","friction":{"thread":1,"head":1},"utilisation":1e-9,"engaged_in":{"shear_strength_mpa":1,"length_mm":0.1},"stiffness":{"bolt":1e9,"parts":0.001,"unit":"N/mm"}}`,
		`{"running_torque":{"value":1}}`, `[]`, `{`, `null`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		for _, target := range []string{"/v1/torque-settings", "/v1/torque-estimates"} {
			w := post(h, target, string(body))
			if w.Code != 200 && w.Code != 400 && w.Code != 413 && w.Code != 422 {
				t.Fatalf("%s: %d %s", target, w.Code, w.Body)
			}
			if !json.Valid(w.Body.Bytes()) {
				t.Fatalf("%s: %s", target, w.Body)
			}
		}
	})
}

// The words that stand within a fault are those of its language, and never the code by which the source names them.
func TestWordsWithinAFaultAreSaid(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const joint, friction = `{"thread":"M8","property_class":"8.8",`, `"friction":{"thread":0.12,"head":0.12},`
	for _, row := range []struct{ body, english, german string }{
		{joint + `"friction":{"thread":9,"head":0.12}}`, "a coefficient of friction lies from ", "eine Reibungszahl liegt von "},
		{joint + `"nut_factor":9}`, "a nut factor lies from ", "ein K-Faktor liegt von "},
		{joint + friction + `"engaged_in":{"material":"light_alloy","shear_strength_mpa":9000,"length_mm":12}}`, "a shear strength in MPa lies from ", "eine Scherfestigkeit in MPa liegt von "},
		{joint + friction + `"engaged_in":{"material":"light_alloy","shear_strength_mpa":150,"length_mm":9000}}`, "an engaged length in mm lies from ", "eine Einschraubtiefe in mm liegt von "},
		{joint + friction + `"stiffness":{"joint":1e12,"unit":"kN/mm"}}`, "a stiffness lies from ", "eine Steifigkeit liegt von "},
	} {
		for lang, want := range map[string]string{"en": row.english, "de": row.german} {
			var p struct{ Errors []struct{ Detail string } }
			w := post(h, "/v1/torque-estimates?lang="+lang, row.body)
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != 422 || len(p.Errors) != 1 || !strings.HasPrefix(p.Errors[0].Detail, want) {
				t.Errorf("%s: %d %s", want, w.Code, w.Body)
			}
		}
	}
}
