package rim_test

import (
	"strings"
	"testing"

	"endfloat/api/rim"
	"endfloat/service/fault"
)

func TestListsThatAreFarTooLongAreNotRead(t *testing.T) {
	t.Parallel()
	type reading struct {
		Value   float64   `json:"value"`
		Repeats []float64 `json:"repeats"`
		Text    string    `json:"text"`
	}
	type check struct {
		Readings []reading `json:"readings"`
	}
	type request struct {
		Checks []check `json:"checks"`
		Text   string  `json:"text"`
	}
	list := func(n int, one string) string { return strings.TrimSuffix(strings.Repeat(one+",", n), ",") }
	long := strings.Repeat(" ", 32<<10)
	for _, row := range []struct{ name, body, code, at string }{
		{"10,000 at the top", `{"checks":[` + list(10_000, "{}") + `]}` + long, "", ""},
		{"one more", `{"checks":[` + list(10_001, "{}") + `]}` + long, "invalid_values", "/checks"},
		{"2,000 within", `{"checks":[{},{"readings":[` + list(2_000, "{}") + `]}]}` + long, "", ""},
		{"one more within", `{"checks":[{},{"readings":[` + list(2_001, "{}") + `]}]}` + long, "invalid_values", "/checks/1/readings"},
		{"numbers within what is within", `{"checks":[{"readings":[{"repeats":[` + list(2_001, "1") + `]}]}]}` + long, "invalid_values", "/checks/0/readings/0/repeats"},
		{"commas in a text", `{"text":"` + strings.Repeat(`[,\",`, 20_000) + `"}`, "", ""},
		{"many members are no list", `{` + list(20_000, `"a":1`) + `}`, "unknown_key", "/a"},
		{"objects without end, each list short", `{"checks":[` + list(600, `{"readings":[`+list(1_500, "{}")+`]}`) + `]}`, "invalid_values", "/checks/399/readings"},
		{"something else is wrong before it", `{"checks":[{"readings":[{"value":01}]}],"checks":[` + list(10_001, "{}") + `]}` + long, "bad_json", ""},
		{"brackets that close too often", `]]` + list(10_001, "{}") + long, "bad_json", ""},
		{"brackets without end", strings.Repeat("[", 40<<10), "wrong_type", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var v request
			err := rim.Decode([]byte(row.body), &v)
			if row.code == "" {
				if err != nil {
					t.Error(err)
				}
				return
			}
			f := faultOf(t, err)
			if f.Code != row.code || row.at != "" && f.Violations[0].At.Pointer != row.at || row.code == "invalid_values" && f.Kind != fault.Invalid {
				t.Errorf("%+v", f)
			}
		})
	}
}

func BenchmarkDecodeLooksAhead(b *testing.B) {
	body := []byte(`{"checks":[` + strings.TrimSuffix(strings.Repeat(`{"readings":[{"value":0.15},{"value":0.20}]},`, 5000), ",") + `]}`)
	var v struct {
		Checks []struct {
			Readings []struct {
				Value float64 `json:"value"`
			} `json:"readings"`
		} `json:"checks"`
	}
	b.SetBytes(int64(len(body)))
	for b.Loop() {
		if err := rim.Decode(body, &v); err != nil {
			b.Fatal(err)
		}
	}
}
