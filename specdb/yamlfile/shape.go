package yamlfile

import "slices"

// Type is how the value of a key is written.
type Type string

// The types.
const (
	Text    Type = "text"    // plain text
	Names   Type = "names"   // text, or a mapping from language to text
	Slug    Type = "slug"    // lower-case name that may stand in an address
	Word    Type = "word"    // one of Words
	Number  Type = "number"  // exact decimal, never in quotes
	Whole   Type = "whole"   // whole number in [Least, Most]
	YesNo   Type = "yes_no"  // true or false
	Date    Type = "date"    // 2026-11-01
	Unit    Type = "unit"    // a unit in any accepted spelling
	SKU     Type = "sku"     // part number
	Code    Type = "code"    // snake_case word that others translate
	Mapping Type = "mapping" // of the keys of Of
)

// Field is one key that a mapping may have.
type Field struct {
	Key   string
	Type  Type
	List  bool   // a list of such values
	Need  bool   // must be there
	About string // one sentence for whoever writes the file
	Words []string
	Least int64
	Most  int64
	Of    *Shape
	// Row is the name under which every element of the list becomes a row of its own in a table; empty: it stays in
	// the row of its owner.
	Row string
}

// Shape is the keys that one kind of mapping may have, in the order in which they are written. The reader, the schema for
// editors and the tables for spreadsheets all follow it. A Shape is never changed after it is made.
type Shape struct {
	Name   string
	Fields []Field
}

// Field is the field with that key; ok is false where the shape has none.
func (s *Shape) Field(key string) (f *Field, ok bool) {
	if i := s.index(key); i >= 0 {
		return &s.Fields[i], true
	}
	return nil, false
}

func (s *Shape) index(key string) int {
	for i := range s.Fields {
		if s.Fields[i].Key == key {
			return i
		}
	}
	return -1
}

func (s *Shape) keys() []string {
	out := make([]string, len(s.Fields))
	for i, f := range s.Fields {
		out[i] = f.Key
	}
	return out
}

// without is a copy that lacks some keys and needs none.
func (s *Shape) without(name string, keys ...string) *Shape {
	out := &Shape{Name: name}
	for _, f := range s.Fields {
		if !slices.Contains(keys, f.Key) {
			f.Need = false
			out.Fields = append(out.Fields, f)
		}
	}
	return out
}

// Short forms for the tables of fields.
func text(key, about string) Field   { return Field{Key: key, Type: Text, About: about} }
func names(key, about string) Field  { return Field{Key: key, Type: Names, About: about} }
func slug(key, about string) Field   { return Field{Key: key, Type: Slug, About: about} }
func number(key, about string) Field { return Field{Key: key, Type: Number, About: about} }
func yesNo(key, about string) Field  { return Field{Key: key, Type: YesNo, About: about} }
func date(key, about string) Field   { return Field{Key: key, Type: Date, About: about} }
func sku(key, about string) Field    { return Field{Key: key, Type: SKU, About: about} }

func whole(key string, least, most int64, about string) Field {
	return Field{Key: key, Type: Whole, Least: least, Most: most, About: about}
}

func word(key, about string, words ...string) Field {
	return Field{Key: key, Type: Word, Words: words, About: about}
}

func mappingOf(key string, of *Shape, about string) Field {
	return Field{Key: key, Type: Mapping, Of: of, About: about}
}

func (f Field) list() Field { f.List = true; return f }
func (f Field) need() Field { f.Need = true; return f }
func (f Field) rows(name string) Field {
	f.List, f.Row = true, name
	return f
}
