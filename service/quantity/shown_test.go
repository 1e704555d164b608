package quantity_test

import (
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/quantity"
)

func TestShownNeverReachesALimit(t *testing.T) {
	t.Parallel()
	limit := func(s string) quantity.Exact { return quantity.MustParse(s).Exact() }
	for _, row := range []struct {
		name   string
		x      quantity.Exact
		places int
		limits []string
		want   string
	}{
		{"far from any limit", quantity.Frac(1, 6), 2, []string{"0.08", "0.35"}, "0.17"},
		{"zeros are kept", limit("0.2"), 2, []string{"0.08", "0.35"}, "0.20"},
		{"rounding would reach the upper limit", limit("0.3467"), 2, []string{"0.35"}, "0.347"},
		{"and once more", limit("0.3499"), 2, []string{"0.35"}, "0.3499"},
		{"rounding would come back from over the limit", limit("0.3503"), 2, []string{"0.35"}, "0.3503"},
		{"on the limit", limit("0.35"), 2, []string{"0.35"}, "0.35"},
		{"on a limit with more digits", limit("0.085"), 2, []string{"0.085"}, "0.085"},
		{"rounding would cross a limit with more digits", limit("0.087"), 1, []string{"0.095"}, "0.09"},
		{"no limit", limit("0.3467"), 1, nil, "0.3"},
	} {
		var limits []quantity.Exact
		for _, l := range row.limits {
			limits = append(limits, limit(l))
		}
		if got := row.x.Shown(row.places, limits...).String(); got != row.want {
			t.Errorf("%s: %s, want %s", row.name, got, row.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		x := quantity.Frac(rapid.Int64Range(-100000, 100000).Draw(t, "x"), rapid.Int64Range(1, 7000).Draw(t, "parts"))
		l := quantity.NewDecimal(rapid.Int64Range(-5000, 5000).Draw(t, "limit"), rapid.IntRange(0, 4).Draw(t, "places")).Exact()
		if d := x.Shown(rapid.IntRange(0, 3).Draw(t, "shown"), l); d.Exact().Cmp(l) != x.Cmp(l) {
			t.Fatalf("%v is shown as %v beside the limit %v", x, d, l)
		}
	})
}
