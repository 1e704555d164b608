package quantity

import (
	"math"
	"math/big"
	"math/bits"
)

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
