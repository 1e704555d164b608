package judge_test

import (
	"strings"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func newtons(s spec.Spec) *spec.Spec {
	s.Kind, s.Unit = spec.Torque, quantity.NewtonMetre
	return &s
}

// recorded is what one fastener was tightened to.
func recorded(value string, more ...func(*measure.Reading)) measure.Reading {
	r := measure.Reading{Value: dec(value), HasValue: true}
	for _, m := range more {
		m(&r)
	}
	return r
}

func turned(angle string) func(*measure.Reading) {
	return func(r *measure.Reading) { r.Angle, r.HasAngle = dec(angle), true }
}

func running(torque string) func(*measure.Reading) {
	return func(r *measure.Reading) { r.Running, r.HasRunning = dec(torque), true }
}

func words(list []note.Note) string {
	var s []string
	for _, n := range list {
		s = append(s, n.Code)
	}
	return strings.Join(s, " ")
}

// Common practice, no source. Conformance probabilities are those of JCGM 106 with u = a/√3.
func TestTorqueCases(t *testing.T) {
	t.Parallel()
	click := measure.Instrument{Kind: "click_wrench", Percent: measure.Some(4)}
	single := func(target, percent string) *spec.Spec {
		return newtons(spec.Spec{ValueForm: spec.Single, Target: dec(target), HasTarget: true, PolicyPercent: dec(percent), HasPolicy: true})
	}
	locknut := func(prevailing string) *spec.Spec {
		return newtons(spec.Spec{Decimals: 1, Band: quantity.Between(dec("10.8"), dec("13.2")), Target: dec("12.0"), HasTarget: true,
			Fastener: &spec.Fastener{Prevailing: prevailing, Running: dec("1.0"), HasRunning: true}})
	}
	stretch := newtons(spec.Spec{ValueForm: spec.TorqueAngle, Target: dec("20"), HasTarget: true, TurnAngle: dec("90"), HasTurnAngle: true})
	oiled := newtons(spec.Spec{Band: quantity.Between(dec("28"), dec("32")), Fastener: &spec.Fastener{Condition: "oiled"}})
	castle := newtons(spec.Spec{Band: quantity.Between(dec("45"), dec("60")), Fastener: &spec.Fastener{Slots: 6}})
	left := newtons(spec.Spec{Band: quantity.Between(dec("22"), dec("26")), Target: dec("24"), HasTarget: true, Fastener: &spec.Fastener{Hand: spec.Left, Access: "no_wrench"}})
	for _, row := range []struct {
		name     string
		c        judge.Check
		verdict  judge.Verdict
		because  string
		action   judge.Action
		p        float64
		lower    string
		upper    string
		warnings string
	}{
		{"26.5 on 28 under ±10 %", judge.Check{Spec: single("28", "10"), Instrument: click, Readings: []measure.Reading{recorded("26.5")}}, judge.Pass, "", judge.Accept, 0.983, "25.44", "27.56", ""},
		{"26.5 on 28 under ±5 %", judge.Check{Spec: single("28", "5"), Instrument: click, Readings: []measure.Reading{recorded("26.5")}}, judge.ConditionalFail, "uncertainty", judge.MeasureAgain, 0.435, "25.44", "27.56", ""},
		{"exactly the lower limit of the policy", judge.Check{Spec: single("28", "5"), Rule: judge.Simple, Instrument: click, Readings: []measure.Reading{recorded("26.6")}}, judge.Pass, "", judge.Accept, 0, "", "", ""},
		{"a millionth under it", judge.Check{Spec: single("28", "5"), Rule: judge.Simple, Instrument: click, Readings: []measure.Reading{recorded("26.599999")}}, judge.Fail, "", judge.Adjust, 0, "", "", ""},
		{"a single figure without a policy is held to nothing", judge.Check{Spec: newtons(spec.Spec{ValueForm: spec.Single, Target: dec("28"), HasTarget: true}), Instrument: click, Readings: []measure.Reading{recorded("28")}},
			judge.NotJudged, "no_band", judge.Ask, 0, "", "", ""},
		{"torque and angle without the angle", judge.Check{Spec: stretch, Readings: []measure.Reading{recorded("58")}}, judge.NotJudged, "angle_missing", judge.MeasureAgain, 0, "", "", ""},
		{"80° of 90°", judge.Check{Spec: stretch, Readings: []measure.Reading{recorded("58", turned("80"))}}, judge.Fail, "", judge.Adjust, 0, "", "", "angle_short torque_not_judged"},
		{"85° is on the tolerance", judge.Check{Spec: stretch, Readings: []measure.Reading{recorded("58", turned("85"))}}, judge.Pass, "", judge.Accept, 0, "", "", "torque_not_judged"},
		{"95.000001° is past it, whatever the torque", judge.Check{Spec: stretch, Readings: []measure.Reading{recorded("1", turned("95.000001"))}}, judge.Fail, "", judge.Adjust, 0, "", "", "angle_over torque_not_judged"},
		{"by feel; 22 lbf·ft would be inside, which is said", judge.Check{Spec: left, How: "estimated", Readings: []measure.Reading{recorded("30")}}, judge.ConditionalFail, "estimated", judge.MeasureAgain, 0, "18", "42", "possible_slip"},
		{"another condition", judge.Check{Spec: oiled, Condition: "dry", Instrument: click, Readings: []measure.Reading{recorded("30")}}, judge.NotJudged, "condition", judge.Ask, 0, "", "", "condition_differs"},
		{"the same condition", judge.Check{Spec: oiled, Condition: "oiled", Instrument: click, Readings: []measure.Reading{recorded("30")}}, judge.Pass, "", judge.Accept, 0, "", "", ""},
		{"14.1 with a running torque of 2.1 on top of 12", judge.Check{Spec: locknut("extra"), Instrument: measure.Instrument{Percent: measure.Some(2)}, Readings: []measure.Reading{recorded("14.1", running("2.1"))}},
			judge.Pass, "", judge.Accept, 0, "", "", ""},
		{"included: the total is held to the band", judge.Check{Spec: locknut("included"), Instrument: measure.Instrument{Percent: measure.Some(2)}, Readings: []measure.Reading{recorded("14.1", running("2.1"))}},
			judge.Fail, "", judge.Adjust, 0, "", "", ""},
		{"extra, and nobody measured it", judge.Check{Spec: locknut("extra"), Instrument: measure.Instrument{Percent: measure.Some(2)}, Readings: []measure.Reading{recorded("12")}},
			judge.Pass, "", judge.AcceptWithNote, 0, "", "", "running_torque_missing"},
		{"the source does not say", judge.Check{Spec: locknut("unstated"), Instrument: measure.Instrument{Percent: measure.Some(2)}, Readings: []measure.Reading{recorded("12", running("2.1"))}},
			judge.Pass, "", judge.AcceptWithNote, 0, "", "", "prevailing_unstated"},
		{"the nut no longer locks", judge.Check{Spec: locknut("included"), Instrument: measure.Instrument{Percent: measure.Some(2)}, Readings: []measure.Reading{recorded("12", running("0.9"))}},
			judge.Pass, "", judge.AcceptWithNote, 0, "", "", "running_torque_low"},
		{"a castle nut on the next slot", judge.Check{Spec: castle, Instrument: measure.Instrument{Percent: measure.Some(1)}, Readings: []measure.Reading{recorded("57.6")}}, judge.Pass, "", judge.Accept, 0, "", "", ""},
		{"a castle nut one slot too far; 47.8 lbf·ft would be inside, which is said", judge.Check{Spec: castle, Instrument: measure.Instrument{Percent: measure.Some(1)}, Readings: []measure.Reading{recorded("64.8")}}, judge.Fail, "", judge.Adjust, 0, "", "", "possible_slip"},
		{"a wrench whose range begins above it", judge.Check{Spec: castle, Instrument: measure.Instrument{Percent: measure.Some(1), Range: quantity.Between(dec("60"), dec("200"))}, Readings: []measure.Reading{recorded("50")}},
			judge.Pass, "", judge.AcceptWithNote, 0, "", "", "below_range"},
		{"a wrench that turns clockwise only on a left-hand thread", judge.Check{Spec: left, Instrument: measure.Instrument{Percent: measure.Some(1), Only: spec.Right}, Readings: []measure.Reading{recorded("24")}},
			judge.Pass, "", judge.AcceptWithNote, 0, "", "", "wrong_direction"},
		{"zero is a value", judge.Check{Spec: castle, Instrument: click, Readings: []measure.Reading{recorded("0")}}, judge.Fail, "", judge.Adjust, 0, "", "", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.NewtonMetre
			r := judge.Judge(row.c)
			if r.Verdict != row.verdict || r.Because != row.because || r.Action != row.action {
				t.Errorf("%s because %q, %s; want %s because %q, %s", r.Verdict, r.Because, r.Action, row.verdict, row.because, row.action)
			}
			if row.p != 0 && judge.PrintProbability(r.Probability) != row.p {
				t.Errorf("probability %v, want %v", judge.PrintProbability(r.Probability), row.p)
			}
			if row.lower != "" && (r.Lower.Trimmed(0).String() != row.lower || r.Upper.Trimmed(0).String() != row.upper) {
				t.Errorf("interval %s to %s", r.Lower, r.Upper)
			}
			if row.warnings != words(r.Warnings) {
				t.Errorf("warnings %q, want %q", words(r.Warnings), row.warnings)
			}
		})
	}
}

