package schema

import (
	"fmt"
	"strings"

	"endfloat/specdb/yamlfile"
)

// Reference is every key of every kind of mapping as Markdown, in the order in which they are written.
func Reference() string {
	var b strings.Builder
	seen := map[string]bool{}
	describe(&b, yamlfile.FamilyShape(), seen)
	describe(&b, yamlfile.HeadShape(), seen)
	return b.String()
}

func describe(b *strings.Builder, s *yamlfile.Shape, seen map[string]bool) {
	if seen[s.Name] {
		return
	}
	seen[s.Name] = true
	fmt.Fprintf(b, "\n### %s\n\n| key | value | what it is |\n|---|---|---|\n", s.Name)
	for i := range s.Fields {
		f := &s.Fields[i]
		key := "`" + f.Key + "`"
		if f.Need {
			key += " (needed)"
		}
		fmt.Fprintf(b, "| %s | %s | %s |\n", key, kind(f), f.About)
	}
	for i := range s.Fields {
		if of := s.Fields[i].Of; of != nil {
			describe(b, of, seen)
		}
	}
}

func kind(f *yamlfile.Field) string {
	what := string(f.Type)
	switch f.Type {
	case yamlfile.Mapping:
		what = f.Of.Name
	case yamlfile.Word:
		what = "`" + strings.Join(f.Words, "`, `") + "`"
	case yamlfile.Whole:
		what = fmt.Sprintf("whole number from %d to %d", f.Least, f.Most)
	case yamlfile.YesNo:
		what = "`true`, `false`"
	case yamlfile.Names:
		what = "text, or texts by language"
	}
	if f.List {
		return "list of " + what
	}
	return what
}
