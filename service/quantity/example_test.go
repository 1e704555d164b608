package quantity_test

import (
	"fmt"

	"endfloat/service/quantity"
)

func ExampleParse() {
	for _, s := range []string{"0.10", "1.5e-2", "0,15", "1e400"} {
		d, err := quantity.Parse(s)
		fmt.Println(d, err)
	}
	// Output:
	// 0.10 <nil>
	// 0.015 <nil>
	// 0 not a decimal number
	// 0 number out of range
}

// Limits are rounded inward: nothing between 20.7 and 23.6 lbf·ft lies outside 28 to 32 N·m.
func ExampleInward() {
	band := quantity.Between(quantity.MustParse("28"), quantity.MustParse("32"))
	out, places, _ := quantity.Inward(band, 0, quantity.NewtonMetre, quantity.PoundForceFoot)
	fmt.Println(out.Lower, out.Upper, places)
	// Output: 20.7 23.6 1
}

// The mean of three readings is kept exactly and only rounded to be shown.
func ExampleExact_Print() {
	sum := quantity.Exact{}
	for _, s := range []string{"0.15", "0.20", "0.15"} {
		sum = sum.Add(quantity.MustParse(s).Exact())
	}
	fmt.Println(sum.DivInt(3).Print(2, 2))
	// Output: 0.1667
}

func ExampleLengthOf() {
	shim, _ := quantity.LengthOf(quantity.MustParse("0.10"), quantity.Millimetre)
	gap, _ := quantity.LengthOf(quantity.MustParse("0.004"), quantity.Inch)
	fmt.Println(gap.In(quantity.Millimetre).Print(2, 4), shim.Cmp(gap))
	// Output: 0.1016 -1
}
