package judge_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func published(t *testing.T, topic string, each func(id, source string, in, want map[string]any, tol float64)) {
	t.Helper()
	f, err := os.Open("testdata/published.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	n := 0
	for sc := bufio.NewScanner(f); sc.Scan(); {
		var p struct {
			ID, Topic        string
			PublishedIn      string `json:"published_in"`
			Inputs, Expected map[string]any
			Tolerance        map[string]any
		}
		if err := json.Unmarshal(sc.Bytes(), &p); err != nil {
			t.Fatal(err)
		}
		if p.Topic == topic {
			tol, _ := p.Tolerance["abs"].(float64)
			each(p.ID, p.PublishedIn, p.Inputs, p.Expected, tol)
			n++
		}
	}
	if n == 0 {
		t.Fatal("no case of " + topic)
	}
}

// figure is a float of a case as the decimal it was written as.
func figure(v any) quantity.Decimal {
	b, _ := json.Marshal(v)
	return quantity.MustParse(string(b))
}

func TestConformanceProbabilityAsPublished(t *testing.T) {
	t.Parallel()
	published(t, "conformance_probability", func(id, source string, in, want map[string]any, tol float64) {
		s := &spec.Spec{Kind: spec.Other, Unit: "N", Decimals: 3}
		c := judge.Check{Spec: s, Unit: "N"}
		switch {
		case in["y"] != nil:
			s.Band = quantity.Between(figure(in["TL"]), figure(in["TU"]))
			c.Readings = []measure.Reading{{Value: figure(in["y"]), HasValue: true}}
			c.Instrument = u(in["u"].(float64))
		case in["z"] != nil:
			s.Band = quantity.AtLeast(dec("0"))
			c.Readings = []measure.Reading{{Value: figure(in["z"]), HasValue: true}}
			c.Instrument = u(1)
		default: // the measurement capability index C_m = T/(4 u_m) is half the band over U = 2u
			s.Band = quantity.Between(dec("0"), figure(in["T"]))
			half, _ := figure(in["T"]).Exact().DivInt(2).Round(9, quantity.HalfEven)
			r := judge.Judge(judge.Check{Spec: s, Unit: "N", Readings: []measure.Reading{{Value: half, HasValue: true}}, Instrument: u(in["u_m"].(float64))})
			if ratio, ok := r.Ratio(); !ok || math.Abs(ratio-want["C_m"].(float64)) > math.Max(tol, 1e-12) {
				t.Errorf("%s (%s): ratio %v, published %v", id, source, ratio, want["C_m"])
			}
			return
		}
		r := judge.Judge(c)
		got := r.Probability
		expected, ok := want["p_c"].(float64)
		if !ok {
			expected, got = want["p_nonconforming"].(float64), 1-got
		}
		if !r.HasProb || math.Abs(got-expected) > math.Max(tol, 1e-12) {
			t.Errorf("%s (%s): %v, published %v", id, source, got, expected)
		}
	})
}

// Acceptance limits of ISO 14253-1:2017: at the limit it still passes, a hair outside it does not.
func TestGuardBandsAsPublished(t *testing.T) {
	t.Parallel()
	done := 0
	published(t, "guard_band", func(id, source string, in, want map[string]any, _ float64) {
		if want["AL_low"] == nil {
			return
		}
		done++
		s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 3, Band: quantity.Between(figure(in["TL"]), figure(in["TU"]))}
		for _, row := range []struct {
			at   string
			step int64
		}{{"AL_low", -1}, {"AL_high", 1}} {
			limit := figure(want[row.at]).Exact()
			for _, off := range []int64{0, row.step} {
				x, _ := limit.Add(quantity.Frac(off, 1_000_000_000)).Round(9, quantity.HalfEven)
				r := judge.Judge(judge.Check{Spec: s, Unit: quantity.Millimetre, Guard: judge.Guard95,
					Readings: []measure.Reading{{Value: x, HasValue: true}}, Instrument: u(in["u_c"].(float64))})
				if (r.Verdict == judge.Pass) != (off == 0) {
					t.Errorf("%s (%s): %s at %s", id, source, r.Verdict, x)
				}
			}
		}
	})
	if done < 2 {
		t.Errorf("only %d guard bands", done)
	}
}

// ILAC-G8:2019 bounds the false acceptance of a guard band of w = r·U with U = 2u: a value at the acceptance limit is
// outside with at most that probability.
func TestFalseAcceptanceAsPublished(t *testing.T) {
	t.Parallel()
	published(t, "guard_band", func(id, source string, in, want map[string]any, _ float64) {
		r, ok := in["w_over_U"].(float64)
		if !ok {
			return
		}
		s := &spec.Spec{Kind: spec.Other, Unit: "N", Decimals: 3, Band: quantity.AtLeast(dec("0"))}
		w, _ := quantity.FromFloat(2*r).Round(6, quantity.HalfEven)
		got := judge.Judge(judge.Check{Spec: s, Unit: "N", Readings: []measure.Reading{{Value: w, HasValue: true}}, Instrument: u(1)})
		if bound := want["max_false_accept_pct_bound"].(float64); (1-got.Probability)*100 > bound+0.01 {
			t.Errorf("%s (%s): %v %% against %v %%", id, source, (1-got.Probability)*100, bound)
		}
	})
}

// NIST TN 1900, example E13: a bar that is L0 long at T0 and L1 at T1 has the expansion α = (L1 − L0)/(L0 (T1 − T0)).
// Brought back by that α from as far above 20 °C, L1 is L0 again, but for the square of α·ΔT that the linear rule drops.
func TestThermalExpansionAsPublished(t *testing.T) {
	t.Parallel()
	published(t, "thermal_expansion", func(id, source string, in, want map[string]any, _ float64) {
		metres := func(name string) quantity.Decimal {
			x, _ := figure(in[name]).Exact().MulInt(1000).Round(3, quantity.HalfEven)
			return x
		}
		rise := figure(in["T1_K"]).Exact().Sub(figure(in["T0_K"]).Exact())
		celsius, _ := rise.Add(quantity.Int(20)).Round(2, quantity.HalfEven)
		alpha, _ := quantity.FromFloat(want["alpha_per_K"].(float64)).Round(9, quantity.HalfEven)
		s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 3, Band: quantity.AtLeast(dec("0"))}
		r := judge.Judge(judge.Check{Spec: s, Unit: quantity.Millimetre, Sizes: []judge.Size{{Part: "bar", Sign: 1, Instrument: u(0.1),
			Readings: []measure.Reading{{Value: metres("L1_m"), HasValue: true}}, Celsius: celsius, HasTemp: true, Expansion: alpha, HasExp: true}}})
		off := r.Value.Float64() - metres("L0_m").Float64()
		square := math.Pow(want["alpha_per_K"].(float64)*rise.Float64(), 2) * metres("L0_m").Float64()
		if math.Abs(off+square) > 0.002 {
			t.Errorf("%s (%s): %v mm off, the square accounts for %v", id, source, off, -square)
		}
	})
}
