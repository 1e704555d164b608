package shim_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/shim"
	"endfloat/service/spec"
)

// Sets that are silent on where they stand are named in the order of their keys.
func TestSilentOffsetsDoNotFollowTheInput(t *testing.T) {
	t.Parallel()
	named := func(key, play string) *spec.ShimSet {
		s := setOf(key, ladder("1.00", "1.10"), at("left", 1, play+" -1"), at("right", 1, play+" -1"))
		s.Offset.Between = [2]string{"left", "right"}
		return s
	}
	in := shim.Request{Sets: []shim.Set{{Shims: named("a", "x")}, {Shims: named("b", "y"), HasOffset: true}, {Shims: named("c", "z")}},
		Measured: []shim.Measured{read(play("x", "0.10", "0.40", "", ""), "0.20", ""), read(play("y", "0.10", "0.40", "", ""), "0.20", ""), read(play("z", "0.10", "0.40", "", ""), "0.20", "")}}
	for _, set := range []spec.Key{"a", "b", "c"} {
		for _, place := range []string{"left", "right"} {
			f := fitted(place, "1.00")
			f.Set = set
			in.Fitted = append(in.Fitted, f)
		}
	}
	for range 2 {
		var silent []string
		for _, n := range plan(t, in).Warnings {
			if n.Code == "offset_taken_as_0" {
				silent = append(silent, n.Get("shims"))
			}
		}
		if d := cmp.Diff([]string{"a", "c"}, silent); d != "" {
			t.Error(d)
		}
		slices.Reverse(in.Sets)
	}
}

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
