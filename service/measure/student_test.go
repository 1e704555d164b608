package measure_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/measure"
)

// With more degrees of freedom Student's t comes down to the normal quantile, √2 · erf⁻¹(p), and never passes it.
func TestStudentTOfManyDegrees(t *testing.T) {
	t.Parallel()
	limit := math.Sqrt2 * math.Erfinv(0.9545)
	for _, dof := range []float64{1e12, 1e15, 1e20, 1e30, 1e60, 1e300} {
		if got := measure.StudentT(dof, 0.9545); math.Abs(got-limit) > 1e-11 {
			t.Errorf("%g degrees: %v, want %v", dof, got, limit)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		few := math.Floor(math.Pow(10, rapid.Float64Range(0, 40).Draw(t, "log10 of the degrees")))
		more := math.Floor(few * rapid.Float64Range(1.001, 10).Draw(t, "times"))
		a, b := measure.StudentT(few, 0.9545), measure.StudentT(more, 0.9545)
		if b > a+1e-10 || b < limit-1e-10 {
			t.Fatalf("%g: %v, %g: %v", few, a, more, b)
		}
	})
}

// Where the series takes over it agrees with the distribution itself (Abramowitz and Stegun, 26.7.5 against gonum).
func TestStudentTHasNoStep(t *testing.T) {
	t.Parallel()
	before, after := measure.StudentT(9_999, 0.9545), measure.StudentT(10_000, 0.9545)
	if step := before - after; step < 0 || step > 1e-7 {
		t.Errorf("from %v to %v", before, after)
	}
}
