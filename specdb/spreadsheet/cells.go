package spreadsheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"endfloat/service/spec"
	"endfloat/specdb/yamlfile"
)

// has reports whether a column of that path exists in records of a shape.
func has(s *yamlfile.Shape, path []string) bool {
	f, ok := s.Field(path[0])
	rest := path[1:]
	switch {
	case !ok || f.Row != "":
		return false
	case f.List && f.Of != nil:
		return len(rest) > 1 && index(rest[0]) > 0 && has(f.Of, rest[1:])
	case f.List:
		return len(rest) == 0
	case f.Of != nil:
		return len(rest) > 0 && has(f.Of, rest)
	case f.Type == yamlfile.Names && len(rest) == 1:
		return slices.Contains(spec.Languages[:], rest[0])
	}
	return len(rest) == 0
}

// index is a number from 1 to maxIndex, else 0.
func index(s string) int {
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 || n > maxIndex || strconv.Itoa(n) != s {
		return 0
	}
	return n
}

// set puts a cell where its column says; the path is one that has accepts.
func (r *rebuilder) set(n *yaml.Node, s *yamlfile.Shape, path []string, cell string, row, column int) {
	f, _ := s.Field(path[0])
	rest := path[1:]
	switch {
	case f.List && f.Of != nil:
		list := child(n, f.Key, yaml.SequenceNode, row, column)
		i := index(rest[0])
		if i > len(list.Content)+1 {
			r.fault(row, column, "gap_in_list", fmt.Sprintf("element %d is there and element %d is not", i, len(list.Content)+1), "fill the elements from 1 on; their columns stand in that order")
			return
		}
		if i == len(list.Content)+1 {
			list.Content = append(list.Content, &yaml.Node{Kind: yaml.MappingNode, Line: row, Column: column})
		}
		r.set(list.Content[i-1], f.Of, rest[1:], cell, row, column)
	case f.List:
		list := child(n, f.Key, yaml.SequenceNode, row, column)
		for _, w := range splitWords(cell) {
			list.Content = append(list.Content, scalar(f.Type, w, row, column))
		}
	case f.Of != nil:
		r.set(child(n, f.Key, yaml.MappingNode, row, column), f.Of, rest, cell, row, column)
	case len(rest) == 1:
		if at := yamlfile.Value(n, f.Key); at != nil && at.Kind == yaml.ScalarNode {
			r.fault(row, column, "name_twice", f.Key+" stands in a column without a language too", "keep the columns with languages")
			return
		}
		add(child(n, f.Key, yaml.MappingNode, row, column), rest[0], scalar(yamlfile.Text, cell, row, column))
	case yamlfile.Value(n, f.Key) != nil:
		r.fault(row, column, "name_twice", f.Key+" stands in columns with languages too", "keep the columns with languages")
	default:
		add(n, f.Key, scalar(f.Type, cell, row, column))
	}
}

func add(n *yaml.Node, key string, v *yaml.Node) {
	n.Content = append(n.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: key, Line: v.Line, Column: v.Column}, v)
}

// child is the value of a key, made where it is missing.
func child(n *yaml.Node, key string, kind yaml.Kind, row, column int) *yaml.Node {
	if v := yamlfile.Value(n, key); v != nil {
		return v
	}
	v := &yaml.Node{Kind: kind, Line: row, Column: column}
	add(n, key, v)
	return v
}

// scalar is a cell as the file would have it. Programs that write tables show truth as TRUE and dates as days since
// 1899-12-30; both are read.
func scalar(t yamlfile.Type, cell string, row, column int) *yaml.Node {
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: cell, Line: row, Column: column}
	switch t {
	case yamlfile.Number, yamlfile.Whole:
		n.Tag = ""
		n.Value = strings.TrimPrefix(cell, "'")
	case yamlfile.YesNo:
		n.Tag = ""
		switch strings.ToLower(cell) {
		case "true", "1", "yes":
			n.Value = "true"
		case "false", "0", "no":
			n.Value = "false"
		}
	case yamlfile.Date:
		n.Tag = ""
		if days, err := strconv.Atoi(cell); err == nil && days > 20_000 && days < 100_000 {
			n.Value = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, days).Format(time.DateOnly)
		}
	}
	return n
}
