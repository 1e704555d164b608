package face

import (
	"slices"
	"strings"

	"endfloat/service/judge"
)

// axis is the words of one field of a result, with the beginnings under which their texts stand, the first that has one.
type axis struct {
	name  string
	under []string
	words []string // none: all that stand there
}

func axes() []axis {
	return []axis{
		{"verdict", []string{"verdict_"}, []string{string(judge.Pass), string(judge.ConditionalPass), string(judge.ConditionalFail), string(judge.Fail), string(judge.NotJudged)}},
		{"undecided_because", []string{"because_"}, nil},
		{"basis", []string{"word_basis_", "because_"}, []string{string(judge.Measured), string(judge.Estimated), string(judge.Derived),
			string(judge.BelowGauge), string(judge.AboveGauge), string(judge.Missing), string(judge.Implausible)}},
		{"position", []string{"word_position_"}, nil},
		{"action", []string{"action_"}, nil},
		{"source_class", []string{"source_"}, []string{"maker", "bulletin", "standard", "shop_measured", "generic", "caller", "demo"}},
	}
}

// words are the words of an axis with what each means.
func (h Handlers) words(lang string, a axis) []Code {
	names := a.words
	if names == nil {
		for _, code := range h.book.Codes() {
			if word, is := strings.CutPrefix(code, a.under[0]); is {
				names = append(names, word)
			}
		}
	}
	var out []Code
	for _, word := range names {
		at := slices.IndexFunc(a.under, func(under string) bool { return h.book.Has(under + word) })
		text, params := h.book.Template(lang, a.under[max(at, 0)]+word)
		out = append(out, Code{Code: word, Kind: kindNote, Axis: a.name, Text: text, Params: params})
	}
	return out
}
