package shimming

import (
	"testing"

	"endfloat/api/rim"
	"endfloat/service/fault"
	"endfloat/service/quantity"
)

// A tolerance is an object of two ends; a bare number stands for ±.
func TestTolerance(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, in, lower, upper, code string }{
		{"two ends", `{"lower":-0.02,"upper":0.01}`, "-0.02", "0.01", ""},
		{"a missing end is 0", `{"lower":-0.02}`, "-0.02", "0", ""},
		{"plus or minus", `0.02`, "-0.02", "0.02", ""},
		{"none is narrower than exact", `0`, "0", "0", ""},
		{"negative plus or minus", `-0.02`, "", "", "negative"},
		{"the wrong way round", `{"lower":0.02,"upper":0.01}`, "", "", "lower_over_upper"},
		{"decimal comma", `"0,02"`, "", "", "decimal_comma"},
	}
	for _, row := range rows {
		var body struct {
			Tolerance ToleranceRequest `json:"tolerance"`
		}
		if err := rim.Decode([]byte(`{"tolerance":`+row.in+`}`), &body); err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		var bad fault.List
		got, has := body.Tolerance.read(quantity.Millimetre, "/t", &bad)
		if v, found := bad.First(); found || row.code != "" {
			if v.Code != row.code {
				t.Errorf("%s: %v", row.name, v)
			}
			continue
		}
		if !has || got.Lower.Cmp(quantity.MustParse(row.lower)) != 0 || got.Upper.Cmp(quantity.MustParse(row.upper)) != 0 {
			t.Errorf("%s: %v to %v", row.name, got.Lower, got.Upper)
		}
	}
}

func TestSerialOfAnEngineNumber(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]uint64{"": 0, "PLC": 0, "PLC 7001": 7001, "PLCX007": 7, "12": 12, "A99999999999999999999999": 0} {
		if got := digits(in); got != want {
			t.Errorf("%q is %d", in, got)
		}
	}
}
