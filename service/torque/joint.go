package torque

import "math"

// Model is a way from clamp force to torque and to the force that a bolt bears while it is turned.
type Model uint8

// The models. VDI2230 lets the whole section yield in torsion (VDI 2230 Part 1, 2003: factor 1.5 on the pitch-diameter
// term). Elastic counts the outermost fibre alone (older editions and handbooks: factor 2) and lies 6 to 10 % lower.
// NutFactor is T = K · d · F (Shigley, Mechanical Engineering Design, 8-8) with F a share of the proof load.
const (
	VDI2230 Model = iota
	Elastic
	NutFactor
)

// Joint is what a generic estimate is made of.
type Joint struct {
	Thread      Thread
	Class       Class
	Face        Face
	Friction    Friction
	Utilisation float64 // share of the yield (NutFactor: of the proof stress) that is used, (0, 1]
	Model       Model
	K           float64 // nut factor, for NutFactor
}

// Friction are the coefficients in the thread and under head or nut.
type Friction struct{ Thread, Head float64 }

// Estimate is the generic answer: newtons, newton metres and megapascals.
type Estimate struct {
	Torque     float64
	ClampForce float64
	Geometry   Geometry
	ProofLoad  float64 // stress under proof load times nominal stress area
	ProofUse   float64 // share of the proof load that the clamp force takes
	Ultimate   float64 // Rm times nominal stress area
	Tension    float64 // ClampForce over stress area
	Combined   float64 // equivalent stress of tension and torsion; the same as Tension for NutFactor
	ThreadPart float64 // share of Torque that thread friction takes
	HeadPart   float64 // share of Torque that the face takes
	PitchPart  float64 // share of Torque that stretches the bolt
}

// halfProfile is half the profile angle of metric and unified threads.
const halfProfile = math.Pi / 6

// rise is tan(φ + ρ′), with tan ρ′ = μ / cos 30°.
func (g Geometry) rise(mu float64) float64 {
	return math.Tan(g.LeadAngle() + math.Atan(mu/math.Cos(halfProfile)))
}

// Arm is the torque per newton of clamp force, in mm: d2/2 · tan(φ + ρ′) + D_Km/2 · μ_K.
func (j Joint) Arm() float64 {
	g := j.Thread.Geometry()
	if j.Model == NutFactor {
		return j.K * g.Diameter
	}
	return g.D2/2*g.rise(j.Friction.Thread) + j.Face.Mean()/2*j.Friction.Head
}

// Estimate is the clamp force and torque at which the stated share of the yield is used.
func (j Joint) Estimate() Estimate {
	g := j.Thread.Geometry()
	e := Estimate{Geometry: g, ProofLoad: j.Class.Proof * g.NominalArea, Ultimate: j.Class.Tensile * g.NominalArea}
	arm := j.Arm()
	if j.Model == NutFactor {
		e.ClampForce = j.Utilisation * e.ProofLoad
		e.Combined = e.ClampForce / g.StressArea
	} else {
		rise := g.rise(j.Friction.Thread)
		torsion := math.Sqrt(1 + 3*math.Pow(j.Model.torsion()*g.D2/g.StressDiameter*rise, 2))
		e.ClampForce = j.Utilisation * j.Class.Yield * g.StressArea / torsion
		e.Combined = j.Utilisation * j.Class.Yield
		e.HeadPart = j.Face.Mean() / 2 * j.Friction.Head / arm
		e.PitchPart = g.Pitch / (2 * math.Pi) / arm
		e.ThreadPart = 1 - e.HeadPart - e.PitchPart
	}
	e.Torque = e.ClampForce * arm / 1000
	e.Tension = e.ClampForce / g.StressArea
	e.ProofUse = e.ClampForce / e.ProofLoad
	return e
}

func (m Model) torsion() float64 {
	if m == Elastic {
		return 2
	}
	return 1.5
}

// EqualClamp is the torque that would clamp as hard as torque does, were the friction another one. It is information
// only: nobody published it, and a record in another condition stays unjudged.
func (j Joint) EqualClamp(torque float64, other Friction) float64 {
	k := j
	k.Friction = other
	return torque * k.Arm() / j.Arm()
}
