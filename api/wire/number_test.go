package wire_test

import (
	"testing"

	"github.com/go-json-experiment/json"

	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/quantity"
	"pgregory.net/rapid"
)

func TestNumberSortsShapeFromValue(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, body, code string
		places           int
		want             string
	}{
		{"plain", `0.10`, "", 9, "0.10"},
		{"exponent resolved", `15e-2`, "", 9, "0.15"},
		{"zero is a value", `0`, "", 9, "0"},
		{"decimal comma", `"0,15"`, "decimal_comma", 9, ""},
		{"quoted", `"0.15"`, "number_as_text", 9, ""},
		{"word", `"loose"`, "not_a_number", 9, ""},
		{"huge exponent", `1e400`, "number_out_of_range", 9, ""},
		{"nine places", `0.123456789`, "", 9, "0.123456789"},
		{"ten places", `0.1234567891`, "too_many_decimals", 9, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var n wire.Number
			if err := json.Unmarshal([]byte(row.body), &n); err != nil {
				t.Fatal(err)
			}
			var bad fault.List
			d, ok := n.Decimal(wire.At("").Key("value"), row.places, &bad)
			first, _ := bad.First()
			if first.Code != row.code || ok != (row.code == "") {
				t.Fatalf("code %q ok %v, want %q", first.Code, ok, row.code)
			}
			if ok && d.String() != row.want {
				t.Errorf("got %s, want %s", d, row.want)
			}
			if !ok && (first.At.Pointer != "/value" || first.Fix.Code == "") {
				t.Errorf("place %+v fix %q", first.At, first.Fix)
			}
		})
	}
	for _, body := range []string{`true`, `{}`, `[]`, `null`} {
		var n wire.Number
		if err := json.Unmarshal([]byte(body), &n); err == nil {
			t.Errorf("%s was taken for a number", body)
		}
	}
}

func TestDecimalKeepsZeros(t *testing.T) {
	t.Parallel()
	type answer struct {
		A wire.Decimal `json:"a,omitzero"`
		B wire.Decimal `json:"b,omitzero"`
	}
	got, err := json.Marshal(answer{A: wire.Dec(quantity.MustParse("0.10"))})
	if err != nil || string(got) != `{"a":0.10}` {
		t.Errorf("got %s %v", got, err)
	}
}

func TestEstimatesAreRoundedExactly(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.Float64Range(-1e6, 1e6).Draw(t, "f")
		places := rapid.IntRange(0, 9).Draw(t, "places")
		if got, want := wire.Estimate(f, places).Quantity(), quantity.FromFloat(f).Print(0, places); got != want {
			t.Fatalf("%v at %d: %v, exactly %v", f, places, got, want)
		}
	})
	for f, want := range map[float64]string{0.125: "0.12", 0.375: "0.38", -0.125: "-0.12", 0: "0", -0.001: "0", 1e17: "100000000000000000"} {
		if got := wire.Estimate(f, 2).Quantity().String(); got != want {
			t.Errorf("%v is %s, want %s", f, got, want)
		}
	}
}
