package lint_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/data"
	"endfloat/specdb/lint"
	"endfloat/specdb/yamlfile"
)

const file = `family: f
name: F
source: {class: demo, title: t, reviewed: 2026-11-01}
variants:
  - {id: a, ranges: [{prefix: AB, from: 1, to: 100}]}
  - {id: b, ranges: [{prefix: AB, from: 100}]}
  - {id: c}
components:
  - id: shaft
    name: Shaft
    specs:
      - {id: play, kind: dimension, name: Play, unit: mm, band: {lower: 0.10, upper: 0.20}, adjusted_by: coarse}
      - {id: gap, kind: dimension, name: Gap, unit: in, band: {lower: 0.004, upper: 0.008}, adjusted_by: coarse}
      - {id: bolt, kind: torque, name: Bolt, unit: N.m, band: {lower: 22, upper: 26}, fastener: {thread: M8x1.25, hand: left, property_class: "8.8"}}
      - {id: nut, kind: torque, name: Nut, unit: N.m, value_form: single, target: 220, fastener: {thread: M8x1.25, property_class: "8.8"}, cautions: [left_hand_thread]}
      - {id: old, kind: dimension, name: Old, unit: mm, band: {upper: 1}, wear_limit: {lower: 0.5}, source: {class: shop_measured, title: t, reviewed: 2024-01-01, review_by: 2025-01-01}}
      - {id: odd, kind: torque, name: Odd, unit: N.m, value_form: stages, target: 20, stages: [{value: 10}, {value: 18}], fastener: {thread: M7.3}}
      - {id: flat, kind: dimension, name: Flat, unit: mm, band: {upper: 0.05}, form: true, points: {minimum: 1}}
    shims:
      - id: coarse
        name: Coarse
        unit: mm
        places: [{id: end, per_mm: [{spec: play, change: -1}]}]
        ladder: [{thickness: 1.00, sku: A}, {thickness: 1.25, sku: B}, {thickness: 1.50}]
      - id: gone
        name: Gone
        unit: mm
        places: [{id: end, per_mm: [{spec: flat, change: -1}]}]
        ladder: [{thickness: 1.00, sku: C, superseded_by: A}]
`

func found(t testing.TB, files fstest.MapFS, today string) []string {
	t.Helper()
	d := catalogue.Defaults{Cautions: []spec.Caution{{Code: "left_hand_thread", Severity: 1}}}
	l, err := yamlfile.LoadPlaced(files, d, nil)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, f := range lint.Check(l, today) {
		out = append(out, fmt.Sprintf("%s %d %s", f.Severity, f.Line, f.Rule))
		if f.Detail == "" || f.Remedy == "" || f.File == "" {
			t.Errorf("%+v", f)
		}
	}
	return out
}

func TestEveryRule(t *testing.T) {
	t.Parallel()
	want := []string{
		"warning 6 overlapping_runs", "error 6 no_feature", "warning 7 variant_without_run", "warning 9 mixed_units",
		"error 13 unreachable_ladder", "error 14 left_hand_without_caution",
		"error 15 caution_without_left_hand", "warning 15 single_without_policy", "warning 15 unusual_torque",
		"warning 16 overdue_review", "warning 16 engines_missing", "warning 16 wear_limit_without_band",
		"warning 17 last_stage_off_target", "warning 17 unknown_thread", "warning 18 form_of_one_place",
		"warning 20 size_without_number", "warning 20 coarse_ladder", "error 25 unreachable_ladder",
	}
	if d := cmp.Diff(want, found(t, fstest.MapFS{"f.yaml": {Data: []byte(file)}}, "2026-11-01")); d != "" {
		t.Error(d)
	}
}

func TestAReviewIsOverdueTheDayAfter(t *testing.T) {
	t.Parallel()
	for today, want := range map[string]bool{"2025-01-01": false, "2025-01-02": true} {
		got := strings.Contains(strings.Join(found(t, fstest.MapFS{"f.yaml": {Data: []byte(file)}}, today), " "), "overdue_review")
		if got != want {
			t.Errorf("on %s: %v", today, got)
		}
	}
}

// The demo shows on purpose what a catalogue may have; nothing of it is an error.
func TestTheDemoHasOnlyWhatItShowsOnPurpose(t *testing.T) {
	t.Parallel()
	l, err := yamlfile.LoadPlaced(data.Files, catalogue.Defaults{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]int{}
	for _, f := range lint.Check(l, "2026-11-01") {
		got[f.Rule]++
		if f.Severity == lint.Error {
			t.Error(f)
		}
	}
	want := map[string]int{"overlapping_runs": 1, "overdue_review": 1, "mixed_units": 4, "coarse_ladder": 1}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func ExampleCheck() {
	files := fstest.MapFS{"f.yaml": {Data: []byte(`family: f
name: F
source: {class: maker, title: Manual, reviewed: 2024-01-01, review_by: 2025-01-01}
components:
  - id: head
    name: Head
    specs:
      - {id: nuts, kind: torque, name: Nuts, unit: N.m, band: {lower: 20, upper: 24}}
`)}}
	l, err := yamlfile.LoadPlaced(files, catalogue.Defaults{}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range lint.Check(l, "2026-11-01") {
		fmt.Println(f)
	}
	// Output: warning: f.yaml:8:9: overdue_review: f/head/nuts: the review was due on 2025-01-01; hold the value against its source and write the new dates
}
