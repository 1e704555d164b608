package face

import (
	"slices"
	"strings"

	"endfloat/service/judge"
)

// Kinds of words: the axes of a result.
const (
	kindVerdict  = "verdict"
	kindBecause  = "undecided_because"
	kindBasis    = "basis"
	kindPosition = "position"
	kindAction   = "action"
	kindSource   = "source_class"
)

// axis is the words of one field of a result, with the beginnings under which their texts stand, the first that has one.
type axis struct {
	kind  string
	under []string
	words []string // none: all that stand there
}

func axes() []axis {
	return []axis{
		{kindVerdict, []string{"verdict_"}, []string{string(judge.Pass), string(judge.ConditionalPass), string(judge.ConditionalFail), string(judge.Fail), string(judge.NotJudged)}},
		{kindBecause, []string{"because_"}, nil},
		{kindBasis, []string{"word_basis_", "because_"}, []string{string(judge.Measured), string(judge.Estimated), string(judge.Derived),
			string(judge.BelowGauge), string(judge.AboveGauge), string(judge.Missing), string(judge.Implausible)}},
		{kindPosition, []string{"word_position_"}, nil},
		{kindAction, []string{"action_"}, nil},
		{kindSource, []string{"source_"}, []string{"maker", "bulletin", "standard", "shop_measured", "generic", "caller", "demo"}},
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
	for _, name := range names {
		at := slices.IndexFunc(a.under, func(under string) bool { return h.book.Has(under + name) })
		text, params := h.book.Template(lang, a.under[max(at, 0)]+name)
		out = append(out, Code{Code: name, Kind: a.kind, Text: text, Params: params})
	}
	return out
}
