//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"
)

// A code that was listed once is listed for good, with its kind, its severity and its parameters.
func TestCodesStayWhatTheyWere(t *testing.T) {
	t.Parallel()
	s := start(t)
	var list struct {
		Items []struct {
			Kind, Axis, Code string
			Severity         json.Number
			Params           []string
		}
	}
	got := send(t, s.caller(t), request(t, http.MethodGet, s.URL+"/v1/codes", ""))
	if err := json.Unmarshal(got.Body, &list); err != nil {
		t.Fatal(err)
	}
	const none = "-"
	or := func(word string) string {
		if word == "" {
			return none
		}
		return word
	}
	listed := map[string][]string{}
	for _, c := range list.Items {
		key := strings.Join([]string{c.Kind, or(c.Axis), c.Code, or(c.Severity.String())}, " ")
		if _, twice := listed[key]; twice {
			t.Errorf("%s stands twice", key)
		}
		listed[key] = c.Params
	}
	text, err := os.ReadFile("testdata/codes.txt")
	if err != nil {
		t.Fatal(err)
	}
	lines := 0
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		lines++
		words := strings.Fields(line)
		if len(words) != 4 && len(words) != 5 {
			t.Fatalf("%q", line)
		}
		params, ok := listed[strings.Join(words[:4], " ")]
		if !ok {
			t.Errorf("%s %s is gone, or has another axis or severity", words[0], words[2])
			continue
		}
		for _, p := range strings.FieldsFunc(strings.Join(words[4:], ""), func(r rune) bool { return r == ',' }) {
			if !slices.Contains(params, p) {
				t.Errorf("%s %s has lost its parameter %s: it has %q", words[0], words[2], p, params)
			}
		}
	}
	if lines < 600 {
		t.Errorf("only %d codes were listed", lines)
	}
}
