package tracing_test

import (
	"fmt"
	"net/http"
	"testing"

	"endfloat/api/tracing"
)

// Examples and rules of W3C Trace Context, Recommendation of 23 November 2021, section 3.2.
func TestParent(t *testing.T) {
	t.Parallel()
	const trace, span = "0af7651916cd43dd8448eb211c80319c", "b7ad6b7169203331"
	for _, row := range []struct {
		name    string
		values  []string
		ok      bool
		sampled bool
	}{
		{"example of section 3.2.3, sampled", []string{"00-" + trace + "-" + span + "-01"}, true, true},
		{"example of section 3.2.3, not sampled", []string{"00-" + trace + "-" + span + "-00"}, true, false},
		{"another flag beside it", []string{"00-" + trace + "-" + span + "-03"}, true, true},
		{"another flag alone", []string{"00-" + trace + "-" + span + "-02"}, true, false},
		{"none", nil, false, false},
		{"two", []string{"00-" + trace + "-" + span + "-01", "00-" + trace + "-" + span + "-01"}, false, false},
		{"nothing in it", []string{""}, false, false},
		{"version that is forbidden", []string{"ff-" + trace + "-" + span + "-01"}, false, false},
		{"version that is none", []string{"0x-" + trace + "-" + span + "-01"}, false, false},
		{"a later version", []string{"cc-" + trace + "-" + span + "-01"}, true, true},
		{"a later version that says more", []string{"cc-" + trace + "-" + span + "-01-what-the-future-will-be-like"}, true, true},
		{"a later version, run together", []string{"cc-" + trace + "-" + span + "-01.what"}, false, false},
		{"version 00 that says more", []string{"00-" + trace + "-" + span + "-01-more"}, false, false},
		{"capitals", []string{"00-0AF7651916CD43DD8448EB211C80319C-" + span + "-01"}, false, false},
		{"trace of zeros", []string{"00-00000000000000000000000000000000-" + span + "-01"}, false, false},
		{"span of zeros", []string{"00-" + trace + "-0000000000000000-01"}, false, false},
		{"flags that are none", []string{"00-" + trace + "-" + span + "-0g"}, false, false},
		{"one digit short", []string{"00-" + trace + "-" + span + "-0"}, false, false},
		{"dash in the wrong place", []string{"00" + trace + "--" + span + "-01"}, false, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got, ok := tracing.Parent(http.Header{"Traceparent": row.values})
			if ok != row.ok || got.Sampled != row.sampled || ok && (got.Trace != trace || got.Span != span) {
				t.Errorf("%+v %v", got, ok)
			}
		})
	}
}

func FuzzParent(f *testing.F) {
	f.Add("00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")
	f.Add("")
	f.Add("cc-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01-x")
	f.Fuzz(func(t *testing.T, text string) {
		got, ok := tracing.Parent(http.Header{"Traceparent": {text}})
		if ok && (text[3:35] != got.Trace || text[36:52] != got.Span) || !ok && got != (tracing.Context{}) {
			t.Errorf("%q became %+v %v", text, got, ok)
		}
	})
}

func ExampleParent() {
	h := http.Header{"Traceparent": {"00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"}}
	parent, ok := tracing.Parent(h)
	fmt.Println(parent.Trace, parent.Sampled, ok)
	// Output: 0af7651916cd43dd8448eb211c80319c true true
}
