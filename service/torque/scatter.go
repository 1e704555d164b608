package torque

// Method is a way to tighten.
type Method string

// The methods.
const (
	ByTorque    Method = "torque_wrench"         // friction estimated
	ByTested    Method = "torque_wrench_tested"  // friction found by trial on the joint
	ByAngle     Method = "angle"                 // torque and angle, past the yield
	ByYield     Method = "yield"                 // yield-controlled
	ByImpact    Method = "impact_wrench_checked" // set by measuring afterwards
	ByImpactRaw Method = "impact_wrench"
)

// Scatter is the tightening factor α_A: the largest clamp force over the smallest that one setting gives.
type Scatter struct{ Lower, Upper float64 }

// methods are the tightening factors of VDI 2230 Part 1 (2003), Table A8, from memory.
var methods = [...]struct {
	method Method
	factor Scatter
}{
	{ByTorque, Scatter{1.6, 2.0}},
	{ByTested, Scatter{1.4, 1.6}},
	{ByAngle, Scatter{1.2, 1.4}},
	{ByYield, Scatter{1.2, 1.4}},
	{ByImpact, Scatter{1.7, 2.5}},
	{ByImpactRaw, Scatter{2.5, 4.0}},
}

// ScatterOf is the tightening factor of a method; ok is false for one that the table does not have.
func ScatterOf(m Method) (s Scatter, ok bool) {
	for _, row := range methods {
		if row.method == m {
			return row.factor, true
		}
	}
	return Scatter{}, false
}

// Methods lists the methods, the usual one first.
func Methods() []Method {
	list := make([]Method, len(methods))
	for i, row := range methods {
		list[i] = row.method
	}
	return list
}

// Least is the smallest clamp force to be expected where the largest is most: most over the upper factor.
func (s Scatter) Least(most float64) float64 { return most / s.Upper }
