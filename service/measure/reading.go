package measure

import (
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Feel is how a blade went in.
type Feel string

// The feels: the gap is over a free blade, at or over one that drags, under one that needs force or is refused.
const (
	Free    Feel = "free"
	Drag    Feel = "drag"
	Forced  Feel = "forced"
	Refused Feel = "refused"
)

// Enters reports whether the blade shows that the gap is at least its size.
func (f Feel) Enters() bool { return f == Free || f == Drag }

// Blade is one feeler blade at one place.
type Blade struct {
	Size quantity.Decimal
	Feel Feel
}

// Reading is what was read at one place, or on one fastener: a value, repeats, blades or a category.
type Reading struct {
	Value      quantity.Decimal
	HasValue   bool
	Repeats    []quantity.Decimal
	Blades     []Blade
	Category   string
	Position   string
	Stage      int
	Angle      quantity.Decimal
	HasAngle   bool
	Running    quantity.Decimal
	HasRunning bool
	How        string // measured, estimated, check; empty: as the check says
}

// Blank reports whether nothing was read.
func (r *Reading) Blank() bool {
	return !r.HasValue && len(r.Repeats) == 0 && len(r.Blades) == 0 && r.Category == ""
}

// Figure is an optional number of an instrument.
type Figure struct {
	Value float64
	Has   bool
}

// Some is a figure that is present.
func Some(v float64) Figure { return Figure{v, true} }

// Instrument is what was measured with, in the unit of the check. At most one of Standard, Expanded, Accuracy and
// Percent is present; with none the default of its kind applies, if it has one.
type Instrument struct {
	ID         string
	Kind       string
	Standard   Figure // standard uncertainty
	Expanded   Figure // expanded uncertainty with K
	K          float64
	Accuracy   Figure       // limit of error ±a
	Percent    Figure       // limit of error ±% of the judged value
	Shape      Distribution // of the errors within Accuracy or Percent
	Level      float64      // with Normal: the share that the limits cover, over 0 and under 1
	Resolution Figure
	BladeSet   []quantity.Decimal
	Tolerance  quantity.Decimal // of a blade, ±
	Correction Correction       // of what it shows
	Maximum    Figure           // of a torque tool, in the unit of the check
	Range      quantity.Range   // of a torque tool, in the unit of the check
	Only       spec.Hand        // the hand of thread that a torque tool tightens; empty: both
}

// Declared reports whether the caller gave a figure.
func (i *Instrument) Declared() bool {
	return i.Standard.Has || i.Expanded.Has || i.Accuracy.Has || i.Percent.Has
}
