package picture

import "math"

// Mark is a place on the scale with its label. The zero value is absent.
type Mark struct {
	Value float64
	Label string
	Has   bool
}

// At is a mark that is present.
func At(value float64, label string) Mark { return Mark{value, label, true} }

// Band is what a picture shows. Every part may be absent; without any limit it is the words alone.
type Band struct {
	Lang        string
	Description string   // the text alternative
	Above       string   // stands over everything else: a left-hand thread
	Heading     string   // what is measured
	Line        string   // the verdict with its value, or what is allowed
	Notes       []string // cautions, under the picture
	Lower       Mark
	Upper       Mark
	Aim         Mark
	WearLower   Mark
	WearUpper   Mark
	Reading     Mark
	From, To    Mark // the interval of the reading; one end may be missing
	Proven      bool // the reading is drawn solid, else as an outline
}

// Sizes in user units; the picture is as wide as its place and reads from 320 px on.
const (
	width   = 320.0
	left    = 14.0
	right   = width - 14
	barHigh = 20.0
)

// scale maps values to the width. Values far away are held at its ends.
type scale struct{ from, to float64 }

func (s scale) x(v float64) float64 {
	t := (v - s.from) / (s.to - s.from)
	return math.Round((left+math.Max(0, math.Min(1, t))*(right-left))*100) / 100
}

// or is where a mark stands, or another place where there is none.
func (s scale) or(m Mark, other float64) float64 {
	if m.Has {
		return s.x(m.Value)
	}
	return other
}

func (s scale) off(v float64) int {
	switch {
	case v < s.from:
		return -1
	case v > s.to:
		return 1
	}
	return 0
}

// fit is the scale that shows the limits whole and the reading as long as it is at most two spans away.
func (b Band) fit() (scale, bool) {
	from, to := math.Inf(1), math.Inf(-1)
	for _, m := range [...]Mark{b.Lower, b.Upper, b.WearLower, b.WearUpper, b.Aim} {
		if m.Has {
			from, to = math.Min(from, m.Value), math.Max(to, m.Value)
		}
	}
	if from > to {
		return scale{}, false
	}
	span := to - from
	if span == 0 {
		span = math.Max(math.Abs(from)/2, 1e-9)
	}
	low, high := from-2*span, to+2*span
	for _, m := range [...]Mark{b.Reading, b.From, b.To} {
		if m.Has && m.Value >= low && m.Value <= high {
			from, to = math.Min(from, m.Value), math.Max(to, m.Value)
		}
	}
	pad := math.Max(to-from, span) * 0.14
	return scale{from - pad, to + pad}, true
}
