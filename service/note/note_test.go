package note_test

import (
	"fmt"
	"testing"

	"endfloat/service/note"
	"endfloat/service/quantity"
)

func TestPercentIsCappedAsEstimatesAre(t *testing.T) {
	t.Parallel()
	for share, want := range map[float64]string{0.691: "69", 0.5: "50", 0.01: "1", 0.0099: "<1", 0: "<1", 0.99: "99", 0.9901: ">99", 1: ">99", 0.125: "13", 0.318: "32"} {
		if p := note.Percent("p", share); p.Value != want || p.Unit != "%" {
			t.Errorf("%v is %s, want %s", share, p.Value, want)
		}
	}
}

func TestAPartIsWholeWhenItIs(t *testing.T) {
	t.Parallel()
	for share, want := range map[float64]string{1: "100", 1.5: "100", 0.9999999: ">99", 0.5: "50", 0.001: "<1"} {
		if p := note.Part("p", share); p.Value != want || p.Unit != "%" {
			t.Errorf("%v is %s, want %s", share, p.Value, want)
		}
	}
}

func TestParamsKeepTheirDigits(t *testing.T) {
	t.Parallel()
	n := note.New("uneven_places", note.Qty("spread", quantity.MustParse("0.10"), quantity.Millimetre), note.Str("word", "dry"), note.Count("places", 4))
	if n.Get("spread") != "0.10" || n.Get("word") != "dry" || n.Get("places") != "4" || n.Get("nothing") != "" || n.Params[0].Unit != quantity.Millimetre {
		t.Errorf("%+v", n)
	}
}

func ExampleNew() {
	n := note.New("few_places", note.Count("places", 2), note.Count("minimum", 3))
	fmt.Println(n.Code, n.Get("places"), n.Get("minimum"))
	// Output: few_places 2 3
}
