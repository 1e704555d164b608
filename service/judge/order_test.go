package judge_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/spec"
)

// Places of equal value and unlike certainty: whichever comes first, the least certain one is judged.
func TestEqualPlacesInAnyOrder(t *testing.T) {
	t.Parallel()
	rules := []spec.Points{{}, {Combine: spec.Min}, {Combine: spec.Max}, {Combine: spec.Spread}, {AgainstLower: spec.Min, AgainstUpper: spec.Max}}
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Custom(drawBlades)
		if rapid.Bool().Draw(t, "repeats") {
			draw = rapid.Custom(drawRepeats)
		}
		readings := rapid.SliceOfN(draw, 2, 5).Draw(t, "places")
		s := with(mm("0.10", "0.40"), func(s *spec.Spec) { s.Points = rapid.SampledFrom(rules).Draw(t, "points") })
		c := judge.Check{Spec: s, Unit: "mm", Readings: readings}
		a := judge.Judge(c)
		c.Readings = rapid.Permutation(readings).Draw(t, "order")
		b := judge.Judge(c)
		if diff := cmp.Diff(brief(a), brief(b)); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestTheLeastCertainOfEqualPlaces(t *testing.T) {
	t.Parallel()
	s := with(mm("0.08", "0.40"), func(s *spec.Spec) { s.Points.Combine = spec.Min })
	narrow, wide := blades("0.10", "free", "0.20", "refused"), blades("0.05", "free", "0.25", "refused")
	for _, places := range [][]measure.Reading{{narrow, wide}, {wide, narrow}} {
		if r := judge.Judge(judge.Check{Spec: s, Unit: "mm", Readings: places}); r.Verdict != judge.ConditionalPass {
			t.Errorf("%s: one of the two may be under 0.08", r.Verdict)
		}
	}
}

func drawBlades(t *rapid.T) measure.Reading {
	sizes := []string{"0.05", "0.10", "0.15", "0.20", "0.25", "0.30", "0.35", "0.45"}
	i := rapid.IntRange(0, len(sizes)-2).Draw(t, "enters")
	j := rapid.IntRange(i+1, len(sizes)-1).Draw(t, "stops")
	return blades(sizes[i], rapid.SampledFrom([]string{"free", "drag"}).Draw(t, "feel"), sizes[j], "refused")
}

func drawRepeats(t *rapid.T) measure.Reading {
	middle, off := rapid.IntRange(5, 45).Draw(t, "middle"), rapid.IntRange(0, 3).Draw(t, "off")
	at := func(x int) string { return fmt.Sprintf("0.%02d", x) }
	around := []string{at(middle - off), at(middle - off), at(middle + off), at(middle + off)}
	return repeats(around[:rapid.SampledFrom([]int{2, 4}).Draw(t, "count")]...)
}

// brief is what must not hang on the order.
func brief(r judge.Result) []string {
	return []string{string(r.Verdict), string(r.Position), string(r.Action), fmt.Sprint(r.Value), fmt.Sprint(r.Lower), fmt.Sprint(r.Upper), fmt.Sprintf("%.12f", r.Probability)}
}
