package judging_test

import (
	"reflect"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"endfloat/api/apitest"
	"endfloat/api/judging"
	"endfloat/api/scan"
	"endfloat/api/wire"
)

// What is read is what json.Unmarshal reads.
func TestReadJSON(t *testing.T) {
	t.Parallel()
	for name, same := range map[string]func(*testing.T){
		"evaluation": apitest.SameRead[judging.EvaluationRequest],
		"check":      apitest.SameRead[judging.CheckRequest],
		"size":       apitest.SameRead[judging.SizeRequest],
		"reading":    apitest.SameRead[wire.ReadingRequest],
		"instrument": apitest.SameRead[wire.InstrumentRequest],
		"mark":       apitest.SameRead[wire.MarkRequest],
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			same(t)
		})
	}
}

// Nothing is read that json.Unmarshal refuses, and nothing otherwise than it does.
func FuzzReadJSON(f *testing.F) {
	for _, body := range []string{
		`{"checks":[{"id":"1","spec":"a/b/c","unit":"mm","readings":[{"value":0.15},{"value":-1.5e-3}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}]}`,
		` { "checks" : [ { "id" : "\u00e4\n\ud83d\ude00" , "readings" : [ { "blades" : [ { "size" : 0.1 , "feel" : "drag" } ] , "stage" : 3 } ] } ] , "trace" : true } ` + "\n",
		`{"checks":[{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.03,"upper":0.05}},"sizes":[{"part":"bore","sign":1,"readings":[{"repeats":[1,2,3]}]}]}]}`,
		`{"checks":[],"marks":[{"component":"head","mark":"K2"}]}`, `{"checks":[{"readings":[{"value":"0,15"}]}]}`, `{"checks":[{"id":"1","id":"2"}]}`,
		`{"checks":[{"readings":[{"stage":-0}]}]}`, `{"checks":[{"readings":[{"value":01}]}]}`, `{"checks":[{"Unit":"mm"}]}`, `{"checks":[],}`, `{"checks":[]} x`,
		`{"checks":[{"caller_spec":{"kind":"dimension","kind":"torque"}}]}`, "{\"checks\":[{\"id\":\"\xff\"}]}", `{"checks":[{"id":"\ud800"}]}`, `[`, ``,
	} {
		f.Add(body)
	}
	f.Fuzz(func(t *testing.T, body string) {
		var got, want judging.EvaluationRequest
		if strings.Contains(body, "null") || !scan.Read(body, &got) {
			return
		}
		if err := json.Unmarshal([]byte(body), &want, json.RejectUnknownMembers(true)); err != nil {
			t.Fatalf("%q was read, and json.Unmarshal says %v", body, err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("%q (-json.Unmarshal +ReadJSON)\n%+v\n%+v", body, want, got)
		}
	})
}
