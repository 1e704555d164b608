package shim_test

import (
	"slices"
	"testing"

	"endfloat/service/shim"
	"endfloat/service/spec"
)

// TestSuperseded buys a size under the number of its successor, unless that one is another size of the ladder: who orders
// it gets what the ladder says. What is on hand of an old size is still good.
func TestSuperseded(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, successor string
		onHand          []shim.Stock
		want            []string
	}{
		{"current", "", nil, []string{"2.20 S-220 order", "2.25 S-225 order", "2.30 S-230 order"}},
		{"under a new number", "S-225-B", nil, []string{"2.20 S-220 order", "2.25 S-225-B order", "2.30 S-230 order"}},
		{"another size", "S-230", nil, []string{"2.20 S-220 order", "2.30 S-230 order"}},
		{"another size, one on hand", "S-230", []shim.Stock{{Piece: shim.Piece{Thickness: dec("2.25"), Unit: "mm", SKU: "S-225"}, Count: 1}},
			[]string{"2.20 S-220 order", "2.25 S-225 on_hand", "2.30 S-230 order"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			rungs := ladder("2.20", "2.25", "2.30")
			for i, sku := range []string{"S-220", "S-225", "S-230"} {
				rungs[i].SKU = sku
			}
			rungs[1].SupersededBy = row.successor
			got := plan(t, shim.Request{Sets: []shim.Set{{Shims: setOf("set", rungs, at("p", 1, "play -1"))}}, Fitted: []shim.Fitted{fitted("p", "2.00")},
				Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.25", ""), "0.50", "")}, OnHand: row.onHand})
			var said []string
			for _, o := range got.ToOrder {
				c := o.Places[0].Pieces[0]
				said = append(said, c.Thickness.String()+" "+c.SKU+" "+string(c.From))
			}
			slices.Sort(said)
			if !slices.Equal(said, row.want) {
				t.Errorf("%q", said)
			}
		})
	}
}

// TestANewPieceForAWornOne lists what only replaces a worn piece by a new one of its thickness, whatever the ranking goes
// by: it is no longer what is fitted. 1.25 at v1 would be 0.15, 1.10 would be 0.30.
func TestANewPieceForAWornOne(t *testing.T) {
	t.Parallel()
	for _, goal := range []shim.Objective{shim.Closest, shim.FewestNew} {
		in := shim.Request{Objective: goal, MaxOptions: 50,
			Sets:     []shim.Set{{Shims: setOf("set", ladder("1.10", "1.20", "1.25", "1.55"), at("v1", 1, "v1 -1"), at("v2", 1, "v2 -1"), at("v3", 1, "v2 -1"))}},
			Measured: []shim.Measured{read(play("v1", "0.10", "0.31", "0.10", ""), "0.20", ""), read(play("v2", "0.05", "0.20", "0.05", ""), "0.11", "")},
			Fitted:   []shim.Fitted{fitted("v1", "1.20"), fitted("v2", "1.10"), fitted("v3", "1.55")}}
		in.Fitted[0].Pieces[0].Worn = true
		got := lines(plan(t, in).ToOrder)
		if !slices.Contains(got, "v1 1.20 | v2 1.10 | v3 1.55 → 0.20 0.11") {
			t.Errorf("%s: %q", goal, got)
		}
		seen := map[string]bool{}
		for _, l := range got {
			if seen[l] {
				t.Errorf("%s: %s stands twice", goal, l)
			}
			seen[l] = true
		}
	}
}

// TestOwnPieceFirst leaves a piece where it is rather than change places with one of the same thickness, whatever the part
// numbers.
func TestOwnPieceFirst(t *testing.T) {
	t.Parallel()
	in := shim.Request{Sets: []shim.Set{{Shims: setOf("set", nil, at("left", 2, "play -1"), at("right", 1, "play -1"))}},
		Measured: []shim.Measured{read(play("play", "0.40", "0.60", "0.50", ""), "0.00", "")},
		Fitted:   []shim.Fitted{fitted("left", "1.20", "0.50"), fitted("right", "1.20")}}
	in.Fitted[0].Pieces[0].SKU, in.Fitted[1].Pieces[0].SKU = "Z", "A"
	got := plan(t, in).ToOrder
	if len(got) == 0 {
		t.Fatal("no option")
	}
	for i, sku := range []string{"Z", "A"} {
		if c := got[0].Places[i].Pieces[0]; c.SKU != sku || c.Home != nil {
			t.Errorf("%s: %s from %v", got[0].Places[i].Place, c.SKU, c.Home)
		}
	}
}

// TestAPieceOfAnotherSetMayStay keeps a piece where it sits, whichever set it is for once it is taken out: v1 is corrected
// and w1, which is in order, is left alone. 1.30 at v1 would be 0.20.
func TestAPieceOfAnotherSetMayStay(t *testing.T) {
	t.Parallel()
	for _, of := range []string{"", "a", "b", "c"} {
		in := shim.Request{Sets: []shim.Set{{Shims: setOf("a", ladder("1.10", "1.30"), at("v1", 1, "v1 -1"))}, {Shims: setOf("b", ladder("1.50"), at("w1", 1, "w1 -1"))}},
			Measured: []shim.Measured{read(play("v1", "0.10", "0.30", "0.20", ""), "0.40", ""), read(play("w1", "0.10", "0.30", "0.20", ""), "0.20", "")},
			Fitted:   []shim.Fitted{fitted("v1", "1.10"), fitted("w1", "1.25")}}
		in.Fitted[0].Set, in.Fitted[1].Set = "a", "b"
		in.Fitted[1].Pieces[0].Set = spec.Key(of)
		got := lines(plan(t, in).ToOrder)
		if len(got) == 0 || got[0] != "v1 1.30 | w1 1.25 → 0.20 0.20" {
			t.Errorf("for %q: %q", of, got)
		}
	}
}