// Common practice, no source: head nuts after the first run and full cooling, 22 N·m ± 5 %.
func TestHeadNutsAfterTheFirstRun(t *testing.T) {
	t.Parallel()
	nuts := newtons(spec.Spec{ValueForm: spec.Single, Target: dec("22"), HasTarget: true, PolicyPercent: dec("5"), HasPolicy: true,
		Fastener: &spec.Fastener{Count: 4, Pattern: "crosswise", Retorque: "after_first_run"}})
	r := judge.Judge(judge.Check{Spec: nuts, Unit: quantity.NewtonMetre, How: "check", Instrument: measure.Instrument{Percent: measure.Some(4)},
		Readings: []measure.Reading{recorded("21"), recorded("24"), recorded("15"), recorded("22")}})
	if r.Verdict != judge.Fail || r.Reading != 2 || !r.Value.Equal(quantity.Int(15)) || len(r.Each) != 4 {
		t.Fatalf("%s of reading %d, %v, %d alone", r.Verdict, r.Reading, r.Value.Float64(), len(r.Each))
	}
	if r.RuleUsed != judge.Simple {
		t.Errorf("a check reading is held by its value alone, not by %s", r.RuleUsed)
	}
	for i, want := range []struct {
		verdict judge.Verdict
		because string
		warning string
	}{{judge.Pass, "", ""}, {judge.NotJudged, "check_high", "check_high"}, {judge.Fail, "", "relaxed"}, {judge.Pass, "", ""}} {
		if e := r.Each[i]; e.Verdict != want.verdict || e.Because != want.because || words(e.Warnings) != want.warning {
			t.Errorf("nut %d: %s %q %q", i+1, e.Verdict, e.Because, words(e.Warnings))
		}
	}
	if share := r.Each[2].Warnings[0].Get("share"); share != "32" {
		t.Errorf("relaxed by %s %%", share)
	}
	if r.Each[1].Action != judge.Ask || words(r.Each[1].Next) != "leave_as_it_is" {
		t.Errorf("high is not over-tight: %s %s", r.Each[1].Action, words(r.Each[1].Next))
	}
}

