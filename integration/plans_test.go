//go:build integration

package integration_test

import (
	"fmt"
	"strings"
	"testing"
)

// ladder lists the sizes from low up to high, both in hundredths of a millimetre, in steps.
func ladder(low, high, step int) string {
	var sizes []string
	for size := low; size <= high; size += step {
		sizes = append(sizes, fmt.Sprintf(`{"thickness":%d.%02d}`, size/100, size%100))
	}
	return "[" + strings.Join(sizes, ",") + "]"
}

// stack is a plan for one place with a play that gets smaller by what is added.
func stack(band, aim, play, fitted, sizes string) string {
	return `{"unit":"mm","caller_shims":[{"id":"stack","specs":[{"id":"play","caller_spec":{"kind":"dimension","unit":"mm","decimals":2,"band":` + band + `,` + aim +
		`}}],"places":[{"id":"one","per_mm":[{"spec":"play","change":-1}]}],"ladder":` + sizes +
		`}],"measured":[{"spec":"play","unit":"mm","readings":[{"value":` + play + `}]}],"fitted":[{"place":"one","pieces":[{"thickness":` + fitted + `}]}]}`
}

// Gear stacks and end float. Common practice, no source: the play gets smaller by what is added, and the size whose play
// comes nearest to the aim without passing it is fitted.
func TestPlansOfCommonPractice(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	const wide, low = `{"lower":0.10,"upper":0.40}`, `"target":0.10,"target_policy":"not_below"`
	twoSides := `{"unit":"mm","caller_shims":[{"id":"stack","specs":[{"id":"play","caller_spec":{"kind":"dimension","unit":"mm","decimals":2,"band":` + wide +
		`,"target":0.20,"target_policy":"nearest"}}],"places":[{"id":"left","per_mm":[{"spec":"play","change":-1}]},{"id":"right","per_mm":[{"spec":"play","change":-1}]}],` +
		`"offset":{"between":["left","right"],"limit":0.10},"ladder":` + ladder(100, 200, 5) +
		`}],"measured":[{"spec":"play","unit":"mm","readings":[{"value":0.62}]}],"offset_now":0,` +
		`"fitted":[{"place":"left","pieces":[{"thickness":1.00}]},{"place":"right","pieces":[{"thickness":1.00}]}]}`
	const size, play = "to_order.%d.places.0.pieces.0.thickness", "to_order.%d.predicted.0.value"
	for _, row := range []struct {
		name, body string
		want       []string
	}{
		{"2.00 fitted and 0.50 of play: 2.30 before 2.15", stack(wide, low, "0.50", "2.00", ladder(200, 260, 15)),
			[]string{"outcome", "change", "needed", "true", fmt.Sprintf(size, 0), "2.30", fmt.Sprintf(play, 0), "0.20", fmt.Sprintf(size, 1), "2.15", fmt.Sprintf(play, 1), "0.35", "to_order.2", "(none)"}},
		{"1.90 fitted and 0.13 of play: leave it", stack(wide, low, "0.13", "1.90", ladder(150, 250, 5)),
			[]string{"outcome", "leave", "needed", "false"}},
		{"1.50 fitted, 0.28 of play, coarse sizes: none fits", stack(`{"lower":0.05,"upper":0.20}`, `"target":0.125,"target_policy":"nearest"`, "0.28", "1.50", ladder(150, 200, 25)),
			[]string{"outcome", "none_in_band", "to_order.0", "(none)", "thickness.lower", "1.58", "thickness.upper", "1.73",
				"nearest.loose.predicted.0.value", "0.28", "nearest.loose.predicted.0.miss", "0.08", "nearest.tight.predicted.0.value", "0.03", "nearest.tight.predicted.0.miss", "0.02"}},
		{"two sides", twoSides,
			[]string{"outcome", "change", fmt.Sprintf(size, 0), "1.20", "to_order.0.places.1.pieces.0.thickness", "1.20", fmt.Sprintf(play, 0), "0.22", "to_order.0.offset", "0"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got := ask(t, s, client, "/v1/shim-plans", row.body)
			expect(t, got, row.want...)
			if t.Failed() {
				t.Logf("%v", at(got, "text"))
			}
		})
	}
	t.Run("2.45 would leave too little", func(t *testing.T) {
		t.Parallel()
		got := ask(t, s, client, "/v1/shim-plans", stack(wide, low, "0.50", "2.00", ladder(200, 260, 15)))
		found := false
		for i := 0; at(got, fmt.Sprintf("rejected.%d", i)) != "(none)"; i++ {
			option := fmt.Sprintf("rejected.%d.", i)
			if at(got, option+"places.0.pieces.0.thickness") == "2.45" {
				found = true
				expect(t, got, option+"predicted.0.value", "0.05", option+"predicted.0.position", "below")
				if !strings.Contains(at(got, option+"why"), `"below"`) {
					t.Errorf("why is %s", at(got, option+"why"))
				}
			}
		}
		if !found {
			t.Errorf("rejected is %s", at(got, "rejected"))
		}
	})
}
