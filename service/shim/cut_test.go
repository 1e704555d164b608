package shim_test

import (
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// TestManyForOnePlace holds two valves with far more pieces than an option can use against trying everything: those that
// no option asked for can have are left out.
func TestManyForOnePlace(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		thick := func(name string) quantity.Decimal {
			return quantity.NewDecimal(int64(rapid.IntRange(2500, 2540).Draw(rt, name)), 3)
		}
		set := &spec.ShimSet{Key: "a", Unit: quantity.Millimetre, Decimals: 3, Places: []spec.Place{at("v1", 1, "v1 -1"), at("v2", 1, "v2 -1")}}
		in := shim.Request{Unit: quantity.Millimetre, Sets: []shim.Set{{Shims: set}}, MaxOptions: 6,
			Objective: rapid.SampledFrom([]shim.Objective{shim.Closest, shim.FewestNew}).Draw(rt, "objective")}
		for n := range rapid.IntRange(0, 14).Draw(rt, "sizes") {
			set.Ladder = append(set.Ladder, spec.Rung{Thickness: thousandths(2500 + 3*n), SKU: "S"})
		}
		u := rapid.SampledFrom([]string{"", "0.01"}).Draw(rt, "u")
		for _, id := range []string{"v1", "v2"} {
			policy := rapid.SampledFrom([]spec.TargetPolicy{"", spec.NotBelow}).Draw(rt, "policy")
			in.Measured = append(in.Measured, read(play(id, "0.10", "0.16", "0.13", policy), rapid.SampledFrom([]string{"0.12", "0.14", "0.15"}).Draw(rt, "now"), u))
			in.Fitted = append(in.Fitted, shim.Fitted{Place: id, Known: true, Pieces: []shim.Piece{{Thickness: thick("fitted"), Measured: true}}})
		}
		for range rapid.IntRange(10, 26).Draw(rt, "on hand") {
			in.OnHand = append(in.OnHand, shim.Stock{Piece: shim.Piece{Thickness: thick("piece"), Measured: true}})
		}
		compareWithOracle(rt, in)
	})
}
