package torque

// InSeries is the stiffness of bolt and clamped parts together, in the unit of both.
func InSeries(bolt, parts float64) float64 { return bolt * parts / (bolt + parts) }

// Slope is what a degree of turning adds once the joint is seated.
type Slope struct {
	Clamp  float64 // N per degree
	Torque float64 // N·m per degree
}

// Slope is the rise of clamp force and torque with the angle for a joint that is stiffness N/mm stiff in series: a turn
// draws it together by one pitch.
func (j Joint) Slope(stiffness float64) Slope {
	clamp := stiffness * j.Thread.Pitch / 360
	return Slope{Clamp: clamp, Torque: clamp * j.Arm() / 1000}
}
