package shim_test

import (
	"fmt"

	"pgregory.net/rapid"

	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// shapes are the kinds of problem that are drawn.
var shapes = []string{"one", "sides", "pack", "valves", "bevel", "engine"}

// draw is a small random problem: few enough pieces that everything can be tried.
func draw(t *rapid.T) shim.Request {
	in := shim.Request{Unit: quantity.Millimetre, MaxOptions: 6}
	shape := rapid.SampledFrom(shapes).Draw(t, "shape")
	switch shape {
	case "one":
		in.Sets = []shim.Set{{Shims: setOf("a", rungs(t, 5), at("p", 1, "play -1"))}}
		specs(t, &in, "play")
	case "sides":
		s := setOf("a", rungs(t, 5), at("left", 2, "play -1"), at("right", 2, "play -1"))
		s.Places[0].MinPieces = rapid.IntRange(0, 1).Draw(t, "min")
		s.Offset.Between = [2]string{"left", "right"}
		if rapid.Bool().Draw(t, "limit") {
			s.Offset.Limit, s.Offset.HasLimit = dec("0.10"), true
		}
		in.Sets = []shim.Set{{Shims: s, OffsetNow: hundredths(t, "offset", -6, 6)}}
		specs(t, &in, "play")
	case "pack":
		in.Sets = []shim.Set{{Shims: setOf("a", rungs(t, 5), at("p", 3, "play -1"))}}
		specs(t, &in, "play")
	case "valves":
		in.Sets = []shim.Set{{Shims: setOf("a", rungs(t, 4), at("v1", 1, "v1 -1"), at("v2", 1, "v2 -1"), at("v3", 1, "v3 -1"))}}
		for i := range in.Sets[0].Shims.Places {
			in.Sets[0].Shims.Places[i].MinPieces = min(1, rapid.IntRange(0, 3).Draw(t, "may be left empty"))
		}
		specs(t, &in, "v1", "v2", "v3")
	case "bevel":
		in.Sets = []shim.Set{{Shims: setOf("a", rungs(t, 5), at("pinion", 2, "float -1", "lash 0.51"), at("wheel", 1, "float -1", "lash -0.33"))}}
		specs(t, &in, "float", "lash")
	case "engine":
		a := setOf("a", rungs(t, 3), at("left", 1, "play -1"), at("right", 1, "play -1"))
		a.Offset.Between = [2]string{"left", "right"}
		in.Sets = []shim.Set{{Shims: setOf("b", rungs(t, 3), at("v1", 1, "v1 -1"), at("v2", 1, "v2 -1"))}, {Shims: a}}
		specs(t, &in, "play", "v1", "v2")
	}
	in.Objective = rapid.SampledFrom([]shim.Objective{"", shim.Closest, shim.FewestNew}).Draw(t, "objective")
	if rapid.IntRange(0, 3).Draw(t, "asked") == 0 {
		in.HasMin, in.MinProbability = true, rapid.SampledFrom([]float64{0.5, 0.9, 0.99, 0.9999}).Draw(t, "least")
	}
	for _, s := range in.Sets {
		for _, p := range s.Shims.Places {
			f := shim.Fitted{Set: s.Shims.Key, Place: p.ID, Known: true, Locked: rapid.IntRange(0, 9).Draw(t, "locked") == 0}
			for range rapid.IntRange(min(p.MinPieces, 1), p.MaxPieces).Draw(t, "fitted") {
				f.Pieces = append(f.Pieces, piece(t, true))
			}
			in.Fitted = append(in.Fitted, f)
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "on hand") {
		s := shim.Stock{Piece: piece(t, false), Count: rapid.IntRange(0, 2).Draw(t, "count")}
		if rapid.IntRange(0, 4).Draw(t, "bound") == 0 {
			s.Set = in.Sets[0].Shims.Key
		}
		in.OnHand = append(in.OnHand, s)
	}
	return in
}

func hundredths(t *rapid.T, name string, from, to int) quantity.Decimal {
	return quantity.NewDecimal(int64(rapid.IntRange(from, to).Draw(t, name)), 2)
}

func rungs(t *rapid.T, most int) []spec.Rung {
	tolerance := rapid.SampledFrom([]string{"", "-0.02 0", "-0.01 0.01", "-0.03 0.01"}).Draw(t, "tolerance")
	var out []spec.Rung
	seen := map[int64]bool{}
	for range rapid.IntRange(1, most).Draw(t, "rungs") {
		d := hundredths(t, "rung", 90, 130)
		if seen[d.Coef()] {
			continue
		}
		seen[d.Coef()] = true
		r := spec.Rung{Thickness: d, SKU: "S-" + d.String()}
		if tolerance != "" {
			var low, high string
			_, _ = fmt.Sscan(tolerance, &low, &high)
			r.Tolerance = quantity.Between(dec(low), dec(high))
		}
		out = append(out, r)
	}
	return out
}

func piece(t *rapid.T, fitted bool) shim.Piece {
	p := shim.Piece{Thickness: hundredths(t, "piece", 92, 126)}
	switch rapid.IntRange(0, 3).Draw(t, "how known") {
	case 0:
		p.Measured = true
	case 1:
		p.Standard, p.HasStandard = dec("0.004"), true
	case 2:
		p.Tolerance, p.HasTolerance = quantity.Between(dec("-0.02"), dec("0.01")), true
	default:
		p.Measured = true
		p.Thickness = quantity.NewDecimal(p.Thickness.Coef()*10+int64(rapid.IntRange(0, 9).Draw(t, "thousandths")), 3)
	}
	p.Worn = fitted && rapid.IntRange(0, 5).Draw(t, "worn") == 0
	return p
}

// specs draws limits, aims and readings.
func specs(t *rapid.T, in *shim.Request, keys ...string) {
	u := rapid.SampledFrom([]string{"", "0.01", "0.03", "0.06"}).Draw(t, "u")
	for _, key := range keys {
		lower := rapid.IntRange(5, 20).Draw(t, "lower")
		upper := lower + rapid.IntRange(3, 25).Draw(t, "width")
		policy := rapid.SampledFrom([]spec.TargetPolicy{"", spec.NotBelow, spec.NotAbove}).Draw(t, "policy")
		s := play(key, quantity.NewDecimal(int64(lower), 2).String(), quantity.NewDecimal(int64(upper), 2).String(), "", policy)
		if rapid.Bool().Draw(t, "aimed") {
			s.Target, s.HasTarget = hundredths(t, "target", lower, upper), true
		}
		switch rapid.IntRange(0, 6).Draw(t, "sides") {
		case 0:
			s.Band.HasLower = false
		case 1:
			s.Band.HasUpper = false
		}
		if rapid.IntRange(0, 3).Draw(t, "held") == 0 {
			s.Points.AgainstLower, s.Points.AgainstUpper = spec.Min, spec.Max
		}
		now := rapid.IntRange(-5, 60).Draw(t, "now")
		values := quantity.NewDecimal(int64(now), 2).String()
		for range rapid.IntRange(0, 2).Draw(t, "more places") {
			values += " " + quantity.NewDecimal(int64(now+rapid.IntRange(-6, 6).Draw(t, "off")), 2).String()
		}
		m := read(s, values, u)
		if now > 0 && rapid.IntRange(0, 5).Draw(t, "blades") == 0 {
			m.Check.Readings = []measure.Reading{{Blades: []measure.Blade{{Size: hundredth(int64(now)), Feel: measure.Drag}, {Size: hundredth(int64(now + 5)), Feel: measure.Forced}}}}
		}
		in.Measured = append(in.Measured, m)
	}
}
