package shim

import (
	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Objective says what is best among options that are equally sure.
type Objective string

// The objectives; the empty one is Closest for one planned spec and FewestNew for several.
const (
	Closest   Objective = "closest"
	FewestNew Objective = "fewest_new"
)

// Defaults of a request.
const (
	DefaultOptions = 5
	// DefaultNodes bounds the work of one plan: so many steps of the search, whatever the clock says.
	DefaultNodes = 4_000_000
)

// Request is one question: what to fit. Thicknesses without a unit of their own and offsets are in Unit.
// Sets, Measured, Fitted and OnHand may stand in any order: the plan is the same.
type Request struct {
	Unit           quantity.Unit
	Sets           []Set
	Measured       []Measured
	Fitted         []Fitted
	OnHand         []Stock
	MaxOptions     int     // 0: DefaultOptions
	MinProbability float64 // with HasMin: what the caller or a policy demands
	HasMin         bool
	Objective      Objective
	Nodes          int    // 0: DefaultNodes
	Serial         uint64 // of the engine: rungs for other serials are left out; 0: not known, all rungs count
	Trace          bool
}

// Set is a shim set with where its stack stands now.
type Set struct {
	Shims     *spec.ShimSet
	OffsetNow quantity.Decimal // positive is towards the second place of the offset
	HasOffset bool             // somebody said so; else it stands in the middle for all that is known
}

// Measured is a spec with what was read of it now, as judge.Check holds it. The check is judged as built.
type Measured struct {
	Check   judge.Check
	Heat    Heat
	HasHeat bool
}

// Heat is what a spec gains when parts of two materials warm up together: length · rise · (around − inside).
type Heat struct {
	Length quantity.Decimal // in Unit
	Unit   quantity.Unit
	Rise   quantity.Decimal // K
	Around quantity.Decimal // expansion per K of what the length is measured in: a case
	Inside quantity.Decimal // of what stands inside it: a shaft
}

// Fitted is what sits at a place now. Known is false where nobody knows the thickness; no pieces with Known set is
// nothing fitted. Fixed pieces stay and never count; a Locked place does not change.
type Fitted struct {
	Set    spec.Key
	Place  string
	Pieces []Piece
	Known  bool
	Fixed  []Piece
	Locked bool
}

// Piece is a shim that exists. Its stated Thickness is printed and compared; a prediction uses the middle of its
// tolerance zone, with u = width/√12. Measured or a Standard uncertainty drop the tolerance.
type Piece struct {
	Thickness    quantity.Decimal
	Unit         quantity.Unit // empty: that of the request
	Tolerance    quantity.Range
	HasTolerance bool
	Measured     bool
	Standard     quantity.Decimal
	HasStandard  bool
	Stamped      quantity.Decimal
	HasStamped   bool
	SKU          string
	Worn         bool
	Set          spec.Key // fits this set only; empty: any
}

// Stock is pieces on hand.
type Stock struct {
	Piece
	Count int // 0 stands for 1
}
