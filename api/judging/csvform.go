package judging

import (
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/note"
)

// form is how a table is written: what stands between its cells and what marks its decimals.
type form struct {
	delimiter rune
	comma     bool // decimal comma
}

// formOf reads the declared form; nothing is guessed from the cells.
func formOf(r *rim.Request) (form, error) {
	f := form{delimiter: ','}
	switch word := r.One("delimiter"); word {
	case "", "comma":
	case "semicolon":
		f.delimiter = ';'
	case "tab":
		f.delimiter = '\t'
	default:
		return f, badForm("delimiter", word, "comma", "semicolon", "tab")
	}
	switch word := r.One("decimal"); word {
	case "", "point":
	case "comma":
		f.comma = true
	default:
		return f, badForm("decimal", word, "point", "comma")
	}
	return f, nil
}

func badForm(name, word string, words ...string) error {
	return rim.BadParameter(name, "bad_parameter", note.New("found_none_words_takes", note.Str("word", rim.Quote(word)), note.Str("name", name)), note.New("fix_send_one_of", note.Str("list", strings.Join(words, ", "))))
}

// number is a cell as a JSON number would be written. ok is false where the cell has the mark that was not declared.
func (f form) number(cell string) (text string, ok bool) {
	if !f.comma {
		return cell, true
	}
	return strings.Replace(cell, ",", ".", 1), !strings.Contains(cell, ".")
}

// show is an exact number as a cell.
func (f form) show(d wire.Decimal) string {
	if d.IsZero() {
		return ""
	}
	s := d.Quantity().String()
	if f.comma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// column is one of the columns that a table of checks may have.
type column int

// The columns. Those from columnKind on make a caller's own spec.
const (
	columnID column = iota
	columnSpec
	columnVariant
	columnEngineNumber
	columnStage
	columnPart
	columnHow
	columnUnit
	columnReading1
	columnReading2
	columnReading3
	columnReading4
	columnReading5
	columnReading6
	columnReading7
	columnReading8
	columnInstrument
	columnStandardUncertainty
	columnAccuracy
	columnAccuracyPercent
	columnKind
	columnSpecUnit
	columnLower
	columnUpper
	columnTarget
	columnTargetPolicy
	columnWearLower
	columnWearUpper
	columnPlausibleLower
	columnPlausibleUpper
	columns
)

// inColumns are their names, each at its number.
var inColumns = []string{"id", "spec", "variant", "engine_number", "stage", "part", "how", "unit",
	"reading_1", "reading_2", "reading_3", "reading_4", "reading_5", "reading_6", "reading_7", "reading_8",
	"instrument", "standard_uncertainty", "accuracy", "accuracy_percent",
	"kind", "spec_unit", "lower", "upper", "target", "target_policy", "wear_lower", "wear_upper", "plausible_lower", "plausible_upper"}

// places are where the columns of a table stand.
type places struct {
	cell    [columns]int // of a row; -1: nowhere
	width   int
	last    string // name of the last
	ownSpec bool   // some make a spec
}

// columnOf is the column that a place in a check came from.
func (r *row) columnOf(pointer string) string {
	_, rest, _ := strings.Cut(strings.TrimPrefix(pointer, "/checks/"), "/")
	if tail, found := strings.CutPrefix(rest, "readings/"); found {
		index, _, _ := strings.Cut(tail, "/")
		for i, column := range r.readings {
			if index == itoa(i) {
				return column
			}
		}
		return inColumns[columnReading1]
	}
	for _, m := range [...]struct{ pointer, column string }{
		{"caller_spec/kind", "kind"}, {"caller_spec/unit", "spec_unit"}, {"caller_spec/band/upper", "upper"}, {"caller_spec/band", "lower"},
		{"caller_spec/target_policy", "target_policy"}, {"caller_spec/target", "target"}, {"caller_spec/wear_limit/upper", "wear_upper"},
		{"caller_spec/wear_limit", "wear_lower"}, {"caller_spec/plausible/upper", "plausible_upper"}, {"caller_spec/plausible", "plausible_lower"},
		{"caller_spec", "lower"}, {"instrument/standard_uncertainty", "standard_uncertainty"}, {"instrument/accuracy_percent", "accuracy_percent"},
		{"instrument/accuracy", "accuracy"}, {"instrument", "instrument"}, {"readings", inColumns[columnReading1]},
	} {
		if rest == m.pointer || strings.HasPrefix(rest, m.pointer+"/") {
			if m.column == "spec_unit" && r.oneUnit {
				return "unit"
			}
			return m.column
		}
	}
	if slices.Contains(inColumns, rest) {
		return rest
	}
	return "spec"
}
