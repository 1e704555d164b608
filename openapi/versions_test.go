package openapi_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v3"

	"endfloat/openapi"
)

// tree is a document as plain values, from JSON or YAML.
func tree(t *testing.T, text []byte) map[string]any {
	t.Helper()
	var v map[string]any
	if err := yaml.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(v) // one kind of number
	if err != nil {
		t.Fatal(err)
	}
	var out map[string]any
	if err := json.Unmarshal(b, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// file is what stands beside this test.
func file(t *testing.T, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// older writes a tree of 3.1 as 3.0 has it: one example beside a schema in place of a list of one.
func older(v any) any {
	switch x := v.(type) {
	case map[string]any:
		_, typed := x["type"].(string)
		if list, ok := x["examples"].([]any); ok && typed && len(list) == 1 {
			x["example"] = list[0]
			delete(x, "examples")
		}
		for key, m := range x {
			x[key] = older(m)
		}
	case []any:
		for i := range x {
			x[i] = older(x[i])
		}
	}
	return v
}

// The four files say the same: JSON and YAML of a version are one tree, and 3.1 differs from 3.0 in its notation only.
func TestFormsAreEqualInMeaning(t *testing.T) {
	t.Parallel()
	json30, json31 := tree(t, openapi.JSON()), tree(t, file(t, "openapi-3.1.json"))
	if diff := cmp.Diff(json30, tree(t, openapi.YAML())); diff != "" {
		t.Errorf("3.0: -JSON +YAML\n%.2000s", diff)
	}
	if diff := cmp.Diff(json31, tree(t, file(t, "openapi-3.1.yaml"))); diff != "" {
		t.Errorf("3.1: -JSON +YAML\n%.2000s", diff)
	}
	if json30["openapi"] != "3.0.3" || json31["openapi"] != "3.1.1" {
		t.Errorf("versions %v and %v", json30["openapi"], json31["openapi"])
	}
	delete(json30, "openapi")
	delete(json31, "openapi")
	if diff := cmp.Diff(json30, older(json31)); diff != "" {
		t.Errorf("-3.0 +3.1\n%.2000s", diff)
	}
}
