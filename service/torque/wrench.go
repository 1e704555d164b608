package torque

import (
	"math"
	"strings"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Wrench is a torque wrench. The zero value of an optional field means that it is not known.
type Wrench struct {
	ID       string
	Named    bool            // there is a tool; without one only the arithmetic is done
	Lever    quantity.Length // from the square to the mark on the grip
	Unit     quantity.Unit   // of the scale, of Range and of Step
	Range    quantity.Range
	Step     quantity.Decimal // settings are multiples of it; 0: any setting
	Accuracy quantity.Exact   // limit of error, ± percent of what is set
	Rated    bool             // Accuracy is known
	Assumed  bool             // Accuracy is a default of the kind of tool
	Only     spec.Hand        // the hand of thread that it tightens; empty: both
}

// LowShare is the share of the range under which a wrench is not trusted: 20 % of its maximum. Common practice, no
// source.
const LowShare = 20

// Extension is an adapter that offsets the square: straight on at 0°, no change at 90°, folded back at 180°. The zero
// value is none.
type Extension struct {
	Length quantity.Length
	Angle  quantity.Decimal // degrees between lever and extension
}

// cosPlaces is how many decimals of a cosine are used: enough that a setting of six decimals is right, few enough that
// two processors agree.
const cosPlaces = 12

// Cosine is cos a for a in degrees. At multiples of 60° and 90° it is exact; elsewhere it is rounded to twelve
// decimals, the only inexact step of a setting.
func Cosine(degrees quantity.Decimal) quantity.Exact {
	turn := quantity.Int(360)
	a := degrees.Exact().Abs()
	if n, ok := a.Quo(turn).Round(0, quantity.Down); ok {
		a = a.Sub(turn.MulInt(n.Coef()))
	}
	if quantity.Int(180).Less(a) {
		a = turn.Sub(a)
	}
	for _, known := range [...]struct{ at, num, den int64 }{{0, 1, 1}, {60, 1, 2}, {90, 0, 1}, {120, -1, 2}, {180, -1, 1}} {
		if a.Equal(quantity.Int(known.at)) {
			return quantity.Frac(known.num, known.den)
		}
	}
	d, _ := quantity.FromFloat(math.Cos(a.Float64()*math.Pi/180)).Round(cosPlaces, quantity.HalfEven)
	return d.Exact()
}

// Factor is what a setting is of the torque that it gives: L / (L + E · cos a). ok is false where L + E · cos a is not
// over 0, so that no setting exists. Without an extension it is 1, whatever the lever.
func Factor(lever quantity.Length, e Extension) (f quantity.Exact, ok bool) {
	if e.Length.Grid() == 0 {
		return quantity.Int(1), true
	}
	l := quantity.Int(lever.Grid())
	whole := l.Add(quantity.Int(e.Length.Grid()).Mul(Cosine(e.Angle)))
	if whole.Sign() <= 0 || l.Sign() <= 0 {
		return quantity.Exact{}, false
	}
	return l.Quo(whole), true
}

// ToolLimit is the largest deviation in percent that ISO 6789-1:2017, 5.1.5, allows a torque tool of a type (I shows
// the torque, II is set to it) and class, by its maximum in N·m; partly from memory. ok is false for a type or class
// that the standard does not have.
func ToolLimit(kind, class string, maximum quantity.Exact) (percent int64, ok bool) {
	wide, narrow := "AD", "BCE"
	switch kind {
	case "I":
	case "II":
		wide, narrow = "CFG", "ABDE"
	default:
		return 0, false
	}
	has := func(set string) bool { return len(class) == 1 && strings.Contains(set, class) }
	switch {
	case has(wide), has(narrow) && maximum.Cmp(quantity.Int(10)) <= 0:
		return 6, true
	case has(narrow):
		return 4, true
	}
	return 0, false
}

// WrongWay reports whether the tool does not work in the direction that tightens a thread.
func (t Wrench) WrongWay(leftHand bool) bool {
	return t.Only == spec.Right && leftHand || t.Only == spec.Left && !leftHand
}

// Reaches reports whether a torque in the unit of the scale lies in the range, ends included.
func (t Wrench) Reaches(d quantity.Decimal) bool {
	return !(t.Range.HasLower && d.Cmp(t.Range.Lower) < 0) && !(t.Range.HasUpper && d.Cmp(t.Range.Upper) > 0)
}

// Misused says what is wrong with the tool for a torque in the unit of its scale: past an end of the range, under
// LowShare of its maximum, or turning the other way.
func (t Wrench) Misused(d quantity.Decimal, leftHand bool) []note.Note {
	var list []note.Note
	r := t.Range
	add := func(code, end string, limit quantity.Decimal, more ...note.Param) {
		list = append(list, note.New(code, append([]note.Param{note.Qty("set", d, t.Unit), note.Qty(end, limit, t.Unit)}, more...)...))
	}
	switch {
	case r.HasUpper && d.Cmp(r.Upper) > 0:
		add("above_range", "upper", r.Upper)
	case r.HasLower && d.Cmp(r.Lower) < 0:
		add("below_range", "lower", r.Lower)
	case r.HasUpper && d.Exact().MulInt(100).Less(r.Upper.Exact().MulInt(LowShare)):
		add("low_in_range", "upper", r.Upper, note.Qty("percent", quantity.NewDecimal(LowShare, 0), "%"))
	}
	if t.WrongWay(leftHand) {
		list = append(list, note.New("wrong_direction"))
	}
	return list
}
