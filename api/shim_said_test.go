package api_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

// saidPlan is what a plan says beside its options.
type saidPlan struct {
	Outcome, Text string
	Needed        bool
	Order         []struct{ Display string }
	ToOrder       []shimOption `json:"to_order"`
	Rejected      []shimOption
	Sensitivity   []struct{ Text string }
	Thickness     struct{ Display string }
	Warnings      []struct {
		Code, Text string
		Params     []struct{ Name, Value, Unit string }
	}
}

func (p *saidPlan) codes() (list []string) {
	for _, w := range p.Warnings {
		list = append(list, w.Code)
	}
	return list
}

// stackPlan is a plan of the gear stack of the demo over two measured pieces; more is what else the body has.
func stackPlan(unit, value, pieces, more string) string {
	return `{"unit":"` + unit + `","variant":"b","shims":["pl-85/counter-shaft/stack-shims"],"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm",
		"readings":[{"value":` + value + `}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}],
		"fitted":[{"place":"left","pieces":[{"thickness":` + pieces + `,"measured":true}]},{"place":"right","pieces":[{"thickness":` + pieces + `,"measured":true}]}]` + more + `}`
}

func saidOf(t *testing.T, query, body string) saidPlan {
	t.Helper()
	h, _ := demo(t)
	w := send(h, "/v1/shim-plans"+query, "application/json", []byte(body))
	var p saidPlan
	if err := json.Unmarshal(w.Body.Bytes(), &p); w.Code != 200 || err != nil {
		t.Fatalf("%d %v: %s", w.Code, err, w.Body)
	}
	return p
}

// What needs no buying and is not sure enough is never named without saying so.
func TestAPlanSaysThatWhatIsAtHandIsNotSure(t *testing.T) {
	t.Parallel()
	body := stackPlan("mm", "0.36", "1.10", `,"offset_now":0,"on_hand":[{"thickness":1.11,"count":2}]`)
	for lang, want := range map[string]string{"en": "not sure enough: left side 1.11 mm", "de": "nicht sicher genug: linke Seite 1.11 mm", "fr": "pas assez sûr\u00a0: côté gauche 1.11 mm",
		"it": "non abbastanza sicuro: lato sinistro 1.11 mm", "es": "no suficientemente seguro: lado izquierdo 1.11 mm"} {
		if p := saidOf(t, "?lang="+lang, body); !strings.Contains(p.Text, want) {
			t.Errorf("%s: %s", lang, p.Text)
		}
	}
	sure := saidOf(t, "", stackPlan("mm", "0.36", "1.10", `,"offset_now":0,"on_hand":[{"thickness":1.18,"count":2,"measured":true}]`))
	if !strings.Contains(sure.Text, "; without buying anything: left side 1.18 mm") {
		t.Error(sure.Text)
	}
}

// Where all that needs no buying is worse than what is fitted, the plan says to leave that.
func TestAPlanSaysToLeaveItWhereNothingAtHandIsBetter(t *testing.T) {
	t.Parallel()
	p := saidOf(t, "", stackPlan("mm", "0.25", "1.10", `,"offset_now":0,"on_hand":[{"thickness":1.05,"count":1}]`))
	if p.Outcome != "change" || !strings.HasSuffix(p.Text, "; without buying anything: leave it as it is.") {
		t.Error(p.Outcome, p.Text)
	}
}

