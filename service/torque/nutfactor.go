package torque

// nutFactors are the nut factors K of T = K · d · F by the state of the bolt (Shigley, Mechanical Engineering Design,
// 9th ed., Table 8-15; zinc and anti-seize from memory).
var nutFactors = [...]struct {
	condition string
	k         float64
}{
	{"black", 0.30},
	{"zinc_plated", 0.20},
	{"lubricated", 0.18},
	{"cadmium_plated", 0.16},
	{"anti_seize", 0.12},
}

// NutFactorOf is K for the state of a bolt; ok is false for one that the table does not have.
func NutFactorOf(condition string) (k float64, ok bool) {
	for _, row := range nutFactors {
		if row.condition == condition {
			return row.k, true
		}
	}
	return 0, false
}

// NutFactorOfJoint is the K that makes T = K · d · F say what friction and geometry say.
func NutFactorOfJoint(j Joint) float64 { return j.Arm() / j.Thread.Diameter }

// Conditions lists the states of a bolt for which there is a nut factor.
func Conditions() []string {
	list := make([]string, len(nutFactors))
	for i, row := range nutFactors {
		list[i] = row.condition
	}
	return list
}
