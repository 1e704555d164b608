package schema_test

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"

	"endfloat/specdb/data"
	"endfloat/specdb/schema"
	"endfloat/specdb/yamlfile"
)

func compiled(t *testing.T, write func() ([]byte, error)) *jsonschema.Schema {
	t.Helper()
	text, err := write()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("schema.json") // holds it to the metaschema of the draft as well
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// plain is a file as an editor sees it: dates are text.
func plain(t *testing.T, text []byte) any {
	t.Helper()
	var n yaml.Node
	if err := yaml.Unmarshal(text, &n); err != nil {
		return nil
	}
	var walk func(n *yaml.Node)
	walk = func(n *yaml.Node) {
		if n.Kind == yaml.ScalarNode && n.Tag == "!!timestamp" {
			n.Tag = "!!str"
		}
		for _, c := range n.Content {
			walk(c)
		}
	}
	walk(&n)
	var v any
	if err := n.Decode(&v); err != nil {
		return nil
	}
	return v
}

func TestTheDemoFitsItsSchema(t *testing.T) {
	t.Parallel()
	family, head := compiled(t, schema.Family), compiled(t, schema.Head)
	names, err := fs.Glob(data.Files, "*.yaml")
	if err != nil || len(names) < 4 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(data.Files, name)
		if err != nil {
			t.Fatal(err)
		}
		s := family
		if name == yamlfile.HeadFile {
			s = head
		}
		if err := s.Validate(plain(t, text)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What breaks the form of a file breaks its schema too.
func TestBrokenFormsDoNotFit(t *testing.T) {
	t.Parallel()
	s := compiled(t, schema.Family)
	for _, reason := range []string{"unknown_key", "wrong_type", "decimal_comma", "unknown_word", "missing_keys", "bad_slug", "bad_date", "missing_english",
		"null_value", "source", "count_out_of_range", "several_at_once"} {
		text, err := os.ReadFile(filepath.Join("..", "yamlfile", "testdata", "broken_"+reason+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		if v := plain(t, text); v == nil || s.Validate(v) == nil {
			t.Errorf("%s fits", reason)
		}
	}
}

func TestEveryKeyIsExplained(t *testing.T) {
	t.Parallel()
	for _, s := range []*yamlfile.Shape{yamlfile.FamilyShape(), yamlfile.HeadShape()} {
		seen := map[*yamlfile.Shape]bool{}
		var walk func(s *yamlfile.Shape)
		walk = func(s *yamlfile.Shape) {
			if seen[s] {
				return
			}
			seen[s] = true
			for _, f := range s.Fields {
				if strings.TrimSpace(f.About) == "" {
					t.Errorf("%s.%s is not explained", s.Name, f.Key)
				}
				if f.Of != nil {
					walk(f.Of)
				}
			}
		}
		walk(s)
	}
}
