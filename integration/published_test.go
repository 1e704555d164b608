//go:build integration

package integration_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"testing"
)

// published is a line of a data file: what a publication gives for some inputs, and how the figure was had.
type published struct {
	ID          string
	Inputs      map[string]any
	Expected    map[string]float64
	Tolerance   json.RawMessage
	PublishedIn string `json:"published_in"`
	KnownFrom   string `json:"known_from"`
}

func cases(t *testing.T, names ...string) []published {
	t.Helper()
	var all []published
	for _, name := range names {
		for line := range bytes.Lines(content(t, name)) {
			var p published
			if err := json.Unmarshal(line, &p); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if p.PublishedIn == "" || p.KnownFrom == "" {
				t.Errorf("%s: %s does not say where it is from", name, p.ID)
			}
			all = append(all, p)
		}
	}
	return all
}

// agrees holds a figure against the published one by the tolerance of the case: {"abs":…}, {"rel":…}, or
// one of these for each figure by name.
func (p published) agrees(t *testing.T, name string, got string) {
	t.Helper()
	type tolerance struct{ Abs, Rel float64 }
	var one tolerance
	var each map[string]tolerance
	if json.Unmarshal(p.Tolerance, &each) == nil {
		one = each[name]
	} else if err := json.Unmarshal(p.Tolerance, &one); err != nil {
		t.Fatal(err)
	}
	want := p.Expected[name]
	x, err := strconv.ParseFloat(got, 64)
	if allowed := max(one.Abs, one.Rel*math.Abs(want)); err != nil || allowed == 0 || math.Abs(x-want) > allowed*(1+1e-9) {
		t.Errorf("%s: %s is %s, published %v ± %v (%s, %s)", p.ID, name, got, want, allowed, p.PublishedIn, p.KnownFrom)
	}
}

// Tightening torques and clamp forces of VDI 2230, through the service: no head is sent, so the hexagon head is assumed,
// as the tables do.
func TestTorqueEstimatesAreThoseOfPublishedTables(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	all := cases(t, "service/torque/testdata/vdi2230_table_a1.jsonl", "service/torque/testdata/vdi2230_fine.jsonl")
	if len(all) < 100 {
		t.Fatalf("only %d cases", len(all))
	}
	for _, p := range all {
		body := fmt.Sprintf(`{"thread":%q,"property_class":%q,"friction":{"thread":%v,"head":%v},"utilisation":%v}`,
			p.Inputs["thread"], p.Inputs["class"], p.Inputs["mu_G"], p.Inputs["mu_K"], p.Inputs["utilisation"])
		got := ask(t, s, client, "/v1/torque-estimates", body)
		expect(t, got, "source.class", "generic", "clamp_force.unit", "kN", "torque.unit", "N·m")
		p.agrees(t, "F_M_kN", at(got, "clamp_force.value"))
		p.agrees(t, "M_A_Nm", at(got, "torque.value"))
	}
}

// What to set on a wrench with an extension, through the service.
func TestWrenchSettingsAreThoseOfPublishedExamples(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	units := map[any][2]string{"lbf·in": {"lbf·in", "in"}, "lbf·ft": {"lbf·ft", "in"}, "N·m, mm": {"N·m", "mm"}}
	checked := 0
	for _, p := range cases(t, "service/torque/testdata/torque_adapter.jsonl") {
		unit, known := units[p.Inputs["unit"]]
		if !known {
			continue // a torque from a setting: what the service calls gives, checked by its own unit
		}
		checked++
		body := fmt.Sprintf(`{"wanted":{"value":%v,"unit":%q},"extension":{"length":%v,"unit":%q,"angle_deg":%v},"wrench":{"length":%v,"unit":%[4]q,"torque_unit":%[2]q}}`,
			p.Inputs["T"], unit[0], p.Inputs["E"], unit[1], p.Inputs["angle_deg"], p.Inputs["L"])
		got := ask(t, s, client, "/v1/torque-settings", body)
		expect(t, got, "exact.unit", unit[0])
		p.agrees(t, "setting", at(got, "exact.value"))
	}
	if checked < 8 {
		t.Errorf("only %d cases", checked)
	}
}

// A conversion stays inside what is published, by the exact definition of the inch (NIST SP 811, appendix B).
func TestConversionsAreInward(t *testing.T) {
	t.Parallel()
	s := start(t)
	a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+axialPlay+"?unit=in", ""))
	var got any
	dec := json.NewDecoder(bytes.NewReader(a.Body))
	dec.UseNumber()
	if err := dec.Decode(&got); err != nil {
		t.Fatal(err)
	}
	expect(t, got, "spec.unit", "mm", "spec.band.lower", "0.08", "spec.band.upper", "0.35", "spec.converted.unit", "in",
		"spec.converted.band.lower", "0.0032", "spec.converted.band.upper", "0.0137")
	const inch = 25.4
	for _, end := range []string{"lower", "upper"} {
		x, err := strconv.ParseFloat(at(got, "spec.converted.band."+end), 64)
		if mm := x * inch; err != nil || mm < 0.08 || mm > 0.35 {
			t.Errorf("%s is %v in, %v mm", end, x, mm)
		}
	}
}