// A check reading below a published range has relaxed from its middle.
func TestRelaxedFromARange(t *testing.T) {
	t.Parallel()
	s := newtons(spec.Spec{Band: quantity.Between(dec("28"), dec("32"))})
	r := judge.Judge(judge.Check{Spec: s, Unit: quantity.NewtonMetre, How: "check", Readings: []measure.Reading{recorded("24")}, Instrument: measure.Instrument{Percent: measure.Some(4)}})
	if r.Verdict != judge.Fail || words(r.Warnings) != "relaxed" || r.Warnings[0].Get("share") != "20" {
		t.Errorf("%s %v", r.Verdict, r.Warnings)
	}
}

// Common practice, no source: what is locked or stretched is never re-torqued; it is undone and tightened afresh.
func TestRelaxedAndLocked(t *testing.T) {
	t.Parallel()
	for _, f := range []spec.Fastener{{Condition: "thread_lock"}, {Retorque: "never"}, {Reuse: "one_time"}} {
		s := newtons(spec.Spec{Band: quantity.Between(dec("28"), dec("32")), Fastener: &f})
		r := judge.Judge(judge.Check{Spec: s, Unit: quantity.NewtonMetre, How: "check", Readings: []measure.Reading{recorded("24")}, Instrument: measure.Instrument{Percent: measure.Some(4)}})
		if r.Verdict != judge.Fail || words(r.Next) != "never_retorque undo_and_tighten_afresh" {
			t.Errorf("%+v: %s %s", f, r.Verdict, words(r.Next))
		}
	}
}

