package api_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

type amount struct {
	Value json.Number
	Unit  string
}

type given struct {
	Value, Total, Net json.Number
	Band              struct{ Lower, Upper json.Number }
	Unit              string
}

// setting is what the tests read of an answer about a wrench.
type setting struct {
	Outcome, Text, Hand, Method, Best string
	Exact, Set                        amount
	SetWithRunning                    amount `json:"set_with_running"`
	Gives                             given
	InBand                            bool `json:"in_band"`
	GoodEnough                        bool `json:"good_enough"`
	Ratio                             json.Number
	Guard                             struct{ Lower, Upper json.Number } `json:"guard_limits"`
	Accuracy                          struct {
		Percent json.Number
		Source  string
	}
	Warnings, Next, Cautions []struct{ Code, Text string }
	Wrenches                 []struct {
		ID   string
		Good bool `json:"good_enough"`
		Why  []struct{ Code, Text string }
	}
	Stages []struct {
		Stage int
		Set   amount
	}
	Castle struct {
		Reached json.Number
		Most    json.Number `json:"reached_at_most"`
		Allowed bool
	}
}

func setTorque(t *testing.T, h http.Handler, body string) setting {
	t.Helper()
	w := post(h, "/v1/torque-settings", body)
	if w.Code != 200 {
		t.Fatalf("%s: %d %s", body, w.Code, w.Body)
	}
	var s setting
	if err := json.Unmarshal(w.Body.Bytes(), &s); err != nil {
		t.Fatal(err)
	}
	return s
}

const thirty = `"wanted":{"value":30,"band":{"lower":28,"upper":32},"unit":"N·m"}`

// clickWrench is 300 mm long, goes from 5 to 50 N·m in steps of 0.5 and is good for ±4 %.
const clickWrench = `"wrench":{"length":300,"unit":"mm","torque_unit":"N·m","range":{"lower":5,"upper":50},"step":0.5,"accuracy_percent":4,"directions":"both"}`

func straight(angle string) string {
	return `"extension":{"length":50,"unit":"mm","angle_deg":` + angle + `}`
}

