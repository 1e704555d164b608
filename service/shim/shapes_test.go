package shim_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// valves is a bucket set with one place a valve, and what was read of each.
func valves(more bool) shim.Request {
	inlet := func(id string) *spec.Spec { return play(id, "0.10", "0.16", "0.13", "") }
	exhaust := func(id string) *spec.Spec { return play(id, "0.17", "0.23", "0.20", "") }
	var rungs []spec.Rung
	for t := 2300; t <= 2800; t += 25 {
		d := quantity.NewDecimal(int64(t), 3)
		rungs = append(rungs, spec.Rung{Thickness: d, SKU: d.String()})
	}
	set := setOf("buckets", rungs, at("IN1", 1, "IN1 -1"), at("IN2", 1, "IN2 -1"), at("EX1", 1, "EX1 -1"), at("EX2", 1, "EX2 -1"))
	in := shim.Request{
		Measured: []shim.Measured{read(inlet("IN1"), "0.05", ""), read(inlet("IN2"), "0.13", ""), read(exhaust("EX1"), "0.10", ""), read(exhaust("EX2"), "0.26", "")},
		Fitted:   []shim.Fitted{fitted("IN1", "2.60"), fitted("IN2", "2.55"), fitted("EX1", "2.50"), fitted("EX2", "2.45")},
	}
	if more {
		set.Places = append(set.Places, at("EX3", 1, "EX3 -1"))
		in.Fitted = append(in.Fitted, fitted("EX3", "2.70"))
		m := shim.Measured{Check: judge.Check{Spec: exhaust("EX3"), Unit: quantity.Millimetre}}
		m.Check.Readings = []measure.Reading{{Blades: []measure.Blade{{Size: dec("0.03"), Feel: measure.Refused}}}}
		in.Measured = append(in.Measured, m)
	}
	in.Sets = []shim.Set{{Shims: set}}
	return in
}

// TestValves swaps buckets among the valves of one head. Common practice, no source.
func TestValves(t *testing.T) {
	t.Parallel()
	for _, more := range []bool{false, true} {
		got := plan(t, valves(more))
		first := got.ToOrder[0]
		want := "EX1 2.400 | EX2 2.50 | IN1 2.525 | IN2 2.55 → 0.20 0.21 0.125 0.13"
		if more {
			want = strings.Replace(want, "| IN1", "| EX3 2.70 | IN1", 1)
		}
		if d := cmp.Diff(want, line(first)); d != "" {
			t.Error(d)
		}
		if first.NewPieces != 2 || first.Places[1].Pieces[0].From != shim.FromFitted || first.Places[1].Pieces[0].Home.Place != "EX1" {
			t.Error("two new pieces, and the 2.50 of EX1 moves to EX2", first)
		}
		if len(got.Order) != 2 || got.Outcome != shim.Change {
			t.Error(got.Order, got.Outcome)
		}
		if !more {
			continue
		}
		if len(got.Refused) != 1 || got.Refused[0].Because != "below_gauge" || got.Refused[0].Places[0].Place != "EX3" || got.Refused[0].Next[0].Code != "fit_trial_shim" {
			t.Error(got.Refused)
		}
	}
}

// TestLocked says of a locked place what it keeps, and counts its pieces.
func TestLocked(t *testing.T) {
	t.Parallel()
	in := valves(false)
	in.Measured, in.Fitted[1].Locked = in.Measured[:3:3], true
	in.Fitted[3].Locked = true
	first := plan(t, in).ToOrder[0]
	if d := cmp.Diff("EX1 2.400 | EX2 2.45 | IN1 2.50 | IN2 2.55 → 0.20 0.15 0.13", line(first)); d != "" {
		t.Error(d)
	}
	if first.Pieces != 4 || first.Places[1].Changed || !first.Places[1].Kept || first.Places[0].Kept {
		t.Error(first.Pieces, first.Places)
	}
}

