package finish

import (
	"bytes"

	"go.yaml.in/yaml/v3"
)

// toYAML writes a JSON document as YAML in block style. Order, keys and digits of numbers stay as they are.
func toYAML(doc []byte) ([]byte, error) {
	var root yaml.Node
	if err := yaml.Unmarshal(doc, &root); err != nil {
		return nil, err
	}
	block(&root)
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(&root); err != nil {
		return nil, err
	}
	if err := enc.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// block takes away the style of JSON; the encoder quotes what needs quotes.
func block(n *yaml.Node) {
	n.Style = 0
	for _, c := range n.Content {
		block(c)
	}
}