// Common practice, no source; the figures are the adapter formula by hand.
func TestTorqueSettings(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, row := range []struct {
		name, body                             string
		exact, set, gives, total, lower, upper string
		warnings                               string
	}{
		{"50 mm straight on", thirty + "," + straight("0") + "," + clickWrench, "25.714286", "25.5", "29.75", "", "28.56", "30.94", ""},
		{"with a running torque", thirty + "," + straight("0") + "," + clickWrench + `,"running_torque":2.1`, "27.514286", "27.5", "29.983333", "32.083333", "28.7", "31.266667", ""},
		{"square to the lever", thirty + "," + straight("90") + "," + clickWrench, "30", "30.0", "30", "", "28.8", "31.2", ""},
		{"folded back", thirty + "," + straight("180") + "," + clickWrench, "36", "36.0", "30", "", "28.8", "31.2", ""},
		{"lengths in inches", thirty + `,"extension":{"length":2,"unit":"in","angle_deg":0},"wrench":{"length":12,"unit":"in","accuracy_percent":0}`, "25.714286", "25.714286", "30", "", "30", "30", ""},
		{"no wrench at all", thirty, "30", "30", "30", "", "", "", ""},
		{"out of range", `"wanted":{"value":12,"band":{"lower":10.8,"upper":13.2},"unit":"N·m"},"wrench":{"torque_unit":"N·m","range":{"lower":20,"upper":200},"step":1,"accuracy_percent":4}`,
			"12", "12", "12", "", "11.52", "12.48", "below_range"},
		{"a one-way wrench on a left-hand thread", `"wanted":{"value":30,"band":{"lower":28,"upper":32},"unit":"N·m","hand":"left"},"wrench":{"directions":"clockwise","accuracy_percent":4}`,
			"30", "30", "30", "", "28.8", "31.2", "wrong_direction"},
		{"an accuracy that nobody told is that of the kind", thirty + `,"wrench":{"torque_unit":"N·m","range":{"upper":60}}`, "30", "30", "30", "", "28.8", "31.2", "accuracy_assumed"},
		{"a small wrench is coarser", `"wanted":{"value":5,"band":{"lower":4,"upper":6},"unit":"N·m"},"wrench":{"torque_unit":"N·m","range":{"upper":10}}`, "5", "5", "5", "", "4.7", "5.3", "accuracy_assumed"},
		{"a class of ISO 6789-1", thirty + `,"wrench":{"tool_type":"II","tool_class":"C"}`, "30", "30", "30", "", "28.2", "31.8", ""},
		{"a policy stands in for the band", `"wanted":{"value":28,"unit":"N·m","policy":{"percent":5}},` + clickWrench, "28", "28.0", "28", "", "26.88", "29.12", "tolerance_is_policy"},
		{"a figure without a band", `"wanted":{"value":30,"unit":"N·m"},` + clickWrench, "30", "30.0", "30", "", "28.8", "31.2", "tolerance_unknown"},
		{"a band without a figure", `"wanted":{"band":{"lower":28,"upper":33},"unit":"N·m"},` + clickWrench, "30.5", "30.5", "30.5", "", "29.28", "31.72", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			s := setTorque(t, h, "{"+row.body+"}")
			got := []string{s.Exact.Value.String(), s.Set.Value.String(), s.Gives.Value.String(), s.Gives.Total.String(), s.Gives.Band.Lower.String(), s.Gives.Band.Upper.String(), codes(s.Warnings)}
			if diff := cmp.Diff([]string{row.exact, row.set, row.gives, row.total, row.lower, row.upper, row.warnings}, got); diff != "" {
				t.Error(diff)
			}
			if s.Outcome != "set" || s.Method == "" || !strings.Contains(codes(s.Cautions), "not_for_brake_steering_lifting") || !strings.Contains(codes(s.Cautions), "verify_with_maker") {
				t.Errorf("%+v", s)
			}
		})
	}
}

// What an eye reads has the digits of the band or of the step, and more where rounding would reach a limit.
func TestSettingsAreShown(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, row := range []struct{ body, want string }{
		{thirty + "," + straight("0") + "," + clickWrench, "set 25.5 N·m, which gives 29.8 N·m (28.6 to 30.9 N·m with the tool's error); wanted 30 N·m, 28 to 32 N·m"},
		{`"wanted":{"band":{"lower":28,"upper":33},"unit":"N·m"}`, "set 30.5 N·m, which gives 30.5 N·m; wanted 30.5 N·m, 28 to 33 N·m"},
		{`"wanted":{"value":30,"band":{"lower":28,"upper":30.04},"unit":"N·m"},"wrench":{"torque_unit":"N·m","step":0.5,"accuracy_percent":0.1}`,
			"set 30.0 N·m, which gives 30.00 N·m (29.97 to 30.03 N·m with the tool's error); wanted 30.00 N·m, 28.00 to 30.04 N·m"},
		{`"wanted":{"value":10,"band":{"lower":9,"upper":10},"unit":"N·m"},"wrench":{"accuracy_percent":0.3}`,
			"set 9.97 N·m, which gives 9.97 N·m (9.94 to 9.999999 N·m with the tool's error); wanted 10 N·m, 9 to 10 N·m"},
		// What speaks against the wrench stands in front of its setting, and the left-hand thread in front of everything.
		{`"wanted":{"value":60,"band":{"lower":55,"upper":65},"unit":"N·m"},` + clickWrench,
			"NOT with this wrench: 60.0 N·m is over the range of the wrench, which ends at 50 N·m; set 60.0 N·m, which gives 60.0 N·m (57.6 to 62.4 N·m with the tool's error); wanted 60 N·m, 55 to 65 N·m"},
		{`"wanted":{"value":30,"band":{"lower":28,"upper":32},"unit":"N·m","hand":"left"},"wrench":{"directions":"clockwise","accuracy_percent":4}`,
			"LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise): NOT with this wrench: the wrench does not work in the direction in which this thread tightens; set 30 N·m, which gives 30 N·m (29 to 31 N·m with the tool's error); wanted 30 N·m, 28 to 32 N·m"},
		{thirty + `,"wrench":{"directions":"anticlockwise"}`,
			"NOT with this wrench: the wrench does not work in the direction in which this thread tightens; set 30 N·m, which gives 30 N·m (29 to 31 N·m with the tool's error); wanted 30 N·m, 28 to 32 N·m"},
		// Without a band what is wanted has to be met.
		{`"wanted":{"value":60,"unit":"N·m"},` + clickWrench,
			"NOT with this wrench: 60 N·m is over the range of the wrench, which ends at 50 N·m; set 50.0 N·m, which gives 50.0 N·m (48.0 to 52.0 N·m with the tool's error); wanted 60 N·m"},
		{`"wanted":{"value":12,"unit":"N·m"},"wrench":{"step":5,"torque_unit":"N·m","accuracy_percent":4}`,
			"NOT with this wrench: no setting of this wrench gives the wanted 12 N·m: this one gives 10 N·m; set 10 N·m, which gives 10 N·m (9.6 to 10.4 N·m with the tool's error); wanted 12 N·m"},
		{`"wanted":{"value":30,"band":{"lower":29.5,"upper":30.5},"unit":"N·m"},"wrench":{"accuracy_percent":4}`,
			"NOT with this wrench: no setting of this wrench surely stays in the band: this one gives 28.8 N·m to 31.2 N·m; set 30.0 N·m, which gives 30.0 N·m (28.8 to 31.2 N·m with the tool's error); wanted 30.0 N·m, 29.5 to 30.5 N·m"},
	} {
		if s := setTorque(t, h, "{"+row.body+"}"); s.Text != row.want {
			t.Errorf("%s\ngot  %s\nwant %s", row.body, s.Text, row.want)
		}
	}
}

