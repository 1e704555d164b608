package torque_test

import (
	"fmt"

	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// A crowfoot of 50 mm straight on a wrench of 300 mm turns harder than the scale says.
func ExampleSet() {
	w := torque.Wanted{Aim: quantity.Int(30), Band: quantity.Between(quantity.MustParse("28"), quantity.MustParse("32")), Unit: quantity.NewtonMetre}
	lever, _ := quantity.LengthOf(quantity.MustParse("300"), quantity.Millimetre)
	crowfoot, _ := quantity.LengthOf(quantity.MustParse("50"), quantity.Millimetre)
	wrench := torque.Wrench{Lever: lever, Step: quantity.MustParse("0.5"), Accuracy: quantity.Int(4), Rated: true}
	s, _ := torque.Set(w, wrench, torque.Use{Extension: torque.Extension{Length: crowfoot}})
	fmt.Println(s.Exact.Print(0, 3), s.Set, s.Gives.Print(0, 3), s.Lower.Print(0, 3), s.Upper.Print(0, 3))
	// Output: 25.714 25.5 29.75 28.56 30.94
}

// M8 of class 8.8 with 0.12 all round, 90 % of the yield used.
func ExampleJoint_Estimate() {
	thread, _ := torque.ThreadOf("M8")
	class, _ := torque.ClassOf("8.8", thread)
	face, _ := torque.FaceOf(thread, torque.Hexagon)
	e := torque.Joint{Thread: thread, Class: class, Face: face, Friction: torque.Friction{Thread: 0.12, Head: 0.12}, Utilisation: 0.9}.Estimate()
	fmt.Printf("%.1f kN, %.1f N·m, %.0f %% of the proof load\n", e.ClampForce/1000, e.Torque, e.ProofUse*100)
	// Output: 18.6 kN, 24.6 N·m, 88 % of the proof load
}
