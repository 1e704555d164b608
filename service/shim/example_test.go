package shim_test

import (
	"context"
	"fmt"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

func Example() {
	mm := quantity.MustParse
	play := &spec.Spec{Key: "play", Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2,
		Band: quantity.Between(mm("0.10"), mm("0.40")), Target: mm("0.10"), HasTarget: true, TargetPolicy: spec.NotBelow}
	set := &spec.ShimSet{Key: "stack", Unit: quantity.Millimetre, Decimals: 2,
		Places: []spec.Place{{ID: "left", MinPieces: 1, MaxPieces: 1, PerMM: []spec.Effect{{Spec: "play", Change: mm("-1")}}}},
		Ladder: []spec.Rung{{Thickness: mm("2.00")}, {Thickness: mm("2.15")}, {Thickness: mm("2.30")}, {Thickness: mm("2.45")}}}
	plan, err := shim.New(context.Background(), shim.Request{
		Unit: quantity.Millimetre,
		Sets: []shim.Set{{Shims: set}},
		Measured: []shim.Measured{{Check: judge.Check{Spec: play, Unit: quantity.Millimetre,
			Readings: []measure.Reading{{Value: mm("0.50"), HasValue: true}}}}},
		Fitted: []shim.Fitted{{Set: "stack", Place: "left", Known: true, Pieces: []shim.Piece{{Thickness: mm("2.00"), Measured: true}}}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(plan.Outcome, plan.Proven)
	for _, o := range plan.ToOrder {
		fmt.Println(o.Rank, o.Places[0].Pieces[0].Thickness, "→", o.Predicted[0].Value.Print(2, 2))
	}
	for _, o := range plan.Rejected {
		fmt.Println(o.Places[0].Pieces[0].Thickness, o.Why[0].Code, o.Why[0].Get("by"))
	}
	// Output:
	// change true
	// 1 2.30 → 0.20
	// 2 2.15 → 0.35
	// 2.45 below 0.05
}
