package authoring

import (
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/specdb"
	"endfloat/specdb/store"
	"endfloat/specdb/yamlfile"
)

// Show writes where something stands and what the file says of it: a family, component, spec or shim set by its key, or
// a part by its number. An empty dir is the demo. The error names a key that was perhaps meant.
func Show(w io.Writer, dir, key string) error {
	all, closed, err := files(dir)
	if err != nil {
		return err
	}
	defer closed()
	l, err := placed(all)
	if err != nil {
		return err
	}
	rev, err := store.Build(specdb.Compile(l, nil))
	if err != nil {
		return err
	}
	if p, known := l.Places[key]; known && !strings.Contains(key, ":") {
		return showKey(w, all, p, key)
	}
	if v, known := rev.PartView(key); known {
		return showPart(w, l, v)
	}
	return unknown(rev, key)
}

func unknown(rev *catalogue.Revision, key string) error {
	words := slices.Values(slices.Concat(rev.SKUs(), keysOf(rev)))
	if near, ok := catalogue.Nearest(key, words); ok {
		return fmt.Errorf("nothing has the key or part number %q; perhaps %q", key, near)
	}
	return fmt.Errorf("nothing has the key or part number %q", key)
}

func keysOf(rev *catalogue.Revision) (keys []string) {
	for _, f := range rev.Families {
		keys = append(keys, f.Key)
		for _, c := range f.Components {
			keys = append(keys, f.Key+"/"+c.Key)
			for _, e := range c.Shims {
				keys = append(keys, string(e.Base.Key))
			}
		}
	}
	for _, k := range rev.SpecKeys() {
		keys = append(keys, string(k))
	}
	return keys
}

func showKey(w io.Writer, all fs.FS, p yamlfile.Place, key string) error {
	text, err := fs.ReadFile(all, p.File)
	if err != nil {
		return err
	}
	root, err := yamlfile.Document(p.File, text)
	if err != nil {
		return err
	}
	node, shape := find(root, yamlfile.FamilyShape(), strings.Split(key, "/")[1:])
	if node == nil {
		return fmt.Errorf("%s is not in %s any more", key, p.File)
	}
	out, err := yamlfile.Write(node, shape)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "# %s, %s:%d:%d\n%s", key, p.File, p.Line, p.Column, out)
	return err
}

// find follows ids from a family down to a component and on to a spec or shim set.
func find(n *yaml.Node, s *yamlfile.Shape, ids []string) (*yaml.Node, *yamlfile.Shape) {
	if len(ids) == 0 {
		return n, s
	}
	for _, list := range []string{"components", "specs", "shims"} {
		f, ok := s.Field(list)
		if !ok {
			continue
		}
		for _, e := range elements(n, list) {
			if scalar(e, "id") == ids[0] {
				return find(e, f.Of, ids[1:])
			}
		}
	}
	return nil, nil
}

func elements(n *yaml.Node, key string) []*yaml.Node {
	if v := yamlfile.Value(n, key); v != nil {
		return v.Content
	}
	return nil
}

func scalar(n *yaml.Node, key string) string {
	if v := yamlfile.Value(n, key); v != nil {
		return v.Value
	}
	return ""
}

func showPart(w io.Writer, l *yamlfile.Loaded, v catalogue.PartView) error {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s %s\n", v.SKU, v.Name.In("en"))
	for _, u := range v.Uses {
		component := u.Family.Key + "/" + u.Component.Key
		p := l.Places[v.SKU+" @ "+component]
		fmt.Fprintf(&b, "fits: %s, %s:%d:%d\n", component, p.File, p.Line, p.Column)
		if len(u.Part.Variants) > 0 {
			fmt.Fprintf(&b, "  variants: %s\n", strings.Join(u.Part.Variants, ", "))
		}
	}
	for _, u := range v.Rungs {
		p := l.Places[string(u.Shims.Key)]
		fmt.Fprintf(&b, "size: %s %s of %s, %s:%d:%d\n", u.Rung.Thickness, u.Shims.Unit, u.Shims.Key, p.File, p.Line, p.Column)
	}
	for _, list := range [][]*catalogue.Entry{v.Specs, v.Torques} {
		for _, e := range list {
			fmt.Fprintf(&b, "spec: %s\n", e.Base.Key)
		}
	}
	for _, x := range []struct{ what, sku string }{{"superseded by", v.SupersededBy}, {"in the end", v.Successor}} {
		if x.sku != "" {
			fmt.Fprintf(&b, "%s: %s\n", x.what, x.sku)
		}
	}
	for _, s := range v.Supersedes {
		fmt.Fprintf(&b, "supersedes: %s\n", s)
	}
	for _, s := range v.Companions {
		fmt.Fprintf(&b, "with it: %s\n", s)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
