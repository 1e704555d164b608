//go:build integration

package integration_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"
)

// ask posts a question and returns the answer as it was written: numbers keep their digits.
func ask(t *testing.T, s *service, client *http.Client, path, body string) any {
	t.Helper()
	a := send(t, client, request(t, http.MethodPost, s.URL+path, body, "Content-Type", "application/json"))
	if a.Status != http.StatusOK {
		t.Fatalf("%d %s", a.Status, a.Body)
	}
	dec := json.NewDecoder(bytes.NewReader(a.Body))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

// at is what stands at a path such as results.0.verdict, as text; (none) where there is nothing.
func at(v any, path string) string {
	for step := range strings.SplitSeq(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			v = x[step]
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(x) {
				return "(none)"
			}
			v = x[i]
		default:
			return "(none)"
		}
	}
	switch x := v.(type) {
	case nil:
		return "(none)"
	case map[string]any, []any:
		b, err := json.Marshal(x)
		return fmt.Sprint(string(b), err)
	}
	return fmt.Sprint(v)
}

// expect holds an answer against pairs of a path and what stands there; a number may be written with other zeros.
func expect(t *testing.T, v any, pairs ...string) {
	t.Helper()
	for i := 0; i+1 < len(pairs); i += 2 {
		got, want := at(v, pairs[i]), pairs[i+1]
		g, errG := strconv.ParseFloat(got, 64)
		w, errW := strconv.ParseFloat(want, 64)
		if got != want && (errG != nil || errW != nil || g != w) {
			t.Errorf("%s is %s, want %s", pairs[i], got, want)
		}
	}
}

// A gear stack may have 0.1 to 0.4 mm of axial play, aim 0.1, and a worn one has about 0.5. Common practice, no source;
// the intervals, and the probability of JCGM 106:2012, follow from the figures by hand.
func TestVerdictsOfCommonPractice(t *testing.T) {
	t.Parallel()
	s := start(t)
	client := s.caller(t)
	const stack = `"caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40},"target":0.10,"target_policy":"not_below"},"unit":"mm"`
	for _, row := range []struct {
		name, check string
		want        []string
	}{
		{"blades 0.10 free, 0.15 dragging, 0.20 only with force",
			`{` + stack + `,"readings":[{"blades":[{"size":0.10,"feel":"free"},{"size":0.15,"feel":"drag"},{"size":0.20,"feel":"forced"}]}]}`,
			[]string{"value", "0.15", "interval.lower", "0.15", "interval.upper", "0.20", "verdict", "pass", "action", "accept", "target_deviation", "0.05"}},
		{"four places that differ, the lowest exactly on the limit",
			`{` + stack + `,"readings":[{"value":0.15},{"value":0.20},{"value":0.10},{"value":0.15}]}`,
			[]string{"value", "0.15", "verdict", "pass", "position", "within", "places.min", "0.10", "places.spread", "0.10", "warnings.0.code", "no_uncertainty", "warnings.1", "(none)"}},
		{"0.39 with a standard uncertainty of 0.02",
			`{` + stack + `,"readings":[{"value":0.39}],"instrument":{"kind":"dial","standard_uncertainty":0.02}}`,
			[]string{"verdict", "conditional_pass", "decided", "false", "undecided_because", "uncertainty", "probability_within", "0.691"}},
		{"0.50 with a standard uncertainty of 0.02: worn",
			`{` + stack + `,"readings":[{"value":0.50}],"instrument":{"kind":"dial","standard_uncertainty":0.02}}`,
			[]string{"verdict", "fail", "decided", "true", "position", "above", "action", "adjust", "interval.lower", "0.46", "interval.upper", "0.54"}},
		{"a left-hand bolt by feel",
			`{"caller_spec":{"kind":"torque","unit":"N·m","band":{"lower":28,"upper":32},"fastener":{"hand":"left"}},"unit":"N·m","readings":[{"value":30}],"how":"estimated"}`,
			[]string{"verdict", "conditional_pass", "undecided_because", "estimated", "basis", "estimated", "standard_uncertainty", "6", "uncertainty_source", "by_feel", "interval.lower", "18", "interval.upper", "42", "cautions.0", "left_hand_thread"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got := ask(t, s, client, evaluations, `{"checks":[`+row.check+`]}`).(map[string]any)["results"].([]any)
			expect(t, got[0], row.want...)
			if text := strings.ToLower(at(got[0], "text")); strings.Contains(row.check, `"left"`) {
				if hand := strings.Index(text, "left"); hand < 0 || hand > strings.Index(text, "30") {
					t.Errorf("the thread is not named before the value: %s", text)
				}
			}
		})
	}
}
