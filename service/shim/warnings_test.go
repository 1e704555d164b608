package shim_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/shim"
)

// Doubts about what lies on the shelf do not stand in the order of input.
func TestDoubtsOnHandDoNotFollowTheInput(t *testing.T) {
	t.Parallel()
	in := shim.Request{Sets: []shim.Set{{Shims: stack(ladder(steps(100, 150, 5)...), "0.10", 1), HasOffset: true}},
		Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.20", ""), "0.62", "0.01")}, Fitted: []shim.Fitted{fitted("left", "1.00"), fitted("right", "1.00")},
		OnHand: []shim.Stock{{Piece: shim.Piece{Thickness: dec("1.11"), SKU: "S-1.10"}}, {Piece: shim.Piece{Thickness: dec("1.22"), SKU: "S-1.20"}},
			{Piece: shim.Piece{Thickness: dec("1.05"), Stamped: dec("1.10"), HasStamped: true}}}}
	first := plan(t, in).Warnings
	if len(first) != 3 {
		t.Fatal(first)
	}
	slices.Reverse(in.OnHand)
	if d := cmp.Diff(first, plan(t, in).Warnings); d != "" {
		t.Error(d)
	}
}
