package quantity

// Range is an interval with optional ends, both inside it where they are present.
type Range struct {
	Lower, Upper       Decimal
	HasLower, HasUpper bool
}

// Empty reports whether neither end is present.
func (r Range) Empty() bool { return !r.HasLower && !r.HasUpper }

// TwoSided reports whether both ends are present.
func (r Range) TwoSided() bool { return r.HasLower && r.HasUpper }

// Between is the range [lower, upper].
func Between(lower, upper Decimal) Range { return Range{lower, upper, true, true} }

// AtLeast is the range from lower upwards, lower included.
func AtLeast(lower Decimal) Range { return Range{Lower: lower, HasLower: true} }

// AtMost is the range up to upper, upper included.
func AtMost(upper Decimal) Range { return Range{Upper: upper, HasUpper: true} }

// Inward converts limits so that no value inside the converted ones lies outside the published ones: the lower limit
// is rounded up and the upper one down, with the fewest digits that cost no more than a twentieth of the band.
// A one-sided limit may cost a twentieth of its magnitude, and no more than one last published digit.
// places is the number of fractional digits used; ok is false where no number of digits does (a band without width).
func Inward(r Range, decimals int, from, to Unit) (out Range, places int, ok bool) {
	lower, ok1 := In(r.Lower, from, to)
	upper, ok2 := In(r.Upper, from, to)
	if !ok1 || !ok2 || r.Empty() {
		return Range{}, 0, false
	}
	allowed := allowance(r, lower, upper, decimals, from, to)
	for places = 0; places <= 9; places++ {
		out = r
		cost := Exact{}
		fits := true
		if r.HasLower {
			out.Lower, fits = lower.Round(places, Up)
			cost = cost.Add(out.Lower.Exact().Sub(lower))
		}
		if r.HasUpper && fits {
			out.Upper, fits = upper.Round(places, Down)
			cost = cost.Add(upper.Sub(out.Upper.Exact()))
		}
		if !fits {
			break
		}
		if cost.Cmp(allowed) <= 0 && (!r.TwoSided() || out.Lower.Cmp(out.Upper) <= 0) {
			return out, places, true
		}
	}
	return Range{}, 0, false
}

func allowance(r Range, lower, upper Exact, decimals int, from, to Unit) Exact {
	if r.TwoSided() {
		return upper.Sub(lower).DivInt(20)
	}
	limit := lower
	if r.HasUpper {
		limit = upper
	}
	digit, _ := In(NewDecimal(1, decimals), from, to)
	twentieth := limit.Abs().DivInt(20)
	if twentieth.Sign() == 0 || digit.Less(twentieth) {
		return digit
	}
	return twentieth
}

// ClampNearest rounds x to the nearest with the given digits and then moves it into r.
func ClampNearest(x Exact, places int, r Range) (Decimal, bool) {
	d, ok := x.Round(places, HalfEven)
	if !ok {
		return d, false
	}
	if r.HasLower && d.Cmp(r.Lower) < 0 {
		return r.Lower, true
	}
	if r.HasUpper && d.Cmp(r.Upper) > 0 {
		return r.Upper, true
	}
	return d, true
}
