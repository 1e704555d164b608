package shimming

import (
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// length is a length in mm in the unit of the request, with the digits of the set and two more.
func (s *shower) length(mm quantity.Exact, set spec.Key) wire.Decimal {
	x, ok := quantity.Convert(mm, quantity.Millimetre, s.in.Unit)
	if !ok {
		x = mm
	}
	return wire.Dec(x.Print(shim.Decimals(s.shims(string(set)), s.in.Unit), 2))
}

// shown is a length in mm of a set for a sentence, in the unit of the request.
func (s *shower) shown(name string, mm quantity.Exact, set spec.Key) note.Param {
	return note.Qty(name, shim.LengthShown(mm, s.shims(string(set)), s.in.Unit), s.in.Unit)
}

func (s *shower) thickness(t *shim.Thickness) Thickness {
	set := s.in.Sets[0].Shims
	if len(t.Places) > 0 {
		set = s.shims(string(t.Places[0].Set))
	}
	in := func(mm quantity.Exact, mode quantity.Rounding) wire.Decimal {
		x, _ := quantity.Convert(mm, quantity.Millimetre, s.in.Unit)
		d := shim.Decimals(set, s.in.Unit)
		shown, ok := x.Round(min(d+2, quantity.MaxPlaces), mode)
		return wire.DecIf(shown.Trimmed(d), ok)
	}
	w := Thickness{Ideal: in(t.Ideal, quantity.HalfEven), Now: in(t.Now, quantity.HalfEven), Unit: string(s.in.Unit)}
	if t.Lower.Has {
		w.Lower = in(t.Lower.At, quantity.Up)
	}
	if t.Upper.Has {
		w.Upper = in(t.Upper.At, quantity.Down)
	}
	low, high := totals(t, shim.Digits(set, s.in.Unit), s.in.Unit)
	w.Display = text.Value(low+"–"+high, s.in.Unit)
	return w
}

// totals are the ends of a total for an eye: rounded inward, with the fewest digits from places on that cost no more than
// a twentieth of what lies between them. An end that is open is "…".
func totals(t *shim.Thickness, places int, u quantity.Unit) (low, high string) {
	lower, _ := quantity.Convert(t.Lower.At, quantity.Millimetre, u)
	upper, _ := quantity.Convert(t.Upper.At, quantity.Millimetre, u)
	low, high = "…", "…"
	for ; places <= quantity.MaxPlaces; places++ {
		from, _ := lower.Round(places, quantity.Up)
		to, _ := upper.Round(places, quantity.Down)
		if t.Lower.Has {
			low = from.String()
		}
		if t.Upper.Has {
			high = to.String()
		}
		if cost := from.Exact().Sub(lower).Add(upper.Sub(to.Exact())); !t.Lower.Has || !t.Upper.Has || cost.MulInt(20).Cmp(upper.Sub(lower)) <= 0 {
			break
		}
	}
	return low, high
}
