package quantity_test

import (
	"encoding/json"
	"errors"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/quantity"
)

func dec(s string) quantity.Decimal { return quantity.MustParse(s) }

func TestParse(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"0": "0", "-0": "0", "0.10": "0.10", "-0.05": "-0.05", "1e2": "100", "1.5e1": "15", "1.5E-3": "0.0015", "15e+0": "15", "0e400": "0", "-0.0": "0.0",
		"999999999999999999": "999999999999999999", "0.000000000000000001": "0.000000000000000001", "1e17": "100000000000000000", "0.10e1": "1.0", "1.20e-1": "0.120",
	} {
		if d, err := quantity.Parse(text); err != nil || d.String() != want {
			t.Errorf("%q is %s %v, want %s", text, d, err, want)
		}
	}
	for text, want := range map[string]error{
		"": quantity.ErrSyntax, "-": quantity.ErrSyntax, "+1": quantity.ErrSyntax, "01": quantity.ErrSyntax, "-01": quantity.ErrSyntax, ".5": quantity.ErrSyntax, "1.": quantity.ErrSyntax,
		"1e": quantity.ErrSyntax, "1e+": quantity.ErrSyntax, "1.e1": quantity.ErrSyntax, "0x1": quantity.ErrSyntax, "1_0": quantity.ErrSyntax, "NaN": quantity.ErrSyntax, "Infinity": quantity.ErrSyntax,
		" 1": quantity.ErrSyntax, "1 ": quantity.ErrSyntax, "0,15": quantity.ErrSyntax, "1.2.3": quantity.ErrSyntax, "1e1.5": quantity.ErrSyntax, "٣": quantity.ErrSyntax, "1\x00": quantity.ErrSyntax,
		"1e400": quantity.ErrRange, "1e18": quantity.ErrRange, "1000000000000000000": quantity.ErrRange, "0.0000000000000000001": quantity.ErrRange, "1e-19": quantity.ErrRange,
		"1.0000000000000000000": quantity.ErrRange, "123456789012345678.9": quantity.ErrRange, "1e99999999999999999999": quantity.ErrRange,
	} {
		if d, err := quantity.Parse(text); !errors.Is(err, want) {
			t.Errorf("%q is %s %v, want %v", text, d, err, want)
		}
	}
}

func TestDecimalComma(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]bool{"0,15": true, " 0,15 ": true, "-1,5": true, "1,000": true, "1,000.5": false, "1,2,3": false, "0.15": false, ",5": false, "a,b": false, "": false} {
		if quantity.DecimalComma(text) != want {
			t.Errorf("%q: want %v", text, want)
		}
	}
}

func TestDecimalDigits(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, got, want string }{
		{"padded", dec("0.1").Padded(3).String(), "0.100"},
		{"padding takes nothing away", dec("0.1234").Padded(2).String(), "0.1234"},
		{"padding that does not fit", dec("999999999999999999").Padded(4).String(), "999999999999999999"},
		{"trimmed", dec("0.1000").Trimmed(2).String(), "0.10"},
		{"trimmed to nothing", dec("15.00").Trimmed(0).String(), "15"},
		{"only zeros are trimmed", dec("0.1050").Trimmed(0).String(), "0.105"},
		{"zero is trimmed", dec("0.000").Trimmed(1).String(), "0.0"},
		{"leading zeros after the point", quantity.NewDecimal(-5, 4).String(), "-0.0005"},
		{"negated", dec("0.50").Neg().String(), "-0.50"},
		{"places over the most", quantity.NewDecimal(1, quantity.MaxPlaces).String(), "0.000000000000000001"},
	} {
		if row.got != row.want {
			t.Errorf("%s: %s, want %s", row.name, row.got, row.want)
		}
	}
	if dec("0.10").Cmp(dec("0.1")) != 0 || dec("0.10") == dec("0.1") {
		t.Error("0.10 and 0.1 are the same number, written in two ways")
	}
	if dec("-0.10").Sign() != -1 || dec("0.00").Sign() != 0 || dec("2").Sign() != 1 || dec("0.25").Float64() != 0.25 || dec("0.25").Coef() != 25 {
		t.Error("signs, floats and coefficients")
	}
}

func drawDecimal(t *rapid.T, name string) quantity.Decimal {
	return quantity.NewDecimal(rapid.Int64Range(-999999999999999999, 999999999999999999).Draw(t, name), rapid.IntRange(0, quantity.MaxPlaces).Draw(t, name+" places"))
}

func TestDecimalProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawDecimal(t, "a"), drawDecimal(t, "b")
		again, err := quantity.Parse(a.String())
		if err != nil || again != a {
			t.Fatalf("%s reads as %s %v", a, again, err)
		}
		x, _ := new(big.Rat).SetString(a.String())
		y, _ := new(big.Rat).SetString(b.String())
		if a.Cmp(b) != x.Cmp(y) {
			t.Fatalf("%s against %s is %d", a, b, a.Cmp(b))
		}
		if a.Padded(12).Cmp(a) != 0 || a.Trimmed(0).Cmp(a) != 0 || a.Neg().Neg() != a {
			t.Fatal("padding, trimming and negating twice change nothing")
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"0", "-0.10", "1e400", "1e-400", "0,15", "00", "1.", "9223372036854775807", "-9223372036854775808", "1E5", "0e9999999999"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d, err := quantity.Parse(s)
		valid := json.Valid([]byte(s)) && len(s) > 0 && strings.TrimSpace(s) == s && (s[0] == '-' || s[0] >= '0' && s[0] <= '9')
		if err != nil {
			if errors.Is(err, quantity.ErrSyntax) && valid {
				t.Errorf("%q is a JSON number", s)
			}
			return
		}
		want, ok := new(big.Rat).SetString(s)
		if !valid || ok && d.Exact().Rat().Cmp(want) != 0 || !ok && d.Sign() != 0 { // big.Rat has no 0e9999999999
			t.Errorf("%q reads as %s", s, d)
		}
	})
}