// A thickness that is not that of its part number is warned of; the stated one counts.
func TestAPlanWarnsOfAPartNumberOfAnotherSize(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, pieces, onHand, code, text string }{
		{"on hand", "1.10", `{"thickness":1.3,"sku":"PL-SH-125"}`, "sku_other_thickness_on_hand", "On hand, PL-SH-125 is 1.25 mm thick, and 1.3 mm is stated; 1.3 mm is used."},
		{"on hand, as the ladder has it", "1.10", `{"thickness":1.250,"sku":"PL-SH-125"}`, "", ""},
		{"on hand, a number that no ladder has", "1.10", `{"thickness":1.3,"sku":"OTHER-125"}`, "", ""},
		{"measured, inside the tolerance of its size", "1.10", `{"thickness":1.235,"sku":"PL-SH-125","measured":true}`, "", ""},
		{"measured, at the lower end of it", "1.10", `{"thickness":1.23,"sku":"PL-SH-125","measured":true}`, "", ""},
		{"measured, 1 µm under it", "1.10", `{"thickness":1.229,"sku":"PL-SH-125","measured":true}`, "sku_other_thickness_on_hand", "On hand, PL-SH-125 is 1.25 mm thick, and 1.229 mm is stated; 1.229 mm is used."},
		{"fitted", `1.10,"sku":"PL-SH-120"`, "", "sku_other_thickness", "left side: PL-SH-120 is 1.20 mm thick, and 1.10 mm is stated; 1.10 mm is used."},
	} {
		p := saidOf(t, "", stackPlan("mm", "0.36", row.pieces, `,"offset_now":0,"on_hand":[`+row.onHand+`]`))
		at := slices.IndexFunc(p.Warnings, func(w struct {
			Code, Text string
			Params     []struct{ Name, Value, Unit string }
		}) bool {
			return strings.HasPrefix(w.Code, "sku_")
		})
		switch {
		case row.code == "" && at >= 0:
			t.Errorf("%s: %v", row.name, p.Warnings[at])
		case row.code != "" && (at < 0 || p.Warnings[at].Code != row.code || p.Warnings[at].Text != row.text):
			t.Errorf("%s: %v", row.name, p.Warnings)
		}
	}
}

// Where the stack stands now counts as the middle where nobody says, and that is said.
func TestAPlanSaysThatAnOffsetWasTakenAs0(t *testing.T) {
	t.Parallel()
	const code = "offset_taken_as_0"
	if p := saidOf(t, "", stackPlan("mm", "0.62", "1.00", "")); !slices.Contains(p.codes(), code) {
		t.Error("silent:", p.codes())
	}
	if p := saidOf(t, "", stackPlan("mm", "0.62", "1.00", `,"offset_now":0`)); slices.Contains(p.codes(), code) {
		t.Error("said, and it was given")
	}
	const engine = `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims","qb-270/valves/inlet-bucket"],"sets":[SETS],
		"measured":[{"spec":"pl-85/counter-shaft/axial-play","readings":[{"value":0.62}]},{"spec":"qb-270/valves/inlet","readings":[{"value":0.20}]}],
		"fitted":[{"shims":"pl-85/counter-shaft/stack-shims","place":"left","pieces":[{"thickness":1.0}]},{"shims":"pl-85/counter-shaft/stack-shims","place":"right","pieces":[{"thickness":1.0}]},
		{"shims":"qb-270/valves/inlet-bucket","place":"bucket","pieces":[{"thickness":2.5}]}]}`
	p := saidOf(t, "", strings.Replace(engine, "SETS", `{"shims":"qb-270/valves/inlet-bucket"}`, 1))
	if n := strings.Count(strings.Join(p.codes(), " "), code); n != 1 {
		t.Errorf("said %d times: %v", n, p.Warnings)
	}
	if p = saidOf(t, "", strings.Replace(engine, "SETS", `{"shims":"pl-85/counter-shaft/stack-shims","offset_now":0.02}`, 1)); slices.Contains(p.codes(), code) {
		t.Error("said, and the set has it")
	}
}

// Where nothing can be planned, needed still says whether what was read is a decided pass.
func TestARefusedPlanSaysWhetherItIsNeeded(t *testing.T) {
	t.Parallel()
	unknown := func(value string) string {
		body := stackPlan("mm", value, "1.00", "")
		return body[:strings.Index(body, `,
		"fitted"`)] + "}"
	}
	for _, row := range []struct {
		name, body string
		needed     bool
	}{
		{"implausible", stackPlan("mm", "2.5", "1.00", ""), true},
		{"unknown thickness, a decided fail", unknown("0.62"), true},
		{"unknown thickness, undecided", unknown("0.36"), true},
		{"unknown thickness, a decided pass", unknown("0.20"), false},
	} {
		if p := saidOf(t, "", row.body); p.Outcome != "refused" || p.Needed != row.needed {
			t.Errorf("%s: %s, needed %t", row.name, p.Outcome, p.Needed)
		}
	}
}

