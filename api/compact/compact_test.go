package compact_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"pgregory.net/rapid"

	"endfloat/api/compact"
)

// A text is quoted as json.Marshal quotes it.
func TestQuote(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~]*`)).Draw(t, "text")
		want, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		if got := string(compact.Quote([]byte("x"), s)); got != "x"+string(want) {
			t.Errorf("%s, want x%s", got, want)
		}
	})
}

// A letter that needs an escape is found wherever it stands, beside any other.
func TestQuoteAtEveryPlace(t *testing.T) {
	t.Parallel()
	for _, special := range []string{"\x00", "\x1f", `"`, `\`, "é", "\u2028", " ", "!", "#", "[", "]", "\x7f", "\xff"} {
		for at := range 25 {
			s := strings.Repeat(" ", at) + special + strings.Repeat("!", 24-at)
			want, err := json.Marshal(strings.ToValidUTF8(s, "\ufffd"))
			if err != nil {
				t.Fatal(err)
			}
			if got := string(compact.Quote(nil, s)); got != string(want) {
				t.Errorf("%q at %d: %s", special, at, got)
			}
		}
	}
}

// Bytes that are no UTF-8 come out as U+FFFD; an answer is JSON whatever stands in it.
func TestQuoteOfNoText(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"))
		var back string
		if err := json.Unmarshal(compact.Quote(nil, s), &back); err != nil {
			t.Errorf("%q: %v", s, err)
		}
	})
	for in, want := range map[string]string{"a\xffb": `"a` + "\ufffd" + `b"`, "\xc3": `"` + "\ufffd" + `"`, "\xff\"": `"` + "\ufffd" + `\""`} {
		if got := string(compact.Quote(nil, in)); got != want {
			t.Errorf("%q: %s, want %s", in, got, want)
		}
	}
}

func ExampleObject() {
	o := compact.Open([]byte("data: "))
	o.Text("unit", "mm")
	o.TextIf("note", "")
	o.Texts("cautions", nil)
	band := o.Nest("band")
	band.Put(append(band.At("upper"), "0.35"...))
	o.PutIf(&band)
	margin := o.Nest("margin")
	o.PutIf(&margin)
	fmt.Printf("%s\n", o.Close())
	// Output: data: {"unit":"mm","cautions":[],"band":{"upper":0.35}}
}
