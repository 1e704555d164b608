package apitest

import (
	"reflect"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/api/compact"
	"endfloat/api/signature"
	"endfloat/api/wire"
	"endfloat/service/quantity"
)

// SameBytes draws values of a type and holds what their AppendJSON writes against what json.Marshal writes: one with
// every field filled, one with none, and many between. A field that AppendJSON does not know is found at once.
func SameBytes[T any, P interface {
	*T
	compact.Appender
}](t *testing.T) {
	t.Helper()
	rapid.Check(t, func(t *rapid.T) {
		var v T
		fill(t, reflect.ValueOf(&v).Elem(), rapid.SampledFrom([]share{always, never, often, seldom}).Draw(t, "share"), 0)
		want, err := json.Marshal(&v)
		if err != nil {
			t.Fatal(err)
		}
		if got := P(&v).AppendJSON([]byte("before")); string(got) != "before"+string(want) {
			t.Fatalf("%T: (-json.Marshal +AppendJSON)\n%s", v, cmp.Diff("before"+string(want), string(got)))
		}
	})
}

// share is how many of the fields of a value are filled, in hundredths.
type share int

const (
	never  share = 0
	seldom share = 20
	often  share = 80
	always share = 100
)

// texts are what a text of an answer may hold: nothing that is special in JSON, all that is, and more than one byte a
// letter.
var texts = rapid.OneOf(rapid.SampledFrom([]string{"mm", "N·m", "0.08–0.35 mm", `a "quote" \ and </script>`, "\x00\t\r\n\x7f", "\u2028\u2029\ufeff\U0001f527", "ISO 286-1"}),
	rapid.String())

// fill sets a value and everything in it.
func fill(t *rapid.T, v reflect.Value, s share, depth int) {
	if s == never || s != always && rapid.IntRange(0, 99).Draw(t, "filled") >= int(s) {
		return
	}
	switch v.Interface().(type) {
	case wire.Decimal:
		v.Set(reflect.ValueOf(wire.Dec(decimal(t))))
		return
	case signature.Token:
		v.Set(reflect.ValueOf(signature.Token(rapid.StringMatching(`[A-Za-z0-9_-]+\.[A-Za-z0-9_-]*\.[A-Za-z0-9_-]+`).Draw(t, "token"))))
		return
	case wire.Number:
		n := wire.Num(decimal(t))
		if rapid.IntRange(0, 9).Draw(t, "as text") == 0 {
			n = wire.NumberFromText(rapid.SampledFrom([]string{"0,15", "1e400", `"`, "9999999999999999999", "x"}).Draw(t, "no number"))
		}
		v.Set(reflect.ValueOf(n))
		return
	}
	switch v.Kind() {
	case reflect.String:
		text := texts.Draw(t, "text")
		if s == always && text == "" {
			text = "x"
		}
		v.SetString(text)
	case reflect.Int:
		n := rapid.Int64().Draw(t, "number")
		if s == always && n == 0 {
			n = 1
		}
		v.SetInt(n)
	case reflect.Bool:
		v.SetBool(s == always || rapid.Bool().Draw(t, "flag"))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, v.Elem(), s, depth+1)
	case reflect.Slice:
		n := 1
		if s != always {
			n = rapid.IntRange(0, max(0, 3-depth)).Draw(t, "entries")
		}
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(t, v.Index(i), s, depth+1)
		}
	case reflect.Struct:
		for _, field := range v.Fields() {
			fill(t, field, s, depth)
		}
	default:
		t.Fatalf("no value is made for %s", v.Type())
	}
}

func decimal(t *rapid.T) quantity.Decimal {
	return quantity.NewDecimal(rapid.OneOf(rapid.Int64Range(-1000, 1000), rapid.Int64()).Draw(t, "digits"), rapid.IntRange(0, quantity.MaxPlaces).Draw(t, "places"))
}
