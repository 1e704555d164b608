package quantity

import (
	"math"
	"math/big"
	"math/bits"
)

// Exact is an exact rational number. It is small and costs no allocation while numerator and denominator fit in
// 64 bits, and goes on in math/big where they do not, so that no comparison near a limit is ever rounded.
// The zero value is 0. Values are immutable and safe for concurrent use.
type Exact struct {
	num int64
	den int64 // 0 stands for 1
	big *big.Rat
}

// Int is n.
func Int(n int64) Exact { return Exact{num: n, den: 1} }

// Frac is num/den. den is not 0.
func Frac(num, den int64) Exact {
	if den == 0 {
		panic("quantity: zero denominator")
	}
	if den < 0 {
		if den == math.MinInt64 || num == math.MinInt64 {
			return fromBig(new(big.Rat).SetFrac(big.NewInt(num), big.NewInt(den)))
		}
		num, den = -num, -den
	}
	return Exact{num: num, den: den}
}

// FromFloat is the exact value of a finite float64. It costs no allocation where the float is a whole number of 2^-62.
func FromFloat(f float64) Exact {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		panic("quantity: not a finite number")
	}
	fraction, exp := math.Frexp(f)
	const mantissa = 53
	num, exp := int64(math.Ldexp(fraction, mantissa)), exp-mantissa
	if num == 0 {
		return Exact{}
	}
	zeros := bits.TrailingZeros64(magnitude(num))
	num, exp = num>>zeros, exp+zeros
	switch {
	case exp <= 0 && exp > -63:
		return Exact{num: num, den: 1 << -exp}
	case exp > 0 && exp+mantissa-zeros < 63:
		return Exact{num: num << exp, den: 1}
	}
	return fromBig(new(big.Rat).SetFloat64(f))
}

func (x Exact) d() int64 {
	if x.den == 0 {
		return 1
	}
	return x.den
}

// Rat is the value as a big.Rat that the caller may change.
func (x Exact) Rat() *big.Rat {
	if x.big != nil {
		return new(big.Rat).Set(x.big)
	}
	return big.NewRat(x.num, x.d())
}

func fromBig(r *big.Rat) Exact {
	if r.Num().IsInt64() && r.Denom().IsInt64() {
		return Exact{num: r.Num().Int64(), den: r.Denom().Int64()}
	}
	return Exact{big: r}
}

// FromRat is the value of r, which is not kept.
func FromRat(r *big.Rat) Exact { return fromBig(new(big.Rat).Set(r)) }

// Sign is -1, 0 or +1.
func (x Exact) Sign() int {
	if x.big != nil {
		return x.big.Sign()
	}
	switch {
	case x.num < 0:
		return -1
	case x.num > 0:
		return 1
	}
	return 0
}

// Cmp compares two numbers exactly, by cross-multiplication in 128 bits.
func (x Exact) Cmp(y Exact) int {
	if x.big != nil || y.big != nil {
		return x.Rat().Cmp(y.Rat())
	}
	if x.d() == y.d() {
		return cmpInt(x.num, y.num)
	}
	if sx, sy := x.Sign(), y.Sign(); sx != sy {
		return cmpInt(int64(sx), int64(sy))
	}
	xh, xl := bits.Mul64(magnitude(x.num), uint64(y.d()))
	yh, yl := bits.Mul64(magnitude(y.num), uint64(x.d()))
	c := cmpUint(xh, yh)
	if c == 0 {
		c = cmpUint(xl, yl)
	}
	if x.num < 0 {
		return -c
	}
	return c
}

func magnitude(n int64) uint64 {
	if n < 0 {
		return -uint64(n)
	}
	return uint64(n)
}

func cmpInt(a, b int64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func cmpUint(a, b uint64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// Less reports whether x is smaller than y.
func (x Exact) Less(y Exact) bool { return x.Cmp(y) < 0 }

// Equal reports whether x and y are the same number.
func (x Exact) Equal(y Exact) bool { return x.Cmp(y) == 0 }

// Ratio is x in lowest terms with den > 0; ok is false where they do not fit in 64 bits.
func (x Exact) Ratio() (num, den int64, ok bool) {
	if x.big != nil || x.num == math.MinInt64 {
		return 0, 0, false
	}
	r := x.reduced()
	return r.num, r.d(), true
}

// Float64 is the nearest float: for estimates only.
func (x Exact) Float64() float64 {
	if x.big != nil {
		f, _ := x.big.Float64()
		return f
	}
	const exact = 1 << 53
	if magnitude(x.num) <= exact && x.d() <= exact {
		return float64(x.num) / float64(x.d())
	}
	f, _ := x.Rat().Float64()
	return f
}
