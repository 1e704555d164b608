// Package measure turns readings into a value with its interval and uncertainty, in the words of JCGM 200 and JCGM 100.
//
// It decides what a reading at one place says: a number, the mean of repeats, or the bracket between the blade that
// enters and the one that does not. It refuses to know limits and verdicts. Values are exact and in the unit of the
// spec; uncertainties are estimates.
//
//	p, err := measure.PlaceOf(reading, unit, unit, instrument)
//	b := measure.Declared(instrument, p.Value.Float64())
//	u, expanded := b.Standard(), b.Expanded()
package measure
