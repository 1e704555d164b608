// Package yamlfile reads a catalogue that people write: one YAML file a family, and catalogue.yaml with the date, the
// default policy, the instruments and the severities of cautions.
//
// It decides what a file may hold, and reports every fault at once with file, line, column, rule and remedy. It refuses
// anchors, aliases, merges, tags and second documents, unknown keys and values of the wrong type, and it refuses to
// know how the catalogue is served.
//
//	loaded, err := yamlfile.Load(os.DirFS("shop"), defaults)
package yamlfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// Bounds of one file.
const (
	maxBytes = 8 << 20
	maxDepth = 16
	longest  = 20_000 // elements of a list
)

// parse is the one document of a file; ok is false where it is at fault.
func (r *reader) parse(data []byte) (root *yaml.Node, ok bool) {
	top := &yaml.Node{Line: 1, Column: 1}
	switch {
	case len(data) > maxBytes:
		r.fault(top, "too_large", fmt.Sprintf("the file is over %d MiB", maxBytes>>20), "split it: one family a file")
		return nil, false
	case bytes.IndexByte(data, 0) >= 0 || !utf8.Valid(data):
		r.fault(top, "not_text", "the file is no text in UTF-8", "write YAML in UTF-8")
		return nil, false
	case nested(data):
		r.fault(top, "too_deep", "brackets are nested too deeply", "a catalogue needs far fewer levels")
		return nil, false
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc, second yaml.Node
	err := dec.Decode(&doc)
	switch {
	case errors.Is(err, io.EOF) || err == nil && len(doc.Content) != 1:
		r.fault(top, "empty_file", "the file is empty", "write a family, or remove the file")
		return nil, false
	case err != nil:
		r.fault(lineOf(err), "not_yaml", err.Error(), "mend the YAML")
		return nil, false
	}
	if err := dec.Decode(&second); !errors.Is(err, io.EOF) {
		if err != nil {
			second = *lineOf(err)
		}
		r.fault(&second, "second_document", "there is more than one document", "write one document a file")
		return nil, false
	}
	before := len(r.faults)
	r.plain(doc.Content[0], 0)
	return doc.Content[0], len(r.faults) == before
}

// lineOf takes the line that the parser names, so that a fault can point at it.
func lineOf(err error) *yaml.Node {
	n := &yaml.Node{Line: 1, Column: 1}
	const before = "line "
	text := err.Error()
	if _, rest, named := strings.Cut(text, before); named {
		line := 0
		for _, c := range rest {
			if c < '0' || c > '9' || line > 1<<24 {
				break
			}
			line = line*10 + int(c-'0')
		}
		n.Line = max(line, 1)
	}
	return n
}

// nested reports more open brackets than any plain file has, before the parser spends memory on them. Brackets in
// texts count as well, so the bound is generous.
func nested(data []byte) bool {
	open, bound := 0, 64*maxDepth
	for _, c := range data {
		switch c {
		case '[', '{':
			open++
		case ']', '}':
			open = max(open-1, 0)
		}
		if open > bound {
			return true
		}
	}
	return false
}

// plain refuses what a plain file does not need, and nesting without end.
func (r *reader) plain(n *yaml.Node, depth int) {
	switch {
	case n.Kind == yaml.AliasNode:
		r.fault(n, "alias", "aliases are not read", "write the value out")
		return
	case n.Anchor != "":
		r.fault(n, "anchor", "anchors are not read", "remove &"+clip(n.Anchor))
		return
	case n.Style&yaml.TaggedStyle != 0:
		r.fault(n, "tag", "tags are not read", "remove "+clip(n.Tag))
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
