package measure

import (
	"math"

	"endfloat/service/quantity"
)

// Correction is what stands between what an indicator shows and what the spec limits. The zero value corrects nothing.
type Correction struct {
	TipAngle quantity.Decimal // of a lever indicator, between stylus and surface, in degrees: true = shown · cos
	Probe    quantity.Decimal // radius at which backlash was read …
	Pitch    quantity.Decimal // … and at which it is published: true = shown · pitch/probe
	Runout   Runout
}

// Runout says how an eccentricity was read against how it is published.
type Runout string

// The two ways: full indicator movement is twice the offset of the axis.
const (
	OffsetToTIR Runout = "offset_to_tir"
	TIRToOffset Runout = "tir_to_offset"
)

// None reports whether nothing is corrected.
func (c *Correction) None() bool { return *c == Correction{} }

// Factor is by what a reading is multiplied. Ratios are exact; the cosine is an estimate rounded to 12 places. A tip
// angle is from 0 to under 90 degrees, and radii are both over 0 or both absent: what asks sees to that.
func (c *Correction) Factor() quantity.Exact {
	f := quantity.Int(1)
	if c.TipAngle.Sign() != 0 {
		cos := math.Cos(c.TipAngle.Float64() * math.Pi / 180)
		f = quantity.Frac(int64(math.RoundToEven(cos*1e12)), 1e12)
	}
	if c.Probe.Sign() > 0 && c.Pitch.Sign() > 0 {
		f = f.Mul(c.Pitch.Exact().Quo(c.Probe.Exact()))
	}
	switch c.Runout {
	case OffsetToTIR:
		f = f.MulInt(2)
	case TIRToOffset:
		f = f.DivInt(2)
	}
	return f
}

// Correct multiplies the value and scatter of the place. A bracket of blades is left as it is: blades show the gap
// itself.
func (p *Place) Correct(c *Correction) {
	if c.None() || p.Bracket {
		return
	}
	f := c.Factor()
	p.Value = p.Value.Mul(f)
	p.Dev *= math.Abs(f.Float64())
}
