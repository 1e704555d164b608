package measure

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Distribution says how the errors of an instrument lie within its limits of error ±a (JCGM 100, 4.3). The empty one is
// Rectangular.
type Distribution string

// The distributions and what u is for them.
const (
	Rectangular Distribution = "rectangular" // a/√3 (JCGM 100, 4.3.7)
	Triangular  Distribution = "triangular"  // a/√6 (4.3.9)
	UShaped     Distribution = "u_shaped"    // a/√2: the arcsine of what swings between its limits (H.1.3.3)
	Normal      Distribution = "normal"      // ±a covers a stated share, and nothing bounds the error (4.3.4, 4.3.5)
)

// Distributions lists them, the default first.
func Distributions() []Distribution {
	return []Distribution{Rectangular, Triangular, UShaped, Normal}
}

// within is the error of an instrument that is declared by ±a and its distribution.
func (i *Instrument) within(a float64) Error {
	switch e := (Error{Source: FromCaller, Limit: a}); i.Shape {
	case Triangular:
		e.Narrow = 6
		return e
	case UShaped:
		e.Narrow = 2
		return e
	case Normal:
		return Error{Source: FromCaller, Std: a / distuv.UnitNormal.Quantile((1+i.Level)/2)}
	default:
		return e
	}
}

// narrow is by what the square of the limit is divided for its variance.
func (e Error) narrow() float64 {
	if e.Narrow == 0 {
		return 3
	}
	return e.Narrow
}

// Common adds up errors that are fully correlated, each with its sign of +1 or −1: standard uncertainties and limits add
// with their signs (JCGM 100, 5.2.2, note 1). The source is that of the first.
func Common(errors []Error, signs []int64) Error {
	sum := Error{Source: errors[0].Source, Narrow: errors[0].Narrow}
	std := 0.0 // of the limits
	alike := true
	for n, e := range errors {
		sign := float64(signs[n])
		sum.Std += sign * e.Std
		sum.Limit += sign * e.Limit
		std += sign * e.Limit / math.Sqrt(e.narrow())
		alike = alike && e.Narrow == sum.Narrow
	}
	sum.Std, sum.Limit = math.Abs(sum.Std), math.Abs(sum.Limit)
	switch {
	case alike:
	case sum.Limit == 0:
		sum.Std, sum.Narrow = sum.Std+math.Abs(std), 0
	default:
		sum.Narrow = sum.Limit * sum.Limit / (std * std)
	}
	return sum
}
