package judge_test

import (
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func dec(s string) quantity.Decimal { return quantity.MustParse(s) }

func mm(lower, upper string) *spec.Spec {
	return &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Band: quantity.Between(dec(lower), dec(upper))}
}

func values(vs ...string) []measure.Reading {
	var out []measure.Reading
	for _, v := range vs {
		out = append(out, measure.Reading{Value: dec(v), HasValue: true})
	}
	return out
}

func blades(pairs ...string) measure.Reading {
	var r measure.Reading
	for i := 0; i < len(pairs); i += 2 {
		r.Blades = append(r.Blades, measure.Blade{Size: dec(pairs[i]), Feel: measure.Feel(pairs[i+1])})
	}
	return r
}

func u(v float64) measure.Instrument { return measure.Instrument{Standard: measure.Some(v)} }

// want is what a row expects; empty fields are not looked at.
type want struct {
	verdict    judge.Verdict
	action     judge.Action
	position   judge.Position
	basis      judge.Basis
	because    string
	value      string
	lower      string
	upper      string
	p          float64
	warning    string
	next       string
	noWarnings bool
}

func look(t *testing.T, c judge.Check, w want) {
	t.Helper()
	r := judge.Judge(c)
	if r.Verdict != w.verdict {
		t.Errorf("verdict %s (%s), want %s; %+v", r.Verdict, r.Because, w.verdict, r)
	}
	if w.action != "" && r.Action != w.action {
		t.Errorf("action %s, want %s", r.Action, w.action)
	}
	if w.position != "" && r.Position != w.position {
		t.Errorf("position %s, want %s", r.Position, w.position)
	}
	if w.basis != "" && r.Basis != w.basis {
		t.Errorf("basis %s, want %s", r.Basis, w.basis)
	}
	if w.because != "" && r.Because != w.because {
		t.Errorf("because %s, want %s", r.Because, w.because)
	}
	d := c.Spec.Decimals
	if w.value != "" && r.Value.Print(d, 2).String() != w.value {
		t.Errorf("value %s, want %s", r.Value.Print(d, 2), w.value)
	}
	if w.lower != "" && r.Lower.Trimmed(d).String() != w.lower {
		t.Errorf("lower %s, want %s", r.Lower.Trimmed(d), w.lower)
	}
	if w.upper != "" && r.Upper.Trimmed(d).String() != w.upper {
		t.Errorf("upper %s, want %s", r.Upper.Trimmed(d), w.upper)
	}
	if w.p != 0 && judge.PrintProbability(r.Probability) != w.p {
		t.Errorf("probability %v, want %v", judge.PrintProbability(r.Probability), w.p)
	}
	has := func(code string) bool {
		for _, n := range r.Warnings {
			if n.Code == code {
				return true
			}
		}
		return false
	}
	if w.warning != "" && !has(w.warning) {
		t.Errorf("warnings %v, want %s", r.Warnings, w.warning)
	}
	if w.noWarnings && len(r.Warnings) > 0 {
		t.Errorf("warnings %v", r.Warnings)
	}
	if w.next != "" && (len(r.Next) == 0 || r.Next[0].Code != w.next) {
		t.Errorf("next %v, want %s", r.Next, w.next)
	}
}

