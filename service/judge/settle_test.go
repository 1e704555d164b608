package judge_test

import (
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Whatever is said to settle a check does: judged again with it, the check is decided.
func TestWhatIsSaidToSettleDoes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		c := drawScene(t).check(func(c *judge.Check) {
			c.Defaults = usual()
			c.Guard = rapid.SampledFrom([]string{judge.GuardU, judge.Guard95}).Draw(t, "guard")
			c.Coverage = rapid.SampledFrom([]string{"", "t"}).Draw(t, "coverage")
			c.Spec.Points.Combine = rapid.SampledFrom([]spec.Combine{"", spec.Min, spec.Max}).Draw(t, "combine")
			if n := rapid.IntRange(0, 6).Draw(t, "repeats"); n > 0 {
				for range n {
					c.Readings[0].Repeats = append(c.Readings[0].Repeats, c.Readings[rapid.IntRange(0, len(c.Readings)-1).Draw(t, "repeat")].Value)
				}
				c.Readings = []measure.Reading{{Repeats: c.Readings[0].Repeats}}
			}
		})
		for _, n := range judge.Judge(c).Next {
			again := c
			switch n.Code {
			case "use_finer_instrument":
				again.Instrument = u(dec(n.Get("standard_uncertainty")).Float64())
			case "use_instrument":
				again.Instrument = measure.Instrument{Kind: n.Get("instrument")}
			default:
				continue
			}
			if r := judge.Judge(again); r.Verdict != judge.Pass && r.Verdict != judge.Fail {
				t.Fatalf("%v leaves %s", n, r.Verdict)
			}
		}
	})
}

// A clearance of two sizes: both would be measured with it.
func TestWhatSettlesAClearance(t *testing.T) {
	t.Parallel()
	s := mm("0.030", "0.050")
	c := judge.Check{Spec: s, Unit: "mm", Sizes: []judge.Size{
		{Part: "bore", Sign: 1, Readings: values("52.065"), Instrument: u(0.004)},
		{Part: "piston", Sign: -1, Readings: values("52.018"), Instrument: u(0.004)}}}
	r := judge.Judge(c)
	if len(r.Next) != 1 || params(r.Next[0]) != "use_finer_instrument 0.001" { // 0.003 from the limit: u 0.0015 in all, 0.00106 each
		t.Fatalf("%s %v", r.Verdict, r.Next)
	}
	for i := range c.Sizes {
		c.Sizes[i].Instrument = u(0.001)
	}
	if r := judge.Judge(c); r.Verdict != judge.Pass {
		t.Errorf("%s", r.Verdict)
	}
}

// What is said to settle a record of several fasteners settles all of them, one and another read several times.
func TestWhatIsSaidToSettleARecordDoes(t *testing.T) {
	t.Parallel()
	s := newtons(spec.Spec{Band: quantity.Between(dec("22"), dec("26"))})
	rapid.Check(t, func(t *rapid.T) {
		c := judge.Check{Spec: s, Unit: s.Unit, Instrument: measure.Instrument{Percent: measure.Some(4)}, Defaults: usual()}
		figure := rapid.Custom(func(t *rapid.T) quantity.Decimal {
			return quantity.NewDecimal(rapid.Int64Range(2350, 2700).Draw(t, "N·m/100"), 2)
		})
		for range rapid.IntRange(1, 6).Draw(t, "fasteners") {
			rd := measure.Reading{Value: figure.Draw(t, "value"), HasValue: true}
			if rapid.Bool().Draw(t, "repeated") {
				rd = measure.Reading{Repeats: rapid.SliceOfN(figure, 3, 6).Draw(t, "repeats")}
			}
			c.Readings = append(c.Readings, rd)
		}
		for _, n := range judge.Judge(c).Next {
			if n.Code != "use_finer_instrument" {
				continue
			}
			again := c
			again.Instrument = u(dec(n.Get("standard_uncertainty")).Float64())
			if r := judge.Judge(again); r.Verdict != judge.Pass && r.Verdict != judge.Fail {
				t.Fatalf("%v leaves %s", n, r.Verdict)
			}
		}
	})
}

