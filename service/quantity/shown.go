package quantity

// Shown is x for an eye: half-even with the given digits, zeros at the end kept, and one digit more, again and again,
// wherever rounding would reach or cross one of the limits. A value on a limit is shown on it.
func (x Exact) Shown(places int, limits ...Exact) Decimal {
	for n := places; n <= MaxPlaces; n++ {
		d, ok := x.Round(n, HalfEven)
		if !ok {
			break
		}
		if sameSides(x, d.Exact(), limits) {
			return d
		}
	}
	return x.Print(places, MaxPlaces)
}

func sameSides(x, rounded Exact, limits []Exact) bool {
	for _, l := range limits {
		if x.Cmp(l) != rounded.Cmp(l) {
			return false
		}
	}
	return true
}
