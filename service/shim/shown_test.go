package shim_test

import (
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// Digits are the fewest whose half is no more than a twentieth of the least step (25.4 mm are an inch, exactly).
func TestDigits(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name string
		set  *spec.ShimSet
		unit quantity.Unit
		want int
	}{
		{"its own unit", setOf("s", ladder("1.00", "1.05")), quantity.Millimetre, 2},
		{"0.05 mm in inches: 0.00197", setOf("s", ladder("1.00", "1.05", "1.20")), quantity.Inch, 4},
		{"0.025 mm in inches: 0.000984, just under ten of 0.0001", setOf("s", ladder("2.400", "2.425")), quantity.Inch, 5},
		{"0.0254 mm in inches: exactly ten of 0.0001", setOf("s", ladder("1.0000", "1.0254")), quantity.Inch, 4},
		{"no step: as of 0.05 mm", setOf("s", nil), quantity.Inch, 4},
		{"in thou", setOf("s", ladder("1.00", "1.05")), quantity.Thou, 1},
		{"in µm", setOf("s", ladder("1.00", "1.05")), quantity.Micrometre, 0},
		{"steps too fine for any digits", setOf("s", ladder("1.000000001", "1.000000002")), quantity.Inch, 9},
	} {
		if got := shim.Digits(row.set, row.unit); got != row.want {
			t.Errorf("%s: %d", row.name, got)
		}
	}
}

// A length in another unit keeps to its side of a limit, and is not shown as nothing.
func TestLengthShown(t *testing.T) {
	t.Parallel()
	set := setOf("s", ladder("1.00", "1.05"))
	for _, row := range []struct{ mm, limit, want string }{
		{"0.05", "0.10", "0.0020"},
		{"0.1001", "0.10", "0.00394"}, // 0.0039409 over 0.0039370
		{"0.10", "0.10", "0.0039"},
		{"0.00001", "0.10", "0.0000004"},
		{"0", "0.10", "0.0000"},
	} {
		if got := shim.LengthShown(dec(row.mm).Exact(), set, quantity.Inch, dec(row.limit).Exact()); got.String() != row.want {
			t.Errorf("%s mm: %s", row.mm, got)
		}
	}
	if got := shim.LengthShown(dec("0.0333").Exact(), set, quantity.Millimetre, dec("0.10").Exact()); got.String() != "0.0333" {
		t.Error(got)
	}
}