// Where repeats scatter too much for any instrument none is named; where they leave room, the largest tenth of it that does.
func TestNoInstrumentCuresScatter(t *testing.T) {
	t.Parallel()
	s := mm("0.10", "0.40")
	for _, row := range []struct {
		name    string
		repeats []string
		want    string
	}{
		{"s/√n 0.0058, 0.002 from the limit", []string{"0.388", "0.408", "0.388", "0.408"}, ""},
		{"s/√n 0.00058, 0.002 from the limit: √(0.001² − 0.00058²) = 0.00081", []string{"0.397", "0.399", "0.397", "0.399"}, "0.0008"},
	} {
		c := judge.Check{Spec: s, Unit: s.Unit, Instrument: u(0.01), Readings: []measure.Reading{{}}}
		for _, x := range row.repeats {
			c.Readings[0].Repeats = append(c.Readings[0].Repeats, dec(x))
		}
		got := ""
		for _, n := range judge.Judge(c).Next {
			if n.Code == "use_finer_instrument" {
				got = n.Get("standard_uncertainty")
			}
		}
		if got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

// Of a range the common error cancels: no finer instrument decides it.
func TestNoInstrumentIsNamedForARange(t *testing.T) {
	t.Parallel()
	s := mm("0", "0.05")
	s.Band = quantity.Range{Upper: dec("0.05"), HasUpper: true}
	s.Points.Combine = spec.Spread
	c := judge.Check{Spec: s, Unit: s.Unit, Readings: values("0.10", "0.149"), Instrument: measure.Instrument{Resolution: measure.Some(0.01)}, Defaults: usual()}
	r := judge.Judge(c)
	if r.Verdict != judge.ConditionalPass {
		t.Fatalf("%s", r.Verdict)
	}
	for _, n := range r.Next {
		if n.Code == "use_finer_instrument" || n.Code == "use_instrument" {
			t.Errorf("%v", n)
		}
	}
}

// Each fastener is a reading of its own, and what is said to settle it settles it alone.
func TestWhatSettlesAFastener(t *testing.T) {
	t.Parallel()
	s := newtons(spec.Spec{Band: quantity.Between(dec("22"), dec("26"))})
	c := judge.Check{Spec: s, Unit: s.Unit, Readings: values("24", "25.8", "22.3", "26.2"), Instrument: measure.Instrument{Percent: measure.Some(4)}, Defaults: usual()}
	told := 0
	for i, one := range judge.Judge(c).Each {
		for _, n := range one.Next {
			if n.Code != "use_finer_instrument" {
				continue
			}
			told++
			alone := c
			alone.Readings, alone.Instrument = c.Readings[i:i+1], u(dec(n.Get("standard_uncertainty")).Float64())
			if r := judge.Judge(alone); r.Verdict != judge.Pass && r.Verdict != judge.Fail {
				t.Errorf("reading %d: %v leaves %s", i+1, n, r.Verdict)
			}
		}
	}
	if told != 3 {
		t.Errorf("told of %d readings, want all that are not proven", told)
	}
}

// What would settle a hundred fasteners is found in a hundred small steps.
func BenchmarkWhatSettlesFasteners(b *testing.B) {
	s := newtons(spec.Spec{Band: quantity.Between(dec("22"), dec("26"))})
	c := judge.Check{Spec: s, Unit: s.Unit, Instrument: measure.Instrument{Percent: measure.Some(4)}, Defaults: usual()}
	for range 100 {
		c.Readings = append(c.Readings, values("25.8", "26.2")...)
	}
	c.Readings = c.Readings[:100]
	b.ReportAllocs()
	for b.Loop() {
		judge.Judge(c)
	}
}

// Fasteners that scatter so much that nothing settles them are given up soon.
func BenchmarkNothingSettlesFasteners(b *testing.B) {
	s := newtons(spec.Spec{Band: quantity.Between(dec("22"), dec("26"))})
	c := judge.Check{Spec: s, Unit: s.Unit, Instrument: measure.Instrument{Percent: measure.Some(4)}, Defaults: usual()}
	for range 100 {
		c.Readings = append(c.Readings, measure.Reading{Repeats: []quantity.Decimal{dec("24"), dec("27"), dec("25"), dec("27")}})
	}
	b.ReportAllocs()
	for b.Loop() {
		judge.Judge(c)
	}
}
