package quantity

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// MaxPlaces is the largest number of fractional digits a Decimal can hold.
const MaxPlaces = 18

// Errors of Parse. They say what is wrong with the text, never what it should mean.
var (
	ErrSyntax = errors.New("not a decimal number")
	ErrRange  = errors.New("number out of range")
)

// Decimal is an exact decimal number as it was written: 0.10 keeps its zero. The zero value is 0.
// Two decimals that differ only in trailing zeros are different values of the type and Cmp equal.
type Decimal struct {
	coef   int64
	places uint8
}

// NewDecimal returns coef · 10^-places. places is at most MaxPlaces.
func NewDecimal(coef int64, places int) Decimal {
	if places < 0 || places > MaxPlaces {
		panic("quantity: places out of range")
	}
	return Decimal{coef, uint8(places)}
}

// Parse reads a number of the JSON grammar (RFC 8259): no plus sign, no leading zeros, a point and not a comma.
// An exponent is resolved exactly; 1e400 and more than 18 significant digits are ErrRange.
func Parse(s string) (Decimal, error) {
	i, neg := 0, false
	if i < len(s) && s[i] == '-' {
		neg, i = true, 1
	}
	start := i
	var coef uint64
	digits := 0
	add := func(c byte) bool {
		if coef != 0 || c != '0' {
			digits++
		}
		if digits > 18 {
			return false
		}
		coef = coef*10 + uint64(c-'0')
		return true
	}
	ok := true
	for i < len(s) && isDigit(s[i]) {
		ok = add(s[i]) && ok
		i++
	}
	if i == start || (s[start] == '0' && i-start > 1) {
		return Decimal{}, ErrSyntax
	}
	places := 0
	if i < len(s) && s[i] == '.' {
		i++
		from := i
		for i < len(s) && isDigit(s[i]) {
			ok = add(s[i]) && ok
			i++
		}
		places = i - from
		if places == 0 {
			return Decimal{}, ErrSyntax
		}
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		exp, n, err := exponent(s[i+1:])
		if err != nil {
			return Decimal{}, err
		}
		i += 1 + n
		places -= exp
	}
	if i != len(s) {
		return Decimal{}, ErrSyntax
	}
	if coef == 0 && ok && places < 0 {
		places = 0
	}
	for ; places < 0 && ok; places++ {
		ok = add('0')
	}
	if !ok || places > MaxPlaces {
		return Decimal{}, ErrRange
	}
	v := int64(coef)
	if neg {
		v = -v
	}
	return Decimal{v, uint8(places)}, nil
}

// exponent reads [+-]digits at the start of s, clamped to ±9999, and how many bytes it took.
func exponent(s string) (exp, n int, err error) {
	i, neg := 0, false
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		neg = s[i] == '-'
		i++
	}
	from := i
	for i < len(s) && isDigit(s[i]) {
		exp = min(exp*10+int(s[i]-'0'), 9999)
		i++
	}
	if i == from {
		return 0, 0, ErrSyntax
	}
	if neg {
		exp = -exp
	}
	return exp, i, nil
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// MustParse is Parse for literals in code and tests; it panics on a bad one.
func MustParse(s string) Decimal {
	d, err := Parse(s)
	if err != nil {
		panic("quantity: " + strconv.Quote(s) + ": " + err.Error())
	}
	return d
}

// Places is the number of fractional digits as written.
func (d Decimal) Places() int { return int(d.places) }

// Coef is the number without its point: 0.10 has 10.
func (d Decimal) Coef() int64 { return d.coef }

// Sign is -1, 0 or +1.
func (d Decimal) Sign() int {
	switch {
	case d.coef < 0:
		return -1
	case d.coef > 0:
		return 1
	}
	return 0
}

// Neg is -d.
func (d Decimal) Neg() Decimal { return Decimal{-d.coef, d.places} }

// Cmp compares the numbers, not the way they are written: 0.10 and 0.1 are equal.
func (d Decimal) Cmp(o Decimal) int { return d.Exact().Cmp(o.Exact()) }

// Exact is the same number as a rational.
func (d Decimal) Exact() Exact { return Exact{num: d.coef, den: pow10[d.places]} }

// Float64 is the nearest float: for estimates only.
func (d Decimal) Float64() float64 { return float64(d.coef) / float64(pow10[d.places]) }

// Padded has at least places fractional digits: zeros are added, none is taken away.
// It returns d unchanged where the longer form does not fit.
func (d Decimal) Padded(places int) Decimal {
	for int(d.places) < min(places, MaxPlaces) {
		if d.coef > math.MaxInt64/10 || d.coef < math.MinInt64/10 {
			return d
		}
		d.coef *= 10
		d.places++
	}
	return d
}

// Trimmed drops zeros at the end, down to the given number of fractional digits.
func (d Decimal) Trimmed(places int) Decimal {
	for int(d.places) > places && d.coef%10 == 0 {
		d.coef /= 10
		d.places--
	}
	return d
}

// String writes the number with the digits it has, without an exponent.
func (d Decimal) String() string {
	var room [24]byte
	return string(d.Append(room[:0]))
}

// Append adds String to b.
func (d Decimal) Append(b []byte) []byte {
	u := uint64(d.coef)
	if d.coef < 0 {
		b = append(b, '-')
		u = -u
	}
	if d.places == 0 {
		return strconv.AppendUint(b, u, 10)
	}
	p := uint64(pow10[d.places])
	b = strconv.AppendUint(b, u/p, 10)
	b = append(b, '.')
	frac := u % p
	for w := p / 10; w > frac && w > 1; w /= 10 {
		b = append(b, '0')
	}
	return strconv.AppendUint(b, frac, 10)
}

// DecimalComma reports whether s would be a number if its one comma were a point.
func DecimalComma(s string) bool {
	if strings.Count(s, ",") != 1 {
		return false
	}
	_, err := Parse(strings.Replace(strings.TrimSpace(s), ",", ".", 1))
	return err == nil
}

var pow10 = func() (p [MaxPlaces + 1]int64) {
	p[0] = 1
	for i := 1; i < len(p); i++ {
		p[i] = p[i-1] * 10
	}
	return
}()
