package yamlfile

import (
	"bytes"

	"go.yaml.in/yaml/v3"
)

// Write is a document with its keys in the order of a shape, small mappings on one line. Comments stay with their keys.
func Write(root *yaml.Node, s *Shape) ([]byte, error) {
	arrange(root, s)
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(root); err != nil {
		return nil, err
	}
	return b.Bytes(), enc.Close()
}

// arrange sorts the keys of a mapping as its shape lists them; unknown ones go last, in their order.
func arrange(n *yaml.Node, s *Shape) {
	if n.Kind != yaml.MappingNode {
		return
	}
	sorted := make([]*yaml.Node, 0, len(n.Content))
	for i := range s.Fields {
		f := &s.Fields[i]
		for k := 0; k+1 < len(n.Content); k += 2 {
			if n.Content[k].Value == f.Key {
				sorted = append(sorted, n.Content[k], n.Content[k+1])
				arrangeField(n.Content[k+1], f)
			}
		}
	}
	for k := 0; k+1 < len(n.Content); k += 2 {
		if s.index(n.Content[k].Value) < 0 {
			sorted = append(sorted, n.Content[k], n.Content[k+1])
		}
	}
	n.Content = sorted
}

func arrangeField(v *yaml.Node, f *Field) {
	switch {
	case f.Of == nil:
		flow(v) // words, and names by language
		return
	case f.List && v.Kind == yaml.SequenceNode:
		for _, e := range v.Content {
			arrange(e, f.Of)
			if small(f.Of) {
				flow(e)
			}
		}
		if f.Row == "" {
			flow(v)
		}
		return
	}
	arrange(v, f.Of)
	if small(f.Of) {
		flow(v)
	}
}

// small reports whether a mapping of that shape reads well on one line.
func small(s *Shape) bool {
	for _, f := range s.Fields {
		if f.Row != "" {
			return false
		}
	}
	return s.Name != "variant" && s.Name != "catalogue"
}

func flow(n *yaml.Node) {
	if n.Kind == yaml.MappingNode || n.Kind == yaml.SequenceNode {
		n.Style = yaml.FlowStyle
	}
}
