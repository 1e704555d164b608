//go:build integration

package integration_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// listOf repeats an element so often; # in it is the number of the element, from 1.
func listOf(n int, element string) string {
	all := make([]string, n)
	for i := range all {
		all[i] = strings.ReplaceAll(element, "#", fmt.Sprint(i+1))
	}
	return strings.Join(all, ",")
}

// Each limit on both sides: as many as it says are taken, and one more is a fault that is named.
func TestLimitsAreWhereTheyAreSaidToBe(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	const (
		asJSON, asCSV = "application/json", "text/csv"
		own           = `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40}},"unit":"mm"`
		one           = `{` + own + `,"readings":[{"value":0.2}]}`
		plans         = "/v1/shim-plans"
	)
	check := func(members string) string { return `{"checks":[{` + own + `,` + members + `}]}` }
	plan := func(places, ladder, rest string) string {
		return `{"unit":"mm","caller_shims":[{"id":"s","specs":[{"id":"play",` + strings.TrimSuffix(own, `,"unit":"mm"`) + `}],"places":[` + places + `],"ladder":[` + ladder + `]}],` +
			`"measured":[{"spec":"play","unit":"mm","readings":[{"value":0.3}],"instrument":{"kind":"dial","standard_uncertainty":0.01}}]` + rest + `}`
	}
	const place, rung = `{"id":"p#","per_mm":[{"spec":"play","change":-1}]}`, `{"thickness":1.00}`
	for _, row := range []struct {
		name, path, media string
		most              int
		body              func(n int) string
		over              string // code of one more
		status            int    // of one more; 200: the fault is the row's
	}{
		{"checks", evaluations, asJSON, 5000, func(n int) string { return `{"checks":[` + listOf(n, one) + `]}` }, "too_many", 422},
		{"rows of a table", evaluations, asCSV, 10_000, func(n int) string {
			return "kind,spec_unit,lower,upper,unit,reading_1\n" + strings.Repeat("dimension,mm,0.10,0.40,mm,0.2\n", n)
		}, "too_many", 422},
		{"bytes of checks", evaluations, asJSON, 8 << 20, func(n int) string { return strings.Repeat(" ", n-len(`{"checks":[]}`)) + `{"checks":[]}` }, "body_too_large", 413},
		{"bytes of another question", "/v1/lookups", asJSON, 1 << 20, func(n int) string { return strings.Repeat(" ", n-len(`{"keys":["pl-85"]}`)) + `{"keys":["pl-85"]}` }, "body_too_large", 413},
		{"readings", evaluations, asJSON, 100, func(n int) string { return check(`"readings":[` + listOf(n, `{"value":0.2}`) + `]`) }, "too_many", 200},
		{"repeats", evaluations, asJSON, 100, func(n int) string { return check(`"readings":[{"repeats":[` + listOf(n, "0.2") + `]}]`) }, "too_many", 200},
		{"blades", evaluations, asJSON, 40, func(n int) string {
			return check(`"readings":[{"blades":[` + listOf(n, `{"size":1.#,"feel":"refused"}`) + `]}]`)
		}, "too_many", 200},
		{"characters of an id", evaluations, asJSON, 64, func(n int) string { return check(`"readings":[{"value":0.2}],"id":"` + strings.Repeat("ß", n) + `"`) }, "too_long", 200},
		{"characters of a note", evaluations, asJSON, 2000, func(n int) string {
			return check(`"readings":[{"value":0.2}],"note":"` + strings.Repeat("ß", n) + `"`)
		}, "too_long", 200},
		{"look-ups", "/v1/lookups", asJSON, 500, func(n int) string { return `{"keys":[` + listOf(n, `"pl-85/counter-shaft/axial-play"`) + `]}` }, "too_many", 422},
		{"places", plans, asJSON, 32, func(n int) string { return plan(listOf(n, place), rung, "") }, "too_many", 422},
		{"sizes of a ladder", plans, asJSON, 500, func(n int) string { return plan(listOf(1, place), listOf(n, `{"thickness":1.#}`), "") }, "too_many", 422},
		{"lines on hand", plans, asJSON, 500, func(n int) string {
			return plan(listOf(1, place), rung, `,"on_hand":[`+listOf(n, `{"thickness":1.#}`)+`]`)
		}, "too_many", 422},
		{"pieces of a line", plans, asJSON, 1000, func(n int) string {
			return plan(listOf(1, place), rung, fmt.Sprintf(`,"on_hand":[{"thickness":1.0,"count":%d}]`, n))
		}, "not_a_whole_number", 422},
		{"options", plans, asJSON, 50, func(n int) string { return plan(listOf(1, place), rung, fmt.Sprintf(`,"max_options":%d`, n)) }, "not_a_whole_number", 422},
	} {
		ask := func(n int) answer {
			return send(t, client, request(t, http.MethodPost, s.URL+row.path, row.body(n), "Content-Type", row.media, "Accept", asJSON))
		}
		if got := ask(row.most); got.Status != http.StatusOK || strings.Contains(string(got.Body), `"problem":{`) {
			t.Errorf("%d %s: %d %.400s", row.most, row.name, got.Status, got.Body)
		}
		if got := ask(row.most + 1); got.Status != row.status || !strings.Contains(string(got.Body), `"code":"`+row.over+`"`) {
			t.Errorf("%d %s: %d %.400s", row.most+1, row.name, got.Status, got.Body)
		}
	}
}

// A hundred faults are listed, and the others counted; so it is in a row.
func TestAHundredFaultsAreListed(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	type listed struct {
		Errors  []fault
		Omitted int `json:"errors_omitted"`
	}
	for n, omitted := range map[int]int{100: 0, 101: 1, 400: 300} {
		got := send(t, client, request(t, http.MethodPost, s.URL+"/v1/shim-plans", `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],"measured":[{"spec":"pl-85/counter-shaft/axial-play",`+
			`"unit":"mm","readings":[{"value":0.62}]}],"on_hand":[`+listOf(n, `{"thickness":"1,2"}`)+`]}`, "Content-Type", "application/json"))
		var all listed
		if err := json.Unmarshal(got.Body, &all); err != nil || got.Status != http.StatusUnprocessableEntity || len(all.Errors) != 100 || all.Omitted != omitted {
			t.Errorf("%d faults: %d, %d and %d more, %v", n, got.Status, len(all.Errors), all.Omitted, err)
		}
	}
	got := send(t, client, request(t, http.MethodPost, s.URL+evaluations, `{"checks":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[`+
		listOf(3, `{"repeats":[`+strings.TrimSuffix(strings.Repeat(`"0,2",`, 50), ",")+`]}`)+`]}]}`, "Content-Type", "application/json"))
	var a struct{ Results []struct{ Problem listed } }
	if err := json.Unmarshal(got.Body, &a); err != nil || len(a.Results) != 1 || len(a.Results[0].Problem.Errors) != 100 || a.Results[0].Problem.Omitted != 50 {
		t.Errorf("a row: %d %.300s", got.Status, got.Body)
	}
}
