//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// pinnable is what an answer shows of the policy that it stands on.
type pinnable struct {
	Policy struct {
		Name, Rule, Guard  string
		RequireUncertainty bool `json:"require_uncertainty"`
		Pinned             bool
	}
	Demand struct {
		MinProbability float64 `json:"min_probability"`
	}
	Results []struct {
		Verdict  string
		RuleUsed string `json:"rule_used"`
		Guard    string
	}
	Now []struct {
		RuleUsed string `json:"rule_used"`
		Guard    string
	}
	Lines []struct {
		AsBuilt struct {
			Verdict  string
			RuleUsed string `json:"rule_used"`
			Guard    string
		} `json:"as_built"`
	}
}

// Each form that a request has for being judged less strictly, by a key with a policy and by none: without a key the
// form does what it says, with one it is the policy that stands.
func TestNoFormOfARequestSoftensAPolicy(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	key, _ := newKey(t, file, "--name", "dealer", "--policy", "strict", "--rule", "guarded", "--guard", "U", "--min-probability", "0.99")
	s := begin(t, []string{"ENDFLOAT_KEYS=" + file}, "--addr", "127.0.0.1:0")
	s.awaitAddress(t)
	client := s.caller(t)
	// 0.345 ± 0.02 mm against 0.08 to 0.35 mm: inside by its value, not proven under the guard.
	const (
		edge   = `"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.345},{"value":0.345},{"value":0.345}],"instrument":{"kind":"dial","standard_uncertainty":0.010}`
		sheet  = `{"family":"pl-85","scope":"gearbox","variant":"b","engine_number":"PLC 7001",%"lines":[{"id":"1","spec":"pl-85/counter-shaft/axial-play","unit":"mm","as_built":{"readings":[{"value":0.345},{"value":0.345},{"value":0.345}],"instrument":{"kind":"dial","standard_uncertainty":0.010}}}]}`
		plan   = `{"unit":"mm",%"shims":["pl-85/counter-shaft/stack-shims"],"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.62}],"instrument":{"kind":"dial","standard_uncertainty":0.02}}],"fitted":[{"place":"left","pieces":[{"thickness":1.00,"measured":true}]},{"place":"right","pieces":[{"thickness":1.00,"measured":true}]}]}`
		checks = "/v1/evaluations"
	)
	for _, row := range []struct{ name, path, body, soft string }{
		{"the rule at the top", checks, `{"rule":"simple","checks":[{` + edge + `}]}`, "simple"},
		{"the rule of a row", checks, `{"checks":[{"rule":"simple",` + edge + `}]}`, "simple"},
		{"the guard at the top", checks, `{"guard":"1.65u","checks":[{` + edge + `}]}`, "1.65u"},
		{"the guard of a row", checks, `{"checks":[{"guard":"1.65u",` + edge + `}]}`, "1.65u"},
		{"a row against its top", checks, `{"rule":"guarded","guard":"U","checks":[{"rule":"simple","guard":"1.65u",` + edge + `}]}`, "simple"},
		{"a replay", checks + "?revision=@", `{"rule":"simple","checks":[{` + edge + `}]}`, "simple"},
		{"the rule of a sheet", "/v1/sheets", strings.Replace(sheet, "%", `"rule":"simple",`, 1), "simple"},
		{"the guard of a sheet", "/v1/sheets", strings.Replace(sheet, "%", `"guard":"1.65u",`, 1), "1.65u"},
		{"the rule of a plan", "/v1/shim-plans", strings.Replace(plan, "%", `"rule":"simple",`, 1), "simple"},
		{"the guard of a plan", "/v1/shim-plans", strings.Replace(plan, "%", `"guard":"1.65u",`, 1), "1.65u"},
		{"the demand of a plan", "/v1/shim-plans", strings.Replace(plan, "%", `"rule":"simple","min_probability":0.1,`, 1), "simple"},
	} {
		path := row.path
		if strings.HasSuffix(path, "@") {
			path = path[:len(path)-1] + send(t, client, request(t, http.MethodGet, s.URL+"/v1/catalogue", "")).Header.Get("Catalogue-Revision")
		}
		ask := func(header ...string) (a pinnable, used []string) {
			got := send(t, client, request(t, http.MethodPost, s.URL+path, row.body, append(header, "Content-Type", "application/json")...))
			if err := json.Unmarshal(got.Body, &a); err != nil || got.Status != 200 {
				t.Fatalf("%s: %d %s %v", row.name, got.Status, got.Body, err)
			}
			for _, r := range a.Results {
				used = append(used, r.RuleUsed, r.Guard)
			}
			for _, r := range a.Now {
				used = append(used, r.RuleUsed, r.Guard)
			}
			for _, l := range a.Lines {
				if l.AsBuilt.RuleUsed != "" {
					used = append(used, l.AsBuilt.RuleUsed, l.AsBuilt.Guard)
				}
			}
			return a, used
		}
		if a, used := ask(); a.Policy.Pinned || !slices.Contains(used, row.soft) {
			t.Errorf("%s, without a key: %q %+v", row.name, used, a)
		}
		a, used := ask("Authorization", "Bearer "+key)
		if !a.Policy.Pinned || a.Policy.Name != "strict" || a.Policy.Rule != "guarded" || a.Policy.Guard != "U" || !slices.Equal(used, []string{"guarded", "U"}) {
			t.Errorf("%s, with the key: %q %+v", row.name, used, a)
		}
		if row.path == "/v1/shim-plans" && a.Demand.MinProbability != 0.99 {
			t.Errorf("%s: a demand of %v", row.name, a.Demand.MinProbability)
		}
	}
	for _, row := range []struct{ name, path, media, body string }{
		{"a query", checks + "?rule=simple", "application/json", `{"checks":[{` + edge + `}]}`},
		{"a column", checks, "text/csv", "spec,unit,reading_1,rule\npl-85/counter-shaft/axial-play,mm,0.345,simple\n"},
		{"a policy", checks, "application/json", `{"policy":{"rule":"simple"},"checks":[{` + edge + `}]}`},
		{"a policy in a row", checks, "application/json", `{"checks":[{"require_uncertainty":false,` + edge + `}]}`},
		{"a rule of what was measured", "/v1/shim-plans", "application/json", strings.Replace(strings.Replace(plan, "%", "", 1), `"readings"`, `"rule":"simple","readings"`, 1)},
		{"a rule in a line", "/v1/sheets", "application/json", strings.Replace(strings.Replace(sheet, "%", "", 1), `"as_built":{`, `"as_built":{"rule":"simple",`, 1)},
	} {
		got := send(t, client, request(t, http.MethodPost, s.URL+row.path, row.body, "Content-Type", row.media, "Authorization", "Bearer "+key))
		if got.Status != http.StatusBadRequest {
			t.Errorf("%s is passed over: %d %s", row.name, got.Status, got.Body)
		}
	}
	// A table says nothing about rules, and is held to the policy.
	const table = "spec,unit,reading_1,standard_uncertainty\npl-85/counter-shaft/axial-play,mm,0.345,0.01\n"
	got := send(t, client, request(t, http.MethodPost, s.URL+checks, table, "Content-Type", "text/csv", "Accept", "application/json", "Authorization", "Bearer "+key))
	var a pinnable
	if err := json.Unmarshal(got.Body, &a); err != nil || !a.Policy.Pinned || len(a.Results) != 1 || a.Results[0].Verdict != "conditional_pass" {
		t.Errorf("a table: %d %s %v", got.Status, got.Body, err)
	}
}
