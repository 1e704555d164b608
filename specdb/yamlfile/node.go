package yamlfile

import (
	"slices"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
)

// ReadNode reads a family from nodes that somebody else made; a fault names the line and column that they carry. known
// are part numbers that stand elsewhere. The family is nil where there is a fault.
func ReadNode(name string, root *yaml.Node, defaults catalogue.Defaults, known []string) (*catalogue.Family, Faults) {
	f := file{name: name, root: root, reader: &reader{shapes: newShapes(), file: name}}
	f.family = f.reader.family(root)
	f.reader.skus = slices.DeleteFunc(f.reader.skus, func(x named) bool { return slices.Contains(known, x.name) })
	_, faults := join([]file{f}, defaults, nil)
	if len(faults) > 0 {
		faults.sort()
		return nil, faults
	}
	return f.family, nil
}

// Document is the one plain document of a file, for tools that show or turn it into another form.
func Document(name string, data []byte) (*yaml.Node, error) {
	r := &reader{shapes: newShapes(), file: name}
	root, ok := r.parse(data)
	if !ok {
		return nil, r.faults
	}
	return root, nil
}

// Value is the node behind a key of a mapping; nil where the key is not there.
func Value(n *yaml.Node, key string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}
