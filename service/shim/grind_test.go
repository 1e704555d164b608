package shim_test

import (
	"fmt"
	"strings"
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/shim"
)

func ground(list []shim.Grind) string {
	var out []string
	for _, g := range list {
		out = append(out, fmt.Sprintf("%s %s to %s", g.Place, g.From.Thickness, g.To.Print(2, 4)))
	}
	return strings.Join(out, ", ")
}

// TestGrind solves for the thickness that puts everything on its aim, worked by hand.
func TestGrind(t *testing.T) {
	t.Parallel()
	one := setOf("set", ladder("2.00", "2.15", "2.30", "2.45"), at("p", 1, "play -1"))
	sides := stack(ladder(steps(100, 150, 5)...), "0.10", 1)
	loose := setOf("stack", ladder(steps(100, 150, 5)...), at("left", 1, "play -1"), at("right", 1, "play -1"))
	bevel := setOf("bevel", ladder(steps(80, 130, 5)...), at("pinion", 1, "float -1", "lash 0.51"), at("wheel", 1, "float -1", "lash -0.33"))
	alike := setOf("bevel", ladder(steps(80, 130, 5)...), at("pinion", 1, "float -1", "lash -1"), at("wheel", 1, "float -1", "lash -1"))
	valves := setOf("buckets", ladder("2.50", "2.60"), at("v1", 1, "v1 -1"), at("v2", 1, "v2 -1"))
	two := []shim.Fitted{fitted("left", "1.00"), fitted("right", "1.00")}
	lash := []shim.Measured{read(play("float", "0.05", "0.15", "0.10", ""), "0.30", "0.01"), read(play("lash", "0.10", "0.20", "0.15", ""), "0.08", "0.01")}
	gears := []shim.Fitted{fitted("pinion", "1.00"), fitted("wheel", "1.00")}
	for _, row := range []struct {
		name string
		in   shim.Request
		want string
	}{
		{"one place: 0.50 of play, 0.17 wanted", shim.Request{Sets: []shim.Set{{Shims: one}}, Fitted: []shim.Fitted{fitted("p", "2.00")},
			Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.17", ""), "0.50", "")}}, "p 2.45 to 2.33"},
		{"two sides, 0.06 off the middle: 0.42 more together, 0.12 more on the right", shim.Request{Sets: []shim.Set{{Shims: sides, OffsetNow: dec("0.06")}}, Fitted: two,
			Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.20", ""), "0.62", "")}}, "left 1.15 to 1.15, right 1.30 to 1.27"},
		{"two sides that need no middle: either", shim.Request{Sets: []shim.Set{{Shims: loose}}, Fitted: two,
			Measured: []shim.Measured{read(play("play", "0.10", "0.40", "0.20", ""), "0.43", "")}}, "left 1.25 to 1.23, right 1.25 to 1.23"},
		// a + b = 0.20 and 0.51 a − 0.33 b = 0.07, so a = 0.136/0.84 = 0.161905 and b = 0.038095.
		{"a bevel of two coupled specs", shim.Request{Sets: []shim.Set{{Shims: bevel}}, Fitted: gears, Measured: lash}, "pinion 1.20 to 1.161905, wheel 1.05 to 1.038095"},
		{"a singular bevel has no one answer", shim.Request{Sets: []shim.Set{{Shims: alike}}, Fitted: gears, Measured: lash}, ""},
		{"valves, one of them right as it is", shim.Request{Sets: []shim.Set{{Shims: valves}}, Fitted: []shim.Fitted{fitted("v1", "2.45"), fitted("v2", "2.50")},
			Measured: []shim.Measured{read(play("v1", "0.10", "0.16", "0.13", ""), "0.21", ""), read(play("v2", "0.10", "0.16", "0.13", ""), "0.13", "")}}, "v1 2.60 to 2.53"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			row.in.Unit = quantity.Millimetre
			for _, allowed := range []bool{true, false} {
				in, want := row.in, ""
				in.Sets = []shim.Set{row.in.Sets[0]}
				s := *in.Sets[0].Shims
				s.GrindTo = allowed
				in.Sets[0].Shims = &s
				if allowed {
					want = row.want
				}
				if got := ground(plan(t, in).Grind); got != want {
					t.Errorf("allowed %t: %q, want %q", allowed, got, want)
				}
			}
		})
	}
}
