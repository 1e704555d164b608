package quantity

import (
	"math"
	"math/bits"
)

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
