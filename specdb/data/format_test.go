package data_test

import (
	"flag"
	"os"
	"regexp"
	"strings"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/specdb/schema"
	"endfloat/specdb/yamlfile"
	"testing/fstest"
)

var update = flag.Bool("update", false, "write the list of keys in FORMAT.md")

// marker begins what is made from the code.
const marker = "## Every key\n"

// FORMAT.md lists every key that files may have, and every example in it is read.
func TestTheFormatIsExplained(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile("FORMAT.md")
	if err != nil {
		t.Fatal(err)
	}
	front, _, found := strings.Cut(string(text), marker)
	if want := front + marker + schema.Reference(); !found || string(text) != want {
		if !*update {
			t.Error("the list of keys is not that of the code: go test ./specdb/data -update writes it")
		} else if err := os.WriteFile("FORMAT.md", []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	examples := regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	if len(examples) < 6 {
		t.Fatalf("%d examples", len(examples))
	}
	for _, e := range examples {
		if _, err := yamlfile.Document("FORMAT.md", []byte(strings.ReplaceAll(e[1], "[…]", "[]"))); err != nil {
			t.Errorf("%v in\n%s", err, e[1])
		}
	}
	head := examples[len(examples)-1][1]
	family := "family: f\nname: F\nsource: {class: demo, title: t, reviewed: 2026-11-01}\ncomponents: []\n"
	if _, err := yamlfile.Load(fstest.MapFS{yamlfile.HeadFile: {Data: []byte(head)}, "f.yaml": {Data: []byte(family)}}, catalogue.Defaults{}); err != nil {
		t.Error(err)
	}
}
