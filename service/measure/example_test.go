package measure_test

import (
	"fmt"

	"endfloat/service/measure"
	"endfloat/service/quantity"
)

func ExamplePlaceOf() {
	r := measure.Reading{Blades: []measure.Blade{
		{Size: quantity.MustParse("0.10"), Feel: measure.Free},
		{Size: quantity.MustParse("0.15"), Feel: measure.Drag},
		{Size: quantity.MustParse("0.20"), Feel: measure.Forced},
	}}
	p, err := measure.PlaceOf(&r, quantity.Millimetre, quantity.Millimetre, &measure.Instrument{})
	fmt.Println(p.Value.Print(2, 2), p.Low.At.Print(2, 2), p.High.At.Print(2, 2), err)
	// Output: 0.15 0.15 0.20 <nil>
}
