package catalogue

import (
	"slices"
	"strconv"
	"strings"

	"endfloat/service/note"
)

// run is a serial range with the variant it belongs to.
type run struct {
	SerialRange
	family  *Family
	variant *Variant
}

// params are the ends of a run as parameters of a note.
func (r run) params() []note.Param {
	to := ""
	if r.To != 0 {
		to = strconv.FormatUint(r.To, 10)
	}
	return []note.Param{note.Str("prefix", r.Prefix), note.Str("from", strconv.FormatUint(r.From, 10)), note.Str("to", to)}
}

// indexPrefixes sorts the runs of all families by their normalised prefix, longest prefix first.
func (r *Revision) indexPrefixes() {
	for _, f := range r.Families {
		for i := range f.Variants {
			for _, s := range f.Variants[i].Ranges {
				p := Normalise(s.Prefix)
				if r.prefixes[p] == nil {
					r.prefixOrder = append(r.prefixOrder, p)
				}
				r.prefixes[p] = append(r.prefixes[p], run{s, f, &f.Variants[i]})
				r.longest = max(r.longest, len(p))
			}
		}
	}
	slices.SortFunc(r.prefixOrder, func(a, b string) int {
		if len(a) != len(b) {
			return len(b) - len(a)
		}
		return strings.Compare(a, b)
	})
}
