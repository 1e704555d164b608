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