func TestRunningTorqueInEveryPlace(t *testing.T) {
	t.Parallel()
	h, _ := bare(t) // an object is read, though the file documents the number
	for _, body := range []string{
		"{" + thirty + `,"running_torque":2.1}`, "{" + thirty + `,"running_torque":{"value":2.1,"unit":"Nm"}}`,
		`{"wanted":{"value":30,"band":{"lower":28,"upper":32},"unit":"N·m","running_torque":2.1}}`,
	} {
		if s := setTorque(t, h, body); s.Set.Value != "32.1" || s.Gives.Net != "30" {
			t.Errorf("%s: %+v", body, s)
		}
	}
	const silent = `{"spec":"pl-85/head/head-nuts","running_torque":2.1}`
	if s := setTorque(t, h, silent); s.Set.Value != "22" || s.SetWithRunning.Value != "24.1" || !strings.Contains(codes(s.Warnings), "prevailing_unstated") {
		t.Errorf("a silent source gives both: %+v", s)
	}
	const extra = `{"spec":"ov-120/coupling/coupling-bolts","running_torque":2.1}`
	if s := setTorque(t, h, extra); s.Set.Value != "24.6" || s.SetWithRunning.Value != "" {
		t.Errorf("an extra one is added: %+v", s)
	}
}

func TestTorqueOfTheCatalogue(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, key := range []string{"pl-85/counter-shaft/key-bolt", "pl-85/kick-start/stop-bolt"} {
		s := setTorque(t, h, `{"spec":"`+key+`",`+clickWrench+`}`)
		if s.Hand != "left" || !strings.HasPrefix(s.Text, "LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise): set") || strings.Count(s.Text, "LEFT-HAND") != 1 ||
			s.Cautions[0].Code != "left_hand_thread" || !strings.Contains(s.Text, "DEMO") {
			t.Errorf("%s: %s %v", key, s.Text, s.Cautions)
		}
	}
	for key, outcome := range map[string]string{"pl-85/case/steering-bracket-bolt": "out_of_scope", "pl-85/case/case-screw": "not_published"} {
		w := post(h, "/v1/torque-settings", `{"spec":"`+key+`",`+clickWrench+`}`)
		if w.Code != 200 || !strings.Contains(w.Body.String(), `"outcome":"`+outcome+`"`) || strings.Contains(w.Body.String(), `"set":`) || strings.Contains(w.Body.String(), `"wanted":`) {
			t.Errorf("%s: %d %s", key, w.Code, w.Body)
		}
	}
	own := `{"caller_spec":{"kind":"torque","unit":"N·m","value_form":"out_of_scope","band":{"lower":22,"upper":26}}}`
	if w := post(h, "/v1/torque-settings", own); w.Code != 200 || !strings.Contains(w.Body.String(), `"out_of_scope"`) || strings.Contains(w.Body.String(), "22") && strings.Contains(w.Body.String(), `"set":`) {
		t.Errorf("a caller's own joint out of scope: %d %s", w.Code, w.Body)
	}
	stages := setTorque(t, h, `{"spec":"ov-120/head/head-bolts",`+clickWrench+`}`)
	if len(stages.Stages) != 3 || stages.Stages[0].Set.Value != "10.0" || stages.Stages[2].Set.Value != "28.0" || !strings.Contains(codes(stages.Next), "in_stages") {
		t.Errorf("%+v", stages)
	}
	pounds := setTorque(t, h, `{"spec":"pl-85/head/spark-plug","wrench":{"torque_unit":"N·m","step":0.5,"accuracy_percent":4}}`)
	if pounds.Set.Unit != "N·m" || pounds.Set.Value != "22.5" || pounds.Gives.Unit != "lbf·ft" || !pounds.GoodEnough {
		t.Errorf("%+v", pounds)
	}
}

