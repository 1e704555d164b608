// Package quantity holds exact numbers with units: what a reading, a limit and a shim are made of.
//
// It decides how a number is read, compared, converted and rounded. It refuses to know what the number is for.
// Near a limit nothing here is a float: a Decimal is what was written, an Exact is any rational, a Length is a whole
// number of 1e-13 m. Floats are for estimates.
//
//	d := quantity.MustParse("0.10")           // keeps its zero
//	x, _ := quantity.In(d, quantity.Millimetre, quantity.Inch)
//	shown, _ := x.Round(4, quantity.HalfEven) // 0.0039
package quantity
