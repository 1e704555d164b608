package api_test

import (
	"encoding/json"
	"strings"
	"testing"
)

// Every value that cannot be accepted is named with its place.
func TestShimPlanFaults(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const head = `{"unit":"mm","caller_shims":[{"id":"s","specs":[{"id":"play","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40}}}],"places":[{"id":"p","per_mm":[{"spec":"play","change":-1}]}],"ladder":[{"thickness":1.00}]}],"measured":[{"spec":"play","unit":"mm","readings":[{"value":0.5}]}]`
	const catalogue = `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.5}]}]`
	long := func(n int, one string) string { return strings.TrimSuffix(strings.Repeat(one+",", n), ",") }
	rows := []struct {
		name, body string
		status     int
		code, at   string
	}{
		{"no unit", strings.Replace(head, `"unit":"mm",`, "", 1) + "}", 422, "missing_unit", "/unit"},
		{"unit of another kind", strings.Replace(head, `"unit":"mm"`, `"unit":"N·m"`, 1) + "}", 422, "unit_of_wrong_kind", "/unit"},
		{"no shims at all", `{"unit":"mm","measured":[]}`, 422, "missing_shims", "/shims"},
		{"both kinds of shims", head + `,"shims":["pl-85/counter-shaft/stack-shims"]}`, 422, "two_shims", "/caller_shims"},
		{"unknown shims", `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shim"],"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[]}]}`, 422, "unknown_shims", "/shims/0"},
		{"shims twice", strings.Replace(catalogue, `stack-shims"]`, `stack-shims","pl-85/counter-shaft/stack-shims"]`, 1) + "}", 422, "shims_twice", "/shims/1"},
		{"unknown spec", strings.Replace(catalogue, "axial-play", "axial-plan", 1) + "}", 422, "unknown_spec", "/measured/0/spec"},
		{"unknown id of a spec", strings.Replace(head, `"measured":[{"spec":"play"`, `"measured":[{"spec":"pla"`, 1) + "}", 422, "unknown_spec", "/measured/0/spec"},
		{"unknown spec of a place", strings.Replace(head, `"per_mm":[{"spec":"play"`, `"per_mm":[{"spec":"x"`, 1) + "}", 422, "unknown_spec", "/caller_shims/0/places/0/per_mm/0/spec"},
		{"unknown place", head + `,"fitted":[{"place":"q","pieces":[]}]}`, 422, "unknown_place", "/fitted/0/place"},
		{"place twice", head + `,"fitted":[{"place":"p","pieces":[]},{"place":"p","pieces":[]}]}`, 422, "place_twice", "/fitted/1/place"},
		{"thickness 0", head + `,"fitted":[{"place":"p","pieces":[{"thickness":0}]}]}`, 422, "not_positive", "/fitted/0/pieces/0/thickness"},
		{"thickness missing", head + `,"on_hand":[{"count":2}]}`, 422, "missing_value", "/on_hand/0/thickness"},
		{"negative thickness on hand", head + `,"on_hand":[{"thickness":-1.0}]}`, 422, "not_positive", "/on_hand/0/thickness"},
		{"decimal comma", head + `,"on_hand":[{"thickness":"1,20"}]}`, 422, "decimal_comma", "/on_hand/0/thickness"},
		{"count past the limit", head + `,"on_hand":[{"thickness":1.0,"count":1001}]}`, 422, "not_a_whole_number", "/on_hand/0/count"},
		{"tolerance wider than the piece", head + `,"on_hand":[{"thickness":1.0,"tolerance":{"lower":-1.0,"upper":0}}]}`, 422, "out_of_range", "/on_hand/0/tolerance"},
		{"tolerance the wrong way round", head + `,"on_hand":[{"thickness":1.0,"tolerance":{"lower":0.1,"upper":0}}]}`, 422, "lower_over_upper", "/on_hand/0/tolerance"},
		{"shims of nobody", head + `,"on_hand":[{"thickness":1.0,"shims":"x"}]}`, 422, "unknown_shims", "/on_hand/0/shims"},
		{"501 lines", head + `,"on_hand":[` + long(501, `{"thickness":1}`) + `]}`, 422, "too_many", "/on_hand"},
		{"33 places", head + `,"fitted":[` + long(33, `{"place":"p"}`) + `]}`, 422, "too_many", "/fitted"},
		{"probability over 1", head + `,"min_probability":1.5}`, 422, "out_of_range", "/min_probability"},
		{"51 options", head + `,"max_options":51}`, 422, "not_a_whole_number", "/max_options"},
		{"unknown objective", head + `,"objective":"best"}`, 422, "unknown_word", "/objective"},
		{"no offset to stand at", head + `,"offset_now":0.1}`, 422, "no_offset", "/offset_now"},
		{"no offset to stand at, in its set", head + `,"sets":[{"shims":"s","offset_now":0.1}]}`, 422, "no_offset", "/sets/0/offset_now"},
		{"two offsets", catalogue + `,"offset_now":0,"sets":[{"shims":"pl-85/counter-shaft/stack-shims","offset_now":0.05}]}`, 422, "offset_twice", "/sets/0/offset_now"},
		{"one offset, said twice", catalogue + `,"offset_now":0.05,"sets":[{"shims":"pl-85/counter-shaft/stack-shims","offset_now":0.050}]}`, 200, "", ""},
		{"nothing measured", `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],"measured":[]}`, 422, "missing_measured", "/measured"},
		{"spec twice", strings.Replace(head, `"measured":[`, `"measured":[{"spec":"play","unit":"mm","readings":[]},`, 1) + "}", 422, "spec_twice", "/measured/1/spec"},
		{"too many digits together", strings.Replace(strings.Replace(head, `"change":-1`, `"change":-0.123456789`, 1), `"value":0.5`, `"value":0.123456789`, 1) +
			`,"fitted":[{"place":"p","pieces":[{"thickness":9876.123456789}]}]}`, 422, "numbers_too_fine", ""},
		{"unknown variant", strings.Replace(catalogue, `"unit":"mm",`, `"unit":"mm","variant":"z",`, 1) + "}", 422, "unknown_variant", "/variant"},
		{"33 places of a set", strings.Replace(head, `"places":[{"id":"p","per_mm":[{"spec":"play","change":-1}]}]`, `"places":[`+long(33, `{"id":"p","per_mm":[{"spec":"play","change":-1}]}`)+`]`, 1) + "}", 422, "too_many", "/caller_shims/0/places"},
		{"501 sizes of a ladder", strings.Replace(head, `"ladder":[{"thickness":1.00}]`, `"ladder":[`+long(501, `{"thickness":1}`)+`]`, 1) + "}", 422, "too_many", "/caller_shims/0/ladder"},
		{"a rung of no thickness", strings.Replace(head, `"ladder":[{"thickness":1.00}]`, `"ladder":[{"thickness":0}]`, 1) + "}", 422, "not_positive", "/caller_shims/0/ladder/0/thickness"},
		{"a negative rung", strings.Replace(head, `"ladder":[{"thickness":1.00}]`, `"ladder":[{"thickness":-1}]`, 1) + "}", 422, "not_positive", "/caller_shims/0/ladder/0/thickness"},
		{"a negative count", head + `,"on_hand":[{"thickness":1.0,"count":-1}]}`, 422, "not_a_whole_number", "/on_hand/0/count"},
		{"half a piece", head + `,"on_hand":[{"thickness":1.0,"count":1.5}]}`, 422, "not_a_whole_number", "/on_hand/0/count"},
		{"33 pieces at a place", head + `,"fitted":[{"place":"p","pieces":[` + long(33, `{"thickness":1}`) + `]}]}`, 422, "too_many", "/fitted/0/pieces"},
		{"more pieces at least than at most", strings.Replace(head, `"places":[{"id":"p",`, `"places":[{"id":"p","min_pieces":3,"max_pieces":2,`, 1) + "}", 422, "lower_over_upper", "/caller_shims/0/places/0/max_pieces"},
		{"a place that changes nothing", strings.Replace(head, `"per_mm":[{"spec":"play","change":-1}]`, `"per_mm":[]`, 1) + "}", 422, "missing_change", "/caller_shims/0/places/0/per_mm"},
		{"mixed units", strings.Replace(head, `"measured":[{"spec":"play","unit":"mm"`, `"measured":[{"spec":"play","unit":"N·m"`, 1) + "}", 422, "unit_of_wrong_kind", "/measured/0/unit"},
		{"unknown key", head + `,"shelf":[]}`, 400, "unknown_key", "/shelf"},
		{"unknown key in a tolerance", head + `,"on_hand":[{"thickness":1.0,"tolerance":{"low":0}}]}`, 400, "unknown_key", "/on_hand/0/tolerance/low"},
		{"tolerance as a list", head + `,"on_hand":[{"thickness":1.0,"tolerance":[0]}]}`, 400, "wrong_type", "/on_hand/0/tolerance"},
		{"null", head + `,"fitted":[{"place":"p","pieces":null}]}`, 400, "null_value", "/fitted/0/pieces"},
		{"trailing data", head + `}x`, 400, "trailing_data", ""},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			w := post(h, "/v1/shim-plans", row.body)
			var p struct {
				Code   string
				Errors []struct{ Code, Pointer string }
			}
			if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != row.status {
				t.Fatalf("%d %v %s", w.Code, err, w.Body)
			}
			if row.at == "" && p.Code == row.code {
				return
			}
			for _, e := range p.Errors {
				if e.Code == row.code && e.Pointer == row.at {
					return
				}
			}
			t.Errorf("no %s at %s in %s", row.code, row.at, w.Body)
		})
	}
}

// A request that is wrong in several places lists them all.
func TestShimPlanListsEveryFault(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	w := post(h, "/v1/shim-plans", `{"unit":"furlong","shims":["a/b/c","d/e/f"],"measured":[{"spec":"x"}],"max_options":0,"min_probability":-1,"on_hand":[{"thickness":0},{"thickness":1,"count":-1}]}`)
	var p struct{ Errors []struct{ Pointer string } }
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != 422 {
		t.Fatal(w.Code, err)
	}
	at := map[string]bool{}
	for _, e := range p.Errors {
		at[e.Pointer] = true
	}
	for _, want := range []string{"/unit", "/shims/0", "/shims/1", "/measured/0/spec", "/max_options", "/min_probability", "/on_hand/0/thickness", "/on_hand/1/count"} {
		if !at[want] {
			t.Error("nothing at", want, w.Body)
		}
	}
}
