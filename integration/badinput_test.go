//go:build integration

package integration_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// fault is a row of a problem document's errors.
type fault struct {
	Code, Fix, Pointer, Parameter, Header string
}

// document is a problem document (RFC 9457), or the problem of a row.
type document struct {
	Type, Title, Code, Detail, Instance string
	Status                              int
	Errors                              []fault
}

const evaluations = "/v1/evaluations"

// Each fault of the whole request: its status, its code, and the place that it names.
func TestBadRequestsAreProblemsThatNameThePlace(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	const asJSON = "application/json"
	nested := strings.Repeat("[", 10_000) + strings.Repeat("]", 10_000)
	for _, row := range []struct {
		name, method, path, media, body string
		status                          int
		code, place                     string
	}{
		{"a number that JSON does not have", "POST", evaluations, asJSON, `{"checks":[{"readings":[{"value":NaN}]}]}`, 400, "bad_json", "/checks/0/readings/0/value"},
		{"key in the wrong case", "POST", evaluations, asJSON, `{"Checks":[]}`, 400, "unknown_key", "/Checks"},
		{"unknown key", "POST", evaluations, asJSON, `{"checks":[{"colour":1}]}`, 400, "unknown_key", "/checks/0/colour"},
		{"key twice", "POST", evaluations, asJSON, `{"checks":[],"checks":[]}`, 400, "duplicate_key", "/checks"},
		{"null", "POST", evaluations, asJSON, `{"checks":[{"id":null}]}`, 400, "null_value", "/checks/0/id"},
		{"text after the end", "POST", evaluations, asJSON, `{"checks":[]}]`, 400, "trailing_data", ""},
		{"a second value after the end", "POST", evaluations, asJSON, `{"checks":[]}{}`, 400, "trailing_data", ""},
		{"nothing", "POST", evaluations, asJSON, ``, 400, "empty_body", ""},
		{"wrong JSON type", "POST", evaluations, asJSON, `{"checks":{}}`, 400, "wrong_type", "/checks"},
		{"number for text", "POST", evaluations, asJSON, `{"checks":[{"id":1}]}`, 400, "wrong_type", "/checks/0/id"},
		{"10,000 brackets", "POST", evaluations, asJSON, nested, 400, "wrong_type", ""},
		{"10,000 brackets in a list", "POST", evaluations, asJSON, `{"checks":` + nested + `}`, 400, "", ""},
		{"10,000 brackets that do not close", "POST", evaluations, asJSON, strings.Repeat("[", 10_000), 400, "", ""},
		{"bytes that are no UTF-8", "POST", evaluations, asJSON, "{\"checks\":[{\"id\":\"\xff\"}]}", 400, "bad_json", "/checks/0/id"},
		{"2 MiB where 1 is read", "POST", "/v1/lookups", asJSON, strings.Repeat(" ", 2<<20), 413, "body_too_large", ""},
		{"wrong media type", "POST", evaluations, "text/xml", `<a/>`, 415, "wrong_media_type", "Content-Type"},
		{"wrong charset", "POST", evaluations, "application/json; charset=utf-16", `{}`, 415, "wrong_charset", "Content-Type"},
		{"unknown parameter of a POST", "POST", evaluations + "?colour=red", asJSON, `{"checks":[]}`, 400, "unknown_parameter", "colour"},
		{"unknown parameter of a GET", "GET", axialPlay + "?colour=red", "", "", 400, "unknown_parameter", "colour"},
		{"parameter twice", "GET", axialPlay + "?unit=mm&unit=in", "", "", 400, "repeated_parameter", "unit"},
		{"empty parameter", "GET", axialPlay + "?unit=", "", "", 400, "", "unit"},
		{"unit of the wrong kind in the address", "GET", axialPlay + "?unit=Nm", "", "", 400, "", "unit"},
		{"wrong method", "PUT", evaluations, asJSON, `{}`, 405, "method_not_allowed", ""},
		{"GET where there is only POST", "GET", evaluations, "", "", 405, "method_not_allowed", ""},
		{"no such address", "GET", "/v1/nothing", "", "", 404, "no_such_address", ""},
		{"no such spec", "GET", "/v1/families/pl-85/components/counter-shaft/specs/none", "", "", 404, "unknown_spec", ""},
		{"slashes that are encoded", "GET", "/v1/families/pl-85%2Fcounter-shaft", "", "", 404, "unknown_family", ""},
		{"no list of checks", "POST", evaluations, asJSON, `{}`, 422, "invalid_values", "/checks"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			req := request(t, row.method, s.URL+row.path, row.body)
			if row.media != "" {
				req.Header.Set("Content-Type", row.media)
			}
			a := send(t, client, req)
			p := problemOf(t, a)
			if a.Status != row.status || p.Status != row.status || row.code != "" && p.Code != row.code {
				t.Fatalf("%d %s", a.Status, a.Body)
			}
			if row.place == "" {
				return
			}
			if len(p.Errors) != 1 || p.Errors[0].Pointer+p.Errors[0].Parameter+p.Errors[0].Header != row.place || p.Errors[0].Fix == "" {
				t.Errorf("%q is not named with a remedy: %s", row.place, a.Body)
			}
		})
	}
}

