package scan_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"endfloat/api/scan"
)

// pin is a value of every kind that is read.
type pin struct {
	Name   string   `json:"name"`
	Count  int      `json:"count"`
	Locked bool     `json:"locked"`
	Sizes  []figure `json:"sizes"`
}

type figure struct {
	At float64 `json:"at"`
}

func (p *pin) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		switch o.Key {
		case "name":
			p.Name = r.Text()
		case "count":
			p.Count = r.Int()
		case "locked":
			p.Locked = r.Bool()
		case "sizes":
			p.Sizes = scan.List(r, 1, (*figure).ReadJSON)
		default:
			r.Fail()
		}
	}
}

func (f *figure) ReadJSON(r *scan.Reader) {
	if json.Unmarshal([]byte(r.Raw()), f) != nil {
		r.Fail()
	}
}

func ExampleRead() {
	var p pin
	ok := scan.Read(`{"name":"dowel","count":2,"sizes":[{"at":0.5}]}`, &p)
	fmt.Println(ok, p.Name, p.Count, p.Sizes)
	// Output: true dowel 2 [{0.5}]
}

// What RFC 8259 allows and forbids.
func TestRead(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, text string
		ok         bool
	}{
		{"nothing in it", `{}`, true},
		{"white space of all four kinds", " {\t\"name\" :\r\n\"x\" , \"count\" : 1 } \n", true},
		{"other white space", "{\"name\":\u00a0\"x\"}", false},
		{"escapes", `{"name":"\"\\\/\b\f\n\r\t\u00e4\ud83d\ude00"}`, true},
		{"an escape that is none", `{"name":"\x41"}`, false},
		{"half a surrogate", `{"name":"\ud83d"}`, false},
		{"an escape at the end", `{"name":"\`, false},
		{"a control character", "{\"name\":\"a\tb\"}", false},
		{"letters of several bytes", `{"name":"N·m"}`, true},
		{"bytes that are no UTF-8", "{\"name\":\"\xff\"}", false},
		{"a key with an escape", `{"n\u0061me":"x"}`, false},
		{"a key that is not known", `{"Name":"x"}`, false},
		{"a key twice", `{"name":"x","name":"y"}`, false},
		{"a comma at the end", `{"name":"x",}`, false},
		{"no comma", `{"name":"x" "count":1}`, false},
		{"no colon", `{"name" "x"}`, false},
		{"no value", `{"name":}`, false},
		{"another type", `{"name":1}`, false},
		{"a number in quotes", `{"count":"1"}`, false},
		{"a plus sign", `{"count":+1}`, false},
		{"a zero in front", `{"count":01}`, false},
		{"a fraction for a whole number", `{"count":1.0}`, false},
		{"a whole number that is too large", `{"count":9223372036854775808}`, false},
		{"the largest", `{"count":9223372036854775807}`, true},
		{"a word that is none", `{"locked":truth}`, false},
		{"true in capitals", `{"locked":TRUE}`, false},
		{"false", `{"locked":false}`, true},
		{"an empty list", `{"sizes":[ ]}`, true},
		{"a comma in front", `{"sizes":[,{}]}`, false},
		{"a list that does not end", `{"sizes":[{}`, false},
		{"brackets in a text", `{"sizes":[{"at":1,"}":"{"}]}`, true},
		{"an object that does not end", `{"sizes":[{"at":1`, false},
		{"text after the value", `{} {}`, false},
		{"a list in place of the object", `[]`, false},
		{"nothing", ``, false},
	} {
		var got, want pin
		if ok := scan.Read(row.text, &got); ok != row.ok {
			t.Errorf("%s: read %v", row.name, ok)
		} else if !ok {
			continue
		}
		if err := json.Unmarshal([]byte(row.text), &want); err != nil || fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s: %v, and json.Unmarshal reads %v %v", row.name, got, want, err)
		}
	}
}

// Numbers of RFC 8259, section 6.
func TestNumber(t *testing.T) {
	t.Parallel()
	for text, ok := range map[string]bool{"0": true, "-0": true, "10": true, "0.10": true, "-1.5": true, "1e5": true, "1E+05": true, "1.5e-3": true,
		"": false, "-": false, ".5": false, "1.": false, "00": false, "-01": false, "1e": false, "1e+": false, "0x1": false, "NaN": false, "1 2": false} {
		if got := scan.Read(text, number{t, text}); got != ok {
			t.Errorf("%q: %v", text, got)
		}
	}
}

type number struct {
	t    *testing.T
	want string
}

func (n number) ReadJSON(r *scan.Reader) {
	if got := r.Number(); got != n.want {
		r.Fail()
	}
}

// As many members as an object may have, and one more.
func TestManyMembers(t *testing.T) {
	t.Parallel()
	for n, ok := range map[int]bool{24: true, 25: false} {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, `,"%d":1`, i)
		}
		if got := scan.Read("{"+b.String()[1:]+"}", anything{}); got != ok {
			t.Errorf("%d members: %v", n, got)
		}
	}
}

type anything struct{}

func (anything) ReadJSON(r *scan.Reader) {
	for o := r.Object(); o.Next(); {
		r.Number()
	}
}