// TestDepths plans from depths of a case, cold and hot. Common practice, no source; the growth of 80 mm over 70 K with
// 23e-6 against 11.5e-6 is 0.0644 mm.
func TestDepths(t *testing.T) {
	t.Parallel()
	u := measure.Instrument{Standard: measure.Some(0.015)}
	size := func(part string, sign int, v string) judge.Size {
		return judge.Size{Part: part, Sign: sign, Readings: []measure.Reading{{Value: dec(v), HasValue: true}}, Instrument: u}
	}
	m := shim.Measured{Check: judge.Check{Spec: play("play", "0.10", "0.30", "0.20", ""), Unit: quantity.Millimetre,
		Sizes: []judge.Size{size("left", 1, "41.32"), size("right", 1, "38.90"), size("gasket", 1, "0.16"), size("shaft", -1, "79.60")}},
		HasHeat: true, Heat: shim.Heat{Length: dec("80"), Unit: quantity.Millimetre, Rise: dec("70"), Around: dec("0.000023"), Inside: dec("0.0000115")}}
	got := plan(t, shim.Request{Sets: []shim.Set{{Shims: stack(ladder(steps(10, 60, 5)...), "0.10", 1)}}, Measured: []shim.Measured{m},
		Fitted: []shim.Fitted{fitted("left"), fitted("right")}})
	first := got.ToOrder[0]
	if d := cmp.Diff("left 0.30 | right 0.30 → 0.18", line(first)); d != "" {
		t.Error(d)
	}
	p := first.Predicted[0]
	near(t, "uncertainty", p.Standard, 0.030, 1e-9)
	if hot := p.Hot.Print(2, 1).String(); hot != "0.244" {
		t.Error("hot", hot)
	}
	if got.Allowed || got.NoChange.Why[len(got.NoChange.Why)-1].Code != "piece_limits" {
		t.Error("nothing fitted breaks the piece limits", got.NoChange.Why)
	}
}

// TestBevel solves two coupled specs with other changes than one: a float of −1 and −1, a backlash of 0.51 and −0.33.
func TestBevel(t *testing.T) {
	t.Parallel()
	set := setOf("bevel", ladder(steps(80, 130, 5)...), at("pinion", 1, "float -1", "lash 0.51"), at("wheel", 1, "float -1", "lash -0.33"))
	got := plan(t, shim.Request{Sets: []shim.Set{{Shims: set}},
		Measured: []shim.Measured{read(play("float", "0.05", "0.15", "0.10", ""), "0.30", "0.01"), read(play("lash", "0.10", "0.20", "0.15", ""), "0.08", "0.01")},
		Fitted:   []shim.Fitted{fitted("pinion", "1.00"), fitted("wheel", "1.00")}})
	if d := cmp.Diff("pinion 1.15 | wheel 1.05 → 0.10 0.14", line(got.ToOrder[0])); d != "" {
		t.Error(d)
	}
	if got.Objective != shim.FewestNew || got.Thickness != nil {
		t.Error(got.Objective, got.Thickness)
	}
}

// TestRefusals locks what cannot be planned, and refuses the whole only where nothing is left.
func TestRefusals(t *testing.T) {
	t.Parallel()
	s := play("play", "0.10", "0.40", "0.20", "")
	set := setOf("set", ladder("1.00", "1.05"), at("p", 1, "play -1"))
	set.WearOf = []spec.Key{"face"}
	face := &spec.Spec{Key: "face", Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Band: quantity.Between(dec("11.95"), dec("12.00")),
		WearLimit: quantity.AtLeast(dec("11.80"))}
	rows := []struct {
		name     string
		measured []shim.Measured
		fitted   []shim.Fitted
		reason   string
		because  string
	}{
		{"thickness unknown", []shim.Measured{read(s, "0.50", "")}, nil, "no_spec_left", "unknown_thickness"},
		{"nothing read", []shim.Measured{read(s, "", "")}, []shim.Fitted{fitted("p", "1.00")}, "no_spec_left", "missing"},
		{"reading implausible", []shim.Measured{read(s, "50", "")}, []shim.Fitted{fitted("p", "1.00")}, "no_spec_left", "implausible"},
		{"worn face", []shim.Measured{read(s, "0.50", ""), read(face, "11.70", "")}, []shim.Fitted{fitted("p", "1.00")}, "worn_part", ""},
		{"no shim adjusts it", []shim.Measured{read(play("other", "1", "2", "", ""), "1.5", "")}, []shim.Fitted{fitted("p", "1.00")}, "not_adjustable", "missing"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got := plan(t, shim.Request{Sets: []shim.Set{{Shims: set}}, Measured: row.measured, Fitted: row.fitted})
			if got.Outcome != shim.Refused || got.Reason != row.reason {
				t.Error(got.Outcome, got.Reason)
			}
			if row.because != "" && (len(got.Refused) != 1 || got.Refused[0].Because != row.because) {
				t.Error(got.Refused)
			}
		})
	}
	got := plan(t, shim.Request{Sets: []shim.Set{{Shims: set}}, Measured: []shim.Measured{read(s, "0.50", ""), read(face, "11.90", "")},
		Fitted: []shim.Fitted{fitted("p", "1.00")}})
	if got.Outcome == shim.Refused {
		t.Error("a face within its wear limit refuses nothing")
	}
}
