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

// Neg is -x.
func (x Exact) Neg() Exact {
	if x.big != nil || x.num == math.MinInt64 {
		return fromBig(x.Rat().Neg(x.Rat()))
	}
	return Exact{num: -x.num, den: x.den}
}

// Abs is |x|.
func (x Exact) Abs() Exact {
	if x.Sign() < 0 {
		return x.Neg()
	}
	return x
}

// Add is x + y.
func (x Exact) Add(y Exact) Exact {
	if x.big == nil && y.big == nil {
		if r, ok := addSmall(x, y); ok {
			return r
		}
		if r, ok := addSmall(x.reduced(), y.reduced()); ok {
			return r
		}
	}
	r := x.Rat()
	return fromBig(r.Add(r, y.Rat()))
}

func addSmall(x, y Exact) (Exact, bool) {
	xd, yd := x.d(), y.d()
	if xd == yd {
		s, ok := addInt(x.num, y.num)
		return Exact{num: s, den: xd}, ok
	}
	if xd < yd {
		x, y, xd, yd = y, x, yd, xd
	}
	// xd > yd: the common denominator is xd where yd divides it, as with decimals.
	fx, fy := int64(1), xd/yd
	if xd%yd != 0 {
		g := gcd(xd, yd)
		fx, fy = yd/g, xd/g
	}
	den, ok1 := mulInt(xd, fx)
	a, ok2 := mulInt(x.num, fx)
	b, ok3 := mulInt(y.num, fy)
	s, ok4 := addInt(a, b)
	return Exact{num: s, den: den}, ok1 && ok2 && ok3 && ok4
}

func (x Exact) reduced() Exact {
	if x.num == 0 {
		return Exact{}
	}
	if x.num == math.MinInt64 {
		return x
	}
	g := gcd(int64(magnitude(x.num)), x.d())
	return Exact{num: x.num / g, den: x.d() / g}
}

// Ratio is x in lowest terms with den > 0; ok is false where they do not fit in 64 bits.
func (x Exact) Ratio() (num, den int64, ok bool) {
	if x.big != nil || x.num == math.MinInt64 {
		return 0, 0, false
	}
	r := x.reduced()
	return r.num, r.d(), true
}

// Sub is x − y.
func (x Exact) Sub(y Exact) Exact { return x.Add(y.Neg()) }

// Mul is x · y.
func (x Exact) Mul(y Exact) Exact {
	if x.big == nil && y.big == nil {
		if r, ok := mulSmall(x, y); ok {
			return r
		}
		a, b := Exact{num: x.num, den: y.d()}.reduced(), Exact{num: y.num, den: x.d()}.reduced()
		if r, ok := mulSmall(a, b); ok {
			return r
		}
	}
	r := x.Rat()
	return fromBig(r.Mul(r, y.Rat()))
}

func mulSmall(x, y Exact) (Exact, bool) {
	n, ok1 := mulInt(x.num, y.num)
	d, ok2 := mulInt(x.d(), y.d())
	return Exact{num: n, den: d}, ok1 && ok2
}

// Quo is x / y. y is not 0.
func (x Exact) Quo(y Exact) Exact {
	if y.Sign() == 0 {
		panic("quantity: division by zero")
	}
	if y.big == nil && y.num != math.MinInt64 {
		return x.Mul(Frac(y.d(), y.num))
	}
	r := x.Rat()
	return fromBig(r.Quo(r, y.Rat()))
}

// MulInt is x · n.
func (x Exact) MulInt(n int64) Exact { return x.Mul(Int(n)) }

// DivInt is x / n. n is not 0.
func (x Exact) DivInt(n int64) Exact { return x.Mul(Frac(1, n)) }

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

// Rounding is a way to the digits that are shown.
type Rounding uint8

// HalfEven goes to the nearest, a tie to the even digit; Down is towards minus infinity, Up towards plus infinity.
const (
	HalfEven Rounding = iota
	Down
	Up
)

// Round is x with the given number of fractional digits (at most MaxPlaces). ok is false where it does not fit.
func (x Exact) Round(places int, mode Rounding) (d Decimal, ok bool) {
	if x.big == nil {
		q, rest, over := scale(magnitude(x.num), uint64(pow10[places]), uint64(x.d()))
		if !over && q <= math.MaxInt64 {
			neg := x.num < 0
			if roundUp(q, cmpHalf(rest, uint64(x.d())), rest == 0, neg, mode) {
				q++
			}
			if q <= math.MaxInt64 {
				n := int64(q)
				if neg {
					n = -n
				}
				return Decimal{n, uint8(places)}, true
			}
			return Decimal{}, false
		}
	}
	return roundBig(x.Rat(), places, mode)
}

// scale is a·b/c and what is left over.
func scale(a, b, c uint64) (q, rest uint64, over bool) {
	hi, lo := bits.Mul64(a, b)
	if hi >= c {
		return 0, 0, true
	}
	q, rest = bits.Div64(hi, lo, c)
	return q, rest, false
}

func cmpHalf(rest, c uint64) int { return cmpUint(rest, c-rest) }

// roundUp says whether the magnitude q goes one up, given how the rest compares with a half.
func roundUp(q uint64, half int, none, neg bool, mode Rounding) bool {
	switch {
	case none:
		return false
	case mode == Down:
		return neg
	case mode == Up:
		return !neg
	}
	return half > 0 || (half == 0 && q%2 == 1)
}

func roundBig(r *big.Rat, places int, mode Rounding) (Decimal, bool) {
	n := new(big.Int).Mul(r.Num(), big.NewInt(pow10[places]))
	neg := n.Sign() < 0
	n.Abs(n)
	rest := new(big.Int)
	n.QuoRem(n, r.Denom(), rest)
	twice := new(big.Int).Lsh(rest, 1)
	if roundUp(uint64(n.Bit(0)), twice.Cmp(r.Denom()), rest.Sign() == 0, neg, mode) {
		n.Add(n, big.NewInt(1))
	}
	if neg {
		n.Neg(n)
	}
	if !n.IsInt64() {
		return Decimal{}, false
	}
	return Decimal{n.Int64(), uint8(places)}, true
}

// Print is x for an eye: half-even at places+extra digits, zeros at the end dropped down to places.
func (x Exact) Print(places, extra int) Decimal {
	for n := min(places+extra, MaxPlaces); n >= 0; n-- {
		if d, ok := x.Round(n, HalfEven); ok {
			return d.Trimmed(places)
		}
	}
	return Decimal{}
}

func addInt(a, b int64) (int64, bool) {
	s := a + b
	return s, (s > a) == (b > 0)
}

func mulInt(a, b int64) (int64, bool) {
	if a == 0 || b == 0 {
		return 0, true
	}
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	if hi != 0 || lo > math.MaxInt64 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(lo), true
	}
	return int64(lo), true
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
