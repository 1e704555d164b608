package problem_test

import (
	"bytes"
	"os"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"endfloat/api/problem"
	"endfloat/service/fault"
	"endfloat/service/note"
)

func published(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile("testdata/rfc9457.json")
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("rfc9457.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := c.Compile("rfc9457.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func holds(t *testing.T, schema *jsonschema.Schema, text []byte) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return schema.Validate(v)
}

// The examples of RFC 9457, section 3 (from memory), pass the schema of its appendix A, and so does every problem of ours.
func TestProblemsAreThoseOfThePublishedSchema(t *testing.T) {
	t.Parallel()
	schema := published(t)
	for _, example := range []string{
		`{"type":"https://example.com/probs/out-of-credit","title":"You do not have enough credit.","detail":"Your current balance is 30, but that costs 50.","instance":"/account/12345/msgs/abc","balance":30,"accounts":["/account/12345","/account/67890"]}`,
		`{"type":"https://example.net/validation-error","title":"Your request is not valid.","errors":[{"detail":"must be a positive integer","pointer":"#/age"},{"detail":"must be 'green', 'red' or 'blue'","pointer":"#/profile/color"}]}`,
	} {
		if err := holds(t, schema, []byte(example)); err != nil {
			t.Errorf("%s: %v", example, err)
		}
	}
	for _, wrong := range []string{`{"type":1}`, `{"status":"404"}`, `{"status":99}`, `{"instance":"http://[::1"}`} {
		if holds(t, schema, []byte(wrong)) == nil {
			t.Errorf("the schema takes %s", wrong)
		}
	}
	for _, c := range problem.Table() {
		doc, _ := problem.Of(&fault.Error{Kind: c.Kind, Code: "x", Violations: []fault.Violation{{Code: "y", Detail: note.New("found_null"), At: fault.Place{Pointer: "/a"}}}},
			"urn:uuid:0b9f5f0e-6f0d-4a53-9f0e-2f3b6b1d6a55", english)
		text, err := json.Marshal(doc)
		if err != nil {
			t.Fatal(err)
		}
		if err := holds(t, schema, text); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
}
