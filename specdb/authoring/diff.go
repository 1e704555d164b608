package authoring

import (
	"fmt"
	"io"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/specdb"
	"endfloat/specdb/store"
)

// Diff writes what became different from one catalogue to another, by family, with reasons, and returns how many
// changes there are. Each is a directory or a snapshot file; empty is the demo. family narrows it; empty is all.
func Diff(w io.Writer, from, to, family string) (int, error) {
	a, err := revision(from)
	if err != nil {
		return 0, err
	}
	b, err := revision(to)
	if err != nil {
		return 0, err
	}
	changes := catalogue.Diff(a, b, family)
	var out strings.Builder
	fmt.Fprintf(&out, "%s (%s) → %s (%s): %s\n", a.Name, a.Date, b.Name, b.Date, counted(len(changes), "change"))
	last := ""
	for _, c := range changes {
		if c.Family != last {
			fmt.Fprintf(&out, "\n%s\n", c.Family)
			last = c.Family
		}
		fmt.Fprintf(&out, "  %s %s %s", c.How, c.What, c.Key)
		if reason := c.Reason.In("en"); reason != "" {
			fmt.Fprintf(&out, " (%s)", reason)
		}
		out.WriteByte('\n')
		for _, f := range c.Fields {
			fmt.Fprintf(&out, "    %s: %s → %s\n", f.Name, shown(f.From), shown(f.To))
		}
	}
	_, err = io.WriteString(w, out.String())
	return len(changes), err
}

func shown(value string) string {
	if value == "" {
		return "—"
	}
	return value
}

func revision(path string) (*catalogue.Revision, error) {
	if path == "" {
		s, err := specdb.Embedded()
		if err != nil {
			return nil, err
		}
		return s.Current(), nil
	}
	c, err := specdb.ReadPath(path, nil)
	if err != nil {
		return nil, err
	}
	return store.Build(c)
}
