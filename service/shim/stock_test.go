package shim_test

import (
	"slices"
	"testing"

	"endfloat/service/shim"
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
