package torque

import "math"

// Which part of a joint gives way first.
const (
	StripsInternal = "internal"
	StripsExternal = "external"
	BoltBreaks     = "bolt"
)

// Engagement is the thread that a bolt is screwed into.
type Engagement struct {
	Shear  float64 // shear strength of its material, MPa
	Length float64 // of full thread that is engaged, mm
}

// Stripping says what a thread holds, in newtons and millimetres.
type Stripping struct {
	Internal     float64 // force that strips the internal thread
	External     float64 // force that strips the thread of the bolt
	Bolt         float64 // force that breaks the strongest bolt of its class
	StripsFirst  string  // StripsInternal or StripsExternal
	FailsFirst   string  // the same, or BoltBreaks
	NeededLength float64 // full thread with which the bolt breaks before either thread strips
	ClampLength  float64 // full thread with which neither strips under the clamp force
}

// Strongest is how much stronger than its class asks a bolt may be: a thread must outlast that one. From memory of
// VDI 2230 Part 1, which takes the largest tensile strength.
const Strongest = 1.2

// runOut is the share of a pitch at the mouth of a hole that carries nothing, in pitches (VDI 2230 Part 1, from memory).
const runOut = 0.8

// Strip is the stripping strength by VDI 2230 Part 1 (after E. M. Alexander), with basic sizes: shear areas
// π·d·m/P·(P/2 + (d − D2)·tan 30°) and π·D1·m/P·(P/2 + (d2 − D1)·tan 30°), and the factors C2 and C3 for the bending of
// the softer thread; from memory. Neither factor is let over 1.
func (j Joint) Strip(e Engagement, clamp float64) Stripping {
	g := j.Thread.Geometry()
	tan := math.Tan(halfProfile)
	perInternal := e.Shear * math.Pi * g.Diameter / g.Pitch * (g.Pitch/2 + (g.Diameter-g.D2)*tan)
	perExternal := j.Class.Shear * j.Class.Tensile * math.Pi * g.D1 / g.Pitch * (g.Pitch/2 + (g.D2-g.D1)*tan)
	ratio := perInternal / perExternal
	perInternal *= bendingOfNut(ratio)
	perExternal *= bendingOfBolt(ratio)
	s := Stripping{Internal: perInternal * e.Length, External: perExternal * e.Length, Bolt: Strongest * j.Class.Tensile * g.StressArea}
	weaker := perInternal
	s.StripsFirst = StripsInternal
	if perExternal < perInternal {
		weaker, s.StripsFirst = perExternal, StripsExternal
	}
	s.FailsFirst = s.StripsFirst
	if s.Bolt <= weaker*e.Length {
		s.FailsFirst = BoltBreaks
	}
	s.NeededLength, s.ClampLength = s.Bolt/weaker, clamp/weaker
	return s
}

// RunOut is the length at the mouth of a hole to be added to a needed length.
func (t Thread) RunOut() float64 { return runOut * t.Pitch }

// bendingOfNut is C3, bendingOfBolt is C2, by the strength ratio of internal to external thread.
func bendingOfNut(r float64) float64 {
	if r >= 1 {
		return 0.897
	}
	r = math.Max(r, 0.4)
	return math.Min(1, 0.728+r*(1.769+r*(-2.896+r*1.296)))
}

func bendingOfBolt(r float64) float64 {
	if r <= 1 {
		return 0.897
	}
	r = math.Min(r, 2.2)
	return math.Min(1, 5.594+r*(-13.682+r*(14.107+r*(-6.057+r*0.9353))))
}