// problemOf reads a problem document and holds it to RFC 9457 and to what every problem promises.
func problemOf(t *testing.T, a answer) document {
	t.Helper()
	var p document
	if err := json.Unmarshal(a.Body, &p); err != nil {
		t.Fatalf("%d %v %s", a.Status, err, a.Body)
	}
	if a.Header.Get("Content-Type") != "application/problem+json" || a.Header.Get("Cache-Control") != "no-store" {
		t.Errorf("%v", a.Header)
	}
	if !strings.HasPrefix(p.Type, "/problems/") || p.Title == "" || p.Detail == "" || p.Instance == "" {
		t.Errorf("incomplete: %s", a.Body)
	}
	return p
}

// A fault of values stands in its row; the row before and the row behind are judged all the same.
func TestBadValuesAreTheProblemOfTheirRow(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	const own = `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40}}`
	for _, row := range []struct{ name, check, code, pointer string }{
		{"no unit", `{` + own + `,"readings":[{"value":0.2}]}`, "missing_unit", "/checks/1/unit"},
		{"unknown unit", `{` + own + `,"unit":"cubit","readings":[{"value":0.2}]}`, "unknown_unit", "/checks/1/unit"},
		{"unit of the wrong kind", `{` + own + `,"unit":"N·m","readings":[{"value":0.2}]}`, "unit_of_wrong_kind", "/checks/1/unit"},
		{"decimal comma", `{` + own + `,"unit":"mm","readings":[{"value":"0,15"}]}`, "decimal_comma", "/checks/1/readings/0/value"},
		{"1e400", `{` + own + `,"unit":"mm","readings":[{"value":1e400}]}`, "number_out_of_range", "/checks/1/readings/0/value"},
		{"ten decimals", `{` + own + `,"unit":"mm","readings":[{"value":0.1234567891}]}`, "too_many_decimals", "/checks/1/readings/0/value"},
		{"seven decimals of a µm", `{` + own + `,"unit":"µm","readings":[{"value":150.1234567}]}`, "too_many_decimals", "/checks/1/readings/0/value"},
		{"blade under nothing", `{` + own + `,"unit":"mm","readings":[{"blades":[{"size":-0.15,"feel":"free"}]}]}`, "", "/checks/1/readings/0/blades/0/size"},
		{"feel that is none", `{` + own + `,"unit":"mm","readings":[{"blades":[{"size":0.15,"feel":"soft"}]}]}`, "", "/checks/1/readings/0/blades/0/feel"},
		{"unknown spec", `{"spec":"pl-85/counter-shaft/none","unit":"mm","readings":[{"value":0.2}]}`, "unknown_spec", "/checks/1/spec"},
		{"two specs", `{"spec":"pl-85/counter-shaft/axial-play",` + own + `,"unit":"mm","readings":[{"value":0.2}]}`, "two_specs", ""},
		{"no spec", `{"unit":"mm","readings":[{"value":0.2}]}`, "missing_spec", ""},
		{"101 readings", `{` + own + `,"unit":"mm","readings":[` + strings.Repeat(`{"value":0.2},`, 100) + `{"value":0.2}]}`, "", "/checks/1/readings"},
		{"id of 65 characters", `{"id":"` + strings.Repeat("x", 65) + `",` + own + `,"unit":"mm","readings":[{"value":0.2}]}`, "too_long", "/checks/1/id"},
		{"band upside down", `{"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.4,"upper":0.1}},"unit":"mm","readings":[{"value":0.2}]}`, "", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			good := `{"id":"good",` + own + `,"unit":"mm","readings":[{"value":0.2}],"instrument":{"kind":"dial","standard_uncertainty":0.01}}`
			body := fmt.Sprintf(`{"checks":[%s,%s,%s]}`, good, row.check, good)
			a := send(t, client, request(t, http.MethodPost, s.URL+evaluations, body, "Content-Type", "application/json"))
			var got struct {
				Summary map[string]int
				Results []struct {
					ID, Verdict, Action string
					Index               int
					Problem             *document
				}
			}
			if err := json.Unmarshal(a.Body, &got); err != nil || a.Status != http.StatusOK || len(got.Results) != 3 {
				t.Fatalf("%d %v %s", a.Status, err, a.Body)
			}
			for _, i := range []int{0, 2} {
				if r := got.Results[i]; r.Verdict != "pass" || r.Action != "accept" || r.ID != "good" || r.Index != i || r.Problem != nil {
					t.Errorf("the row beside it became %+v", r)
				}
			}
			r := got.Results[1]
			if r.Verdict != "not_judged" || r.Action != "ask" || r.Problem == nil || len(r.Problem.Errors) == 0 || row.code != "" && r.Problem.Code != row.code {
				t.Fatalf("%s", a.Body)
			}
			if row.pointer != "" && r.Problem.Errors[0].Pointer != row.pointer || r.Problem.Errors[0].Fix == "" {
				t.Errorf("%q is not named with a remedy: %+v", row.pointer, r.Problem)
			}
			if got.Summary["rows"] != 3 || got.Summary["pass"] != 2 || got.Summary["problems"] != 1 {
				t.Errorf("summary %v", got.Summary)
			}
		})
	}
}
