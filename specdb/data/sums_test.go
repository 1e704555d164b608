package data_test

import (
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// stack is what fills a span beside the shims.
type stack struct {
	play, shims string
	span        []string // added
	filled      []string // taken away
	times       map[string]int64
}

var stacks = []stack{
	{play: "pl-85/counter-shaft/axial-play", shims: "pl-85/counter-shaft/stack-shims", span: []string{"pl-85/counter-shaft/span"},
		filled: []string{"pl-85/counter-shaft/gear-face", "pl-85/counter-shaft/gear-2", "pl-85/counter-shaft/gear-3", "pl-85/counter-shaft/gear-4", "pl-85/counter-shaft/washer"},
		times:  map[string]int64{"pl-85/counter-shaft/washer": 2}},
	{play: "qb-270/countershaft/stack-play", shims: "qb-270/countershaft/stack-shims", span: []string{"qb-270/countershaft/span"},
		filled: []string{"qb-270/countershaft/gear-1", "qb-270/countershaft/gear-2", "qb-270/countershaft/gear-3", "qb-270/countershaft/spacer"}},
	{play: "ov-120/crankcase/end-float", shims: "ov-120/crankcase/end-shims",
		span:   []string{"ov-120/crankcase/lower-depth", "ov-120/crankcase/upper-depth", "ov-120/crankcase/gasket"},
		filled: []string{"ov-120/crank/width-over-bearings"}},
}

func at(t *testing.T, r *catalogue.Revision, key string) *spec.Spec {
	t.Helper()
	e, ok := r.Entry(spec.Key(key))
	if !ok {
		t.Fatalf("nothing has the key %s", key)
	}
	return e.Base
}

// Widths + shims + play = span: with new parts at either end of their bands the ladder has a filling that puts the play
// into its band.
func TestWidthsShimsAndPlayMakeTheSpan(t *testing.T) {
	t.Parallel()
	r := demo(t)
	for _, s := range stacks {
		var least, most quantity.Exact // room for shims and play
		for _, k := range s.span {
			least, most = least.Add(at(t, r, k).Band.Lower.Exact()), most.Add(at(t, r, k).Band.Upper.Exact())
		}
		for _, k := range s.filled {
			n := max(1, s.times[k])
			least, most = least.Sub(at(t, r, k).Band.Upper.Exact().MulInt(n)), most.Sub(at(t, r, k).Band.Lower.Exact().MulInt(n))
		}
		e, ok := r.Shims(spec.Key(s.shims))
		if !ok {
			t.Fatal(s.shims)
		}
		totals := fillings(e.Base)
		band := at(t, r, s.play).Band
		for _, room := range []quantity.Exact{least, most} {
			found := false
			for _, total := range totals {
				play := room.Sub(total.Exact())
				found = found || !play.Less(band.Lower.Exact()) && !band.Upper.Exact().Less(play)
			}
			if !found {
				t.Errorf("%s: no filling of %.3f mm of room gives a play from %v to %v", s.play, room.Float64(), band.Lower, band.Upper)
			}
		}
	}
}

// fillings are the totals that one piece at each place, or none where that is allowed, can have.
func fillings(s *spec.ShimSet) []quantity.Decimal {
	totals := []quantity.Decimal{quantity.NewDecimal(0, 2)}
	for _, p := range s.Places {
		var next []quantity.Decimal
		for _, total := range totals {
			if p.MinPieces == 0 {
				next = append(next, total)
			}
			for _, g := range s.Ladder {
				sum, _ := total.Exact().Add(g.Thickness.Exact()).Round(9, quantity.HalfEven)
				next = append(next, sum)
			}
		}
		totals = next
	}
	return totals
}