// The figures of this table are common practice, no source: a gear stack with 0.1 to 0.4 mm of axial play.
func TestStackPlay(t *testing.T) {
	t.Parallel()
	aimed := mm("0.10", "0.40")
	aimed.Target, aimed.HasTarget, aimed.TargetPolicy = dec("0.10"), true, spec.NotBelow
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"0.10 free, 0.15 drags, 0.20 forced", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.10", "free", "0.15", "drag", "0.20", "forced")}},
			want{verdict: judge.Pass, action: judge.Accept, value: "0.15", lower: "0.15", upper: "0.20", noWarnings: true}},
		{"four places, the lowest on the limit, spread a third of the band", judge.Check{Spec: aimed, Readings: values("0.15", "0.20", "0.10", "0.15"), Instrument: u(0.01)},
			want{verdict: judge.Pass, value: "0.15", noWarnings: true}},
		{"0.39 with u 0.02", judge.Check{Spec: aimed, Readings: values("0.39"), Instrument: u(0.02)},
			want{verdict: judge.ConditionalPass, p: 0.691, because: "uncertainty", action: judge.AcceptWithNote}},
		{"0.50 with u 0.02", judge.Check{Spec: aimed, Readings: values("0.50"), Instrument: u(0.02)},
			want{verdict: judge.Fail, position: judge.Above, action: judge.Adjust}},
		{"exactly the upper limit without uncertainty", judge.Check{Spec: aimed, Readings: values("0.40")},
			want{verdict: judge.Pass, position: judge.Within, warning: "no_uncertainty", action: judge.AcceptWithNote}},
		{"a billionth over the limit", judge.Check{Spec: aimed, Readings: values("0.400000001"), Instrument: u(0)},
			want{verdict: judge.Fail, position: judge.Above}},
		{"0.35 free and 0.45 refused: undecided, the 0.40 blade settles it", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.35", "free", "0.45", "refused")}},
			want{verdict: judge.ConditionalPass, value: "0.40", next: "try_blade"}},
		{"15 mm is a slip of a factor 100", judge.Check{Spec: aimed, Readings: values("15"), Instrument: u(0.02)},
			want{verdict: judge.NotJudged, basis: judge.Implausible, action: judge.Ask, warning: "implausible_slip"}},
		{"0.03 is judged, slip or not", judge.Check{Spec: aimed, Readings: values("0.03"), Instrument: u(0.005)},
			want{verdict: judge.Fail, position: judge.Below, warning: "possible_slip"}},
		{"nothing read", judge.Check{Spec: aimed, Readings: []measure.Reading{}}, want{verdict: judge.NotJudged, basis: judge.Missing, action: judge.MeasureAgain}},
		{"zero is a value", judge.Check{Spec: aimed, Readings: values("0"), Instrument: u(0.01)}, want{verdict: judge.Fail, position: judge.Below}},
		{"no blade enters, wholly under the band", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.05", "refused")}},
			want{verdict: judge.Fail, basis: judge.BelowGauge, upper: "0.05", position: judge.Below, action: judge.Adjust}},
		{"no blade enters at the limit itself: the open end is outside", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.10", "refused")}},
			want{verdict: judge.Fail, basis: judge.BelowGauge}},
		{"no blade enters above the limit", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.15", "refused")}},
			want{verdict: judge.NotJudged, basis: judge.BelowGauge, action: judge.MeasureAgain}},
		{"several enter, none refused", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.35", "free", "0.45", "drag")}},
			want{verdict: judge.Fail, basis: judge.AboveGauge, lower: "0.45"}},
		{"a lone blade that drags is closed by the set", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.18", "drag")},
			Instrument: measure.Instrument{BladeSet: []quantity.Decimal{dec("0.05"), dec("0.10"), dec("0.15"), dec("0.18"), dec("0.20")}}},
			want{verdict: judge.Pass, value: "0.18", lower: "0.18", upper: "0.20"}},
		{"two blades drag", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.15", "drag", "0.20", "drag")}},
			want{verdict: judge.NotJudged, because: "blades_contradict", action: judge.MeasureAgain}},
		{"four places of blades do not narrow", judge.Check{Spec: aimed, Readings: []measure.Reading{blades("0.15", "drag", "0.20", "forced"),
			blades("0.15", "drag", "0.20", "forced"), blades("0.15", "drag", "0.20", "forced"), blades("0.15", "drag", "0.20", "forced")}},
			want{verdict: judge.Pass, lower: "0.15", upper: "0.20"}},
		{"one place out under a good mean", judge.Check{Spec: aimed, Readings: values("0.35", "0.45", "0.35"), Instrument: u(0.001)},
			want{verdict: judge.ConditionalPass, because: "one_place_out"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.Millimetre
			look(t, row.c, row.w)
		})
	}
}

// Common practice, no source, unless a row says otherwise.
func TestStagesAndSides(t *testing.T) {
	t.Parallel()
	bigEnd := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 3, Band: quantity.Between(dec("0.008"), dec("0.020")),
		WearLimit: quantity.AtMost(dec("0.050")), Remedy: spec.Replace}
	fork := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Band: quantity.AtLeast(dec("4.50")), WearLimit: quantity.AtLeast(dec("4.30"))}
	plate := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 1, Band: quantity.AtLeast(dec("3.0"))}
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"as found between band and wear limit", judge.Check{Spec: bigEnd, Stage: judge.AsFound, Readings: values("0.045"), Instrument: u(0.001)},
			want{verdict: judge.Pass, warning: "worn_but_serviceable", action: judge.AcceptWithNote}},
		{"as built with new parts", judge.Check{Spec: bigEnd, Readings: values("0.045"), Instrument: u(0.001)}, want{verdict: judge.Fail, position: judge.Above, action: judge.Replace}},
		{"as built with reused parts", judge.Check{Spec: bigEnd, Part: judge.Reused, Readings: values("0.045"), Instrument: u(0.001)}, want{verdict: judge.Pass}},
		{"fork tip past its wear limit", judge.Check{Spec: fork, Stage: judge.AsFound, Readings: values("4.20"), Instrument: u(0.01)},
			want{verdict: judge.Fail, position: judge.WornOut, action: judge.Replace}},
		{"the worst place of a one-sided minimum fails", judge.Check{Spec: plate, Readings: values("3.2", "3.2", "3.2", "2.7"), Instrument: u(0.02)},
			want{verdict: judge.Fail, position: judge.Below}},
		{"as found without any wear limit", judge.Check{Spec: plate, Stage: judge.AsFound, Readings: values("3.2"), Instrument: u(0.02)},
			want{verdict: judge.Pass, warning: "no_wear_limit", action: judge.Ask}},
		{"a scrap bearing is judged, not waved away", judge.Check{Spec: bigEnd, Readings: values("0.15"), Instrument: u(0.001)},
			want{verdict: judge.Fail, position: judge.Above, warning: "possible_slip"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.Millimetre
			look(t, row.c, row.w)
		})
	}
}

