package sheet

import (
	"time"

	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Record is what a filled sheet says about one line, its readings judged. The zero value says nothing.
type Record struct {
	ID        string
	Index     int // place in the sheet as it was sent
	Key       spec.Key
	Line      *Line // nil: no line of this sheet
	Bad       bool  // what it says cannot be accepted
	Found     Stage
	Built     Stage
	Reused    bool // the part was put back as it was found
	HasBefore bool
	HasAfter  bool
	Before    []Piece // shims that were there
	After     []Piece // shims that are there now
	Renewed   []string
	Retorqued bool // tightened again after it was done
	By        string
	Witness   string
	At        When
	Tools     []Tool
	Waiver    Waiver
}

// Stage is the readings of one stage with their verdict; without any, Has is false and both are nil.
type Stage struct {
	Has    bool
	Check  *judge.Check
	Result *judge.Result
}

// Piece is a shim, in the unit of the spec. Thickness is the middle of its tolerance; Variance is that of the piece.
type Piece struct {
	Place     string
	SKU       string
	Printed   quantity.Decimal
	Thickness quantity.Exact
	Variance  float64
}

// same reports whether two entries are the same piece, left where it was.
func (p Piece) same(o Piece) bool {
	return p.Place == o.Place && p.SKU == o.SKU && p.Printed.Cmp(o.Printed) == 0
}

// Tool is what was measured or tightened with. Due is the day on which its calibration ends, empty where nobody said.
type Tool struct{ ID, Due string }

// Waiver is who lets an estimate stand, and why.
type Waiver struct{ Who, Reason string }

// When is a moment, or a whole day where the time of day was not given. The zero value is no moment.
type When struct {
	moment time.Time
	day    bool
	date   string
}

// Known reports whether there is a moment.
func (w When) Known() bool { return w.date != "" }

// Date is the calendar day as it was written (2026-11-01); empty where there is no moment.
func (w When) Date() string { return w.date }

// Before reports whether w is surely before o: by the day where one of them is a day, else by the moment.
func (w When) Before(o When) bool {
	if w.day || o.day {
		return w.date < o.date
	}
	return w.moment.Before(o.moment)
}

// ParseWhen reads a date (2026-11-01) or a moment with its zone (RFC 3339), which begins with its date.
func ParseWhen(text string) (When, bool) {
	layout, day := time.RFC3339, len(text) == len(time.DateOnly)
	if day {
		layout = time.DateOnly
	}
	t, err := time.Parse(layout, text)
	if err != nil || t.Year() <= 0 {
		return When{}, false
	}
	return When{t, day, text[:len(time.DateOnly)]}, true
}

// Final is the stage that says how the engine was left: as built, or as found where the part was put back as it was and
// read once.
func (r *Record) Final() (Stage, bool) {
	switch {
	case r.Built.Has:
		return r.Built, true
	case r.Reused && r.Found.Has:
		return r.Found, true
	}
	return Stage{}, false
}

// verdict is that of the final stage; a line without one, or one that cannot be accepted, is not judged.
func (r *Record) verdict() (judge.Verdict, string) {
	if r.Bad {
		return judge.NotJudged, "problem"
	}
	f, ok := r.Final()
	if !ok {
		return judge.NotJudged, "missing"
	}
	return f.Result.Verdict, f.Result.Because
}

// estimated reports whether the final value was estimated and would do if it had been measured.
func (r *Record) estimated() bool {
	v, because := r.verdict()
	return v == judge.ConditionalPass && because == "estimated"
}