// Another condition is not judged; which torque would clamp as hard is said as information only.
func TestEqualClampIsInformationOnly(t *testing.T) {
	t.Parallel()
	s := newtons(spec.Spec{Band: quantity.Between(dec("28"), dec("32")), Fastener: &spec.Fastener{Thread: "M8", Head: "hexagon", Condition: "oiled"}})
	c := judge.Check{Spec: s, Unit: quantity.NewtonMetre, Condition: "dry", Readings: []measure.Reading{recorded("38.5")}, Instrument: measure.Instrument{Percent: measure.Some(1)}}
	if r := judge.Judge(c); r.Verdict != judge.NotJudged || r.Because != "condition" || words(r.Next) != "equal_clamp_information tighten_in_published_condition" {
		t.Errorf("%s %s %s", r.Verdict, r.Because, words(r.Next))
	}
	s.Fastener.Hand = spec.Left
	if r := judge.Judge(c); words(r.Next) != "tighten_in_published_condition" {
		t.Errorf("a left-hand special nut has no generic figure: %s", words(r.Next))
	}
}

// Common practice, no source: three stages, the band belongs to the last.
func TestReadingsOfStages(t *testing.T) {
	t.Parallel()
	staged := func(policy bool) *spec.Spec {
		s := newtons(spec.Spec{ValueForm: spec.Stages, Band: quantity.Between(dec("26"), dec("30")), Fastener: &spec.Fastener{Count: 2},
			Stages: []spec.Stage{{Value: dec("10"), HasValue: true}, {Value: dec("20"), HasValue: true}, {Value: dec("28"), HasValue: true}}})
		if policy {
			s.PolicyPercent, s.HasPolicy = dec("10"), true
		}
		return s
	}
	at := func(stage int) func(*measure.Reading) { return func(r *measure.Reading) { r.Stage = stage } }
	for _, row := range []struct {
		name     string
		s        *spec.Spec
		readings []measure.Reading
		verdict  judge.Verdict
		because  string
		value    string
		warnings string
	}{
		{"every stage on the way and the last", staged(false), []measure.Reading{recorded("10", at(1)), recorded("20", at(2)), recorded("28", at(3))}, judge.Pass, "", "28", ""},
		{"a reading without a stage is of the last", staged(false), []measure.Reading{recorded("10", at(1)), recorded("27")}, judge.Pass, "", "27", ""},
		{"the last stage fails", staged(false), []measure.Reading{recorded("10", at(1)), recorded("24", at(3))}, judge.Fail, "", "24", ""},
		{"the last stage was never reached", staged(false), []measure.Reading{recorded("10", at(1)), recorded("20", at(2))}, judge.NotJudged, "earlier_stage", "", "last_stage_missing"},
		{"one reading, of the first stage", staged(false), []measure.Reading{recorded("10", at(1))}, judge.NotJudged, "earlier_stage", "", "last_stage_missing"},
		{"a policy holds every stage", staged(true), []measure.Reading{recorded("15", at(1)), recorded("28", at(3))}, judge.Fail, "", "15", "of_stage"},
		{"a policy and every stage held", staged(true), []measure.Reading{recorded("10.5", at(1)), recorded("28", at(3))}, judge.Pass, "", "10.5", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := judge.Judge(judge.Check{Spec: row.s, Unit: quantity.NewtonMetre, Rule: judge.Simple, Readings: row.readings, Instrument: measure.Instrument{Percent: measure.Some(4)}})
			if r.Verdict != row.verdict || r.Because != row.because || words(r.Warnings) != row.warnings || r.HasValue != (row.value != "") {
				t.Errorf("%s because %q, %q", r.Verdict, r.Because, words(r.Warnings))
			}
			if row.value != "" && !r.Value.Equal(dec(row.value).Exact()) {
				t.Errorf("value %v", r.Value.Float64())
			}
		})
	}
}