// Common practice, no source.
func TestClearanceFromSizes(t *testing.T) {
	t.Parallel()
	s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 3, Band: quantity.Between(dec("0.030"), dec("0.050"))}
	sizes := func(warm bool) []judge.Size {
		bore := judge.Size{Part: "bore", Sign: 1, Readings: values("52.065"), Instrument: u(0.004)}
		piston := judge.Size{Part: "piston", Sign: -1, Readings: values("52.018"), Instrument: u(0.004)}
		if warm {
			bore.Celsius, bore.HasTemp, bore.Expansion, bore.HasExp = dec("18"), true, dec("0.000023"), true
			piston.Celsius, piston.HasTemp, piston.Expansion, piston.HasExp = dec("28"), true, dec("0.000021"), true
		}
		return []judge.Size{bore, piston}
	}
	look(t, judge.Check{Spec: s, Unit: quantity.Millimetre, Sizes: sizes(false)},
		want{verdict: judge.ConditionalPass, value: "0.047", basis: judge.Derived, p: 0.701})
	look(t, judge.Check{Spec: s, Unit: quantity.Millimetre, Sizes: sizes(true)},
		want{verdict: judge.ConditionalFail, value: "0.05813", warning: "temperature_differs"})
}

// Common practice, no source; the tool classes are those of ISO 6789-1 from general literature.
func TestTorqueRecords(t *testing.T) {
	t.Parallel()
	nm := func(s spec.Spec) *spec.Spec {
		s.Kind, s.Unit = spec.Torque, quantity.NewtonMetre
		return &s
	}
	band := nm(spec.Spec{Band: quantity.Between(dec("28"), dec("32")), Fastener: &spec.Fastener{Hand: spec.Left}})
	single := func(percent string) *spec.Spec {
		return nm(spec.Spec{ValueForm: spec.Single, Target: dec("28"), HasTarget: true, PolicyPercent: dec(percent), HasPolicy: true})
	}
	nuts := nm(spec.Spec{ValueForm: spec.Single, Target: dec("22"), HasTarget: true, PolicyPercent: dec("5"), HasPolicy: true})
	turn := nm(spec.Spec{ValueForm: spec.TorqueAngle, Target: dec("20"), HasTarget: true, TurnAngle: dec("90"), HasTurnAngle: true})
	click := measure.Instrument{Percent: measure.Some(4)}
	withAngle := values("58")
	withAngle[0].Angle, withAngle[0].HasAngle = dec("80"), true
	for _, row := range []struct {
		name string
		c    judge.Check
		w    want
	}{
		{"a left-hand bolt by feel", judge.Check{Spec: band, Readings: values("30"), How: "estimated"},
			want{verdict: judge.ConditionalPass, because: "estimated", lower: "18", upper: "42"}},
		{"40 on 28 to 32 is over-tight, not waved away", judge.Check{Spec: band, Readings: values("40"), Instrument: click}, want{verdict: judge.Fail, position: judge.Above}},
		{"26.5 on 28 under a policy of 10 %", judge.Check{Spec: single("10"), Readings: values("26.5"), Instrument: click}, want{verdict: judge.Pass}},
		{"26.5 on 28 under a policy of 5 %", judge.Check{Spec: single("5"), Readings: values("26.5"), Instrument: click}, want{verdict: judge.ConditionalFail, p: 0.435}},
		{"a torque with an angle, without the angle", judge.Check{Spec: turn, Readings: values("58")},
			want{verdict: judge.NotJudged, because: "angle_missing", action: judge.MeasureAgain}},
		{"80 of 90 degrees is 10 short", judge.Check{Spec: turn, Readings: withAngle}, want{verdict: judge.Fail, warning: "angle_short"}},
		{"check readings: the relaxed nut is the worst", judge.Check{Spec: nuts, Readings: values("21", "24", "15", "22"), How: "check"},
			want{verdict: judge.Fail, value: "15", warning: "relaxed"}},
		{"a high check reading is not over-tight", judge.Check{Spec: nuts, Readings: values("22", "24"), How: "check"},
			want{verdict: judge.NotJudged, because: "check_high", action: judge.Ask}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.c.Unit = quantity.NewtonMetre
			look(t, row.c, row.w)
		})
	}
}
