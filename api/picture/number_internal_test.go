package picture

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// A number is written as strconv writes it with the fewest digits.
func TestAppendNum(t *testing.T) {
	t.Parallel()
	same := func(t rapid.TB, f float64) {
		if got, want := string(appendNum([]byte("x"), f)), "x"+strconv.FormatFloat(f, 'f', -1, 64); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
	for _, f := range []float64{0, math.Copysign(0, -1), 0.1, 0.001, 0.0005, 1e6, 1e6 + 0.5, 1e9, 20.25, 13.125, -1.5, 0.1 + 0.2, math.Nextafter(0.1, 1), math.MaxFloat64} {
		same(t, f)
	}
	rapid.Check(t, func(t *rapid.T) {
		same(t, rapid.OneOf(rapid.Float64Range(-2e6, 2e6), rapid.Map(rapid.IntRange(0, 2e9), func(n int) float64 { return float64(n) / 1000 })).Draw(t, "number"))
	})
}
