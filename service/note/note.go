// Package note is what the service says beside a result: a stable code with typed parameters, never a sentence.
//
// Sentences in five languages belong to whoever shows the note. A parameter is a finished string, so that no
// formatter can change its digits, with its unit beside it.
//
//	note.New("uneven_places", note.Qty("spread", d, unit), note.Qty("allowed", max, unit))
package note

import (
	"strconv"
	"strings"

	"endfloat/service/quantity"
)

// Param is one named value of a note.
type Param struct {
	Name  string
	Value string
	Unit  quantity.Unit // empty: no unit
}

// Note is a code with its parameters, in a fixed order.
type Note struct {
	Code   string
	Params []Param
}

// New is a note.
func New(code string, params ...Param) Note { return Note{code, params} }

// Qty is a parameter with a unit.
func Qty(name string, d quantity.Decimal, u quantity.Unit) Param { return Param{name, d.String(), u} }

// Str is a parameter that is a word, a key or a code.
func Str(name, value string) Param { return Param{Name: name, Value: value} }

// Count is a parameter that is a whole number.
func Count(name string, n int) Param { return Param{Name: name, Value: strconv.Itoa(n)} }

// Percent is an estimated share as whole percent, capped at >99 and <1 as estimates are.
func Percent(name string, share float64) Param {
	p := int(share*100 + 0.5)
	switch {
	case p > 99 || share > 0.99:
		return Param{Name: name, Value: ">99", Unit: "%"}
	case p < 1 || share < 0.01:
		return Param{Name: name, Value: "<1", Unit: "%"}
	}
	return Param{Name: name, Value: strconv.Itoa(p), Unit: "%"}
}

// Part is a share that is known, as whole percent: all of it is 100 %, and less never looks like it.
func Part(name string, share float64) Param {
	if share >= 1 {
		return Param{Name: name, Value: "100", Unit: "%"}
	}
	return Percent(name, share)
}

// String is the code with its values, for logs.
func (n Note) String() string {
	var b strings.Builder
	b.WriteString(n.Code)
	for _, p := range n.Params {
		b.WriteString(" " + p.Name + "=" + p.Value + string(p.Unit))
	}
	return b.String()
}

// Get is the value of a parameter, empty where it is missing.
func (n Note) Get(name string) string {
	for _, p := range n.Params {
		if p.Name == name {
			return p.Value
		}
	}
	return ""
}