// Common practice, no source.
func TestWrenchesOffered(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	s := setTorque(t, h, `{"wanted":{"value":12,"band":{"lower":10.8,"upper":13.2},"unit":"N·m"},"wrenches":[
		{"id":"large","torque_unit":"N·m","range":{"lower":20,"upper":200},"step":1,"accuracy_percent":4},
		{"id":"small","torque_unit":"N·m","range":{"lower":5,"upper":25},"step":0.1,"accuracy_percent":4}]}`)
	if s.Best != "small" || s.Ratio != "2.5" || s.Guard.Lower != "11.3" || s.Guard.Upper != "12.6" || !s.GoodEnough {
		t.Errorf("%+v", s)
	}
	if len(s.Wrenches) != 2 || s.Wrenches[0].Good || codes(s.Wrenches[0].Why) != "not_good_enough_ratio below_range" || !strings.Contains(s.Wrenches[1].Why[0].Text, "2.5") {
		t.Errorf("%+v", s.Wrenches)
	}
}

// Common practice, no source.
func TestCastleNutOverHTTP(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	ask := func(angle string) setting {
		return setTorque(t, h, `{"spec":"qb-270/governor/spindle-nut","castle":{`+angle+`"torque_per_degree":0.9},"wrench":{"torque_unit":"N·m","step":1,"accuracy_percent":1}}`)
	}
	if s := ask(`"angle_deg":14,`); s.Castle.Reached != "57.6" || !s.Castle.Allowed || s.Set.Value != "46" || codes(s.Warnings) != "" {
		t.Errorf("%+v", s)
	}
	if s := ask(`"angle_deg":22,`); s.Castle.Reached != "64.8" || s.Castle.Allowed || !strings.HasPrefix(codes(s.Warnings), "castle_advance_refused") {
		t.Errorf("%+v", s)
	}
	if s := ask(`"angle_deg":16,`); !s.Castle.Allowed || codes(s.Warnings) != "castle_may_pass" || s.Castle.Most != "60.86" {
		t.Errorf("%+v", s)
	}
	if s := ask(""); s.Castle.Reached != "99" || s.Castle.Allowed {
		t.Errorf("six slots are at most 60° apart: %+v", s)
	}
}
