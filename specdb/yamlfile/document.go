// Package yamlfile reads a catalogue that people write: one YAML file a family, and catalogue.yaml with the date, the
// default policy, the instruments and the severities of cautions.
//
// It decides what a file may hold, and reports every fault at once with file, line, column, rule and remedy. It refuses
// anchors, aliases, merges, tags and second documents, unknown keys and values of the wrong type, and it refuses to
// know how the catalogue is served.
//
//	families, head, err := yamlfile.Load(os.DirFS("shop"))
package yamlfile

import (
	"bytes"
	"errors"
	"io"
	"time"

	"go.yaml.in/yaml/v3"
)

// Bounds of one file.
const (
	maxBytes = 8 << 20
	maxDepth = 16
)

// parse is the one document of a file; ok is false where it is at fault.
func (r *reader) parse(data []byte) (root *yaml.Node, ok bool) {
	top := &yaml.Node{Line: 1, Column: 1}
	if len(data) > maxBytes {
		r.fault(top, "too_large", "the file is over 8 MiB", "split it: one family a file")
		return nil, false
	}
	if bytes.IndexByte(data, 0) >= 0 {
		r.fault(top, "not_text", "the file is no text", "write YAML in UTF-8")
		return nil, false
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			r.fault(top, "empty_file", "the file is empty", "write a family, or remove the file")
		} else {
			r.fault(top, "not_yaml", err.Error(), "mend the YAML")
		}
		return nil, false
	}
	var second yaml.Node
	if err := dec.Decode(&second); !errors.Is(err, io.EOF) {
		r.fault(&doc, "second_document", "there is more than one document", "write one document a file")
		return nil, false
	}
	if len(doc.Content) != 1 {
		r.fault(top, "empty_file", "the file is empty", "write a family, or remove the file")
		return nil, false
	}
	before := len(*r.faults)
	r.plain(doc.Content[0], 0)
	return doc.Content[0], len(*r.faults) == before
}

// plain refuses what a plain file does not need, and nesting without end.
func (r *reader) plain(n *yaml.Node, depth int) {
	switch {
	case n.Kind == yaml.AliasNode:
		r.fault(n, "alias", "aliases are not read", "write the value out")
		return
	case n.Anchor != "":
		r.fault(n, "anchor", "anchors are not read", "remove &"+n.Anchor)
		return
	case n.Style&yaml.TaggedStyle != 0:
		r.fault(n, "tag", "tags are not read", "remove "+n.Tag)
		return
	case depth > maxDepth:
		r.fault(n, "too_deep", "this is nested too deeply", "a catalogue needs far fewer levels")
		return
	}
	for i, c := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && (c.Tag == "!!merge" || c.Kind != yaml.ScalarNode) {
			r.fault(c, "merge", "merge keys and keys that are no text are not read", "write the keys out")
			continue
		}
		r.plain(c, depth+1)
	}
}

func isDate(s string) bool {
	_, err := time.Parse(time.DateOnly, s)
	return err == nil
}
