package spec

import (
	"strconv"

	"endfloat/service/quantity"
)

// ShimSet is the places of a component where thickness can be added, and the ladder of pieces to buy.
// Lengths are exact; the unit they were published in is kept for showing.
type ShimSet struct {
	Key          Key
	Name         Text
	Unit         quantity.Unit
	Decimals     int
	Places       []Place
	Offset       Offset
	WearOf       []Key
	Ladder       []Rung
	GrindTo      bool // the source allows grinding a piece to size
	Cautions     []string
	Source       *Source
	RevisionDate string
	DecidedBy    DecidedBy
}

// Place is one spot of a shim set.
type Place struct {
	ID        string
	Name      Text
	MinPieces int
	MaxPieces int
	Against   string // circlip, rotating: the thinnest piece never touches it; empty: nothing of the kind
	PerMM     []Effect
}

// Effect is the change of a spec per millimetre of thickness added at a place: −1 for a plain stack.
type Effect struct {
	Spec   Key
	Change quantity.Decimal
}

// Offset is where the stack stands: half of what is added at the first place minus what is added at the second.
type Offset struct {
	Between  [2]string // ids of places; empty: no offset
	Limit    quantity.Decimal
	HasLimit bool
}

// Rung is one size of a ladder.
type Rung struct {
	Thickness    quantity.Decimal
	Tolerance    quantity.Range // both ends relative to Thickness; none: not stated
	SKU          string
	SupersededBy string
	FromSerial   string
	ToSerial     string
}

// Fits reports whether the size is for an engine of that serial number; both ends of its range are inside. A serial of 0
// is not known and fits, and so does everything a rung without a range.
func (r Rung) Fits(serial uint64) bool {
	if serial == 0 {
		return true
	}
	if from, err := strconv.ParseUint(r.FromSerial, 10, 63); err == nil && serial < from {
		return false
	}
	to, err := strconv.ParseUint(r.ToSerial, 10, 63)
	return err != nil || serial <= to
}