// A size of another unit than its ladder is shown with the fewest digits that misstate no size by more than a twentieth of a
// step, what was stated as it was, an offset on its side of the limit, and a total rounded inward. 0.05 mm are 0.00197 in,
// a tenth of which is more than 0.0001: four digits (25.4 mm are an inch, exactly).
func TestAPlanInInchesHasSensibleDigits(t *testing.T) {
	t.Parallel()
	p := saidOf(t, "", stackPlan("in", "0.62", "0.0394", `,"offset_now":0,"max_options":50`))
	if p.ToOrder[0].Text != "left side 0.0492 in | right side 0.0492 in → 0.14 mm" || p.ToOrder[0].Places[0].Pieces[0].Thickness != "0.0492126" {
		t.Error(p.ToOrder[0])
	}
	if len(p.Order) != 1 || p.Order[0].Display != "2 × 0.0492 in (1.25 mm) PL-SH-125" || p.Thickness.Display != "0.0895–0.1000 in" {
		t.Error(p.Order, p.Thickness)
	}
	var said []string
	for _, o := range slices.Concat(p.ToOrder, p.Rejected) {
		said = append(said, o.Text)
		for _, r := range o.Reasons {
			said = append(said, r.Text)
		}
	}
	all := strings.Join(said, "\n")
	for _, want := range []string{"Stands 0.0039 in off the middle", "Stands 0.0020 in off the middle, right side.", "Stands 0.0049 in off the middle, left side, past the limit of 0.0039 in."} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in %s", want, all)
		}
	}
	if stated := saidOf(t, "", stackPlan("in", "0.62", "0.0394", `,"offset_now":0,"on_hand":[{"thickness":0.05015}]`)); stated.ToOrder[0].Text != "left side 0.05015 in | right side 0.0492 in → 0.11 mm" {
		t.Error(stated.ToOrder[0].Text)
	}
	if want := "left side, 0.0020 in thicker: Axial play of the gear stack −0.05 mm, offset 0.0010 in, right side."; p.Sensitivity[0].Text != want {
		t.Error(p.Sensitivity[0].Text)
	}
}

// Two places of the same name are told apart by what their sets are called.
func TestAPlanOfSeveralSetsNamesTheSets(t *testing.T) {
	t.Parallel()
	const body = `{"unit":"mm","shims":["qb-270/valves/inlet-bucket","qb-270/valves/exhaust-bucket"],
		"measured":[{"spec":"qb-270/valves/inlet","readings":[{"value":0.05}]},{"spec":"qb-270/valves/exhaust","readings":[{"value":0.30}]}],
		"fitted":[{"shims":"qb-270/valves/inlet-bucket","place":"bucket","pieces":[{"thickness":2.5,"stamped":2.55}]},{"shims":"qb-270/valves/exhaust-bucket","place":"bucket","pieces":[{"thickness":2.45}]}]}`
	p := saidOf(t, "?lang=de", body)
	if want := "Einbauen: Tassenplättchen Auslass 2.550 mm | Tassenplättchen Einlass 2.450 mm (von Tassenplättchen Auslass) → "; !strings.HasPrefix(p.Text, want) {
		t.Error(p.Text)
	}
	if w := p.Warnings[len(p.Warnings)-1]; w.Text != "Tassenplättchen Einlass: eine mit 2.55 mm gestempelte Scheibe ist 2.5 mm dick." {
		t.Error(w)
	}
	if want := "Tassenplättchen Einlass, 0.025 mm dicker: Ventilspiel Einlass −0.025 mm."; p.Sensitivity[1].Text != want {
		t.Error(p.Sensitivity[1].Text)
	}
}

func TestHowManyOptionsMayBeAsked(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	w := send(h, "/v1/shim-plans", "application/json", []byte(stackPlan("mm", "0.62", "1.00", `,"max_options":51`)))
	if s := w.Body.String(); w.Code != 422 || !strings.Contains(s, `"fix":"send 1 to 50"`) || !strings.Contains(s, `"pointer":"/max_options"`) {
		t.Error(w.Code, s)
	}
}
