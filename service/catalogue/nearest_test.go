package catalogue_test

import (
	"slices"
	"strings"
	"testing"

	"endfloat/service/catalogue"
)

func TestNearest(t *testing.T) {
	t.Parallel()
	words := []string{"axial-play", "key-bolt", "head-nuts", "bore", "QL-SH-120", "QL-SH-125"}
	for _, row := range []struct{ name, word, want string }{
		{"one letter dropped", "axial-pla", "axial-play"},
		{"two letters exchanged", "axail-play", "axial-play"},
		{"one letter changed", "bare", "bore"},
		{"another case and hyphen", "Axial_Play", "axial-play"},
		{"capitals alone", "BORE", "bore"},
		{"capitals beside a nearer word of other letters", "HEAD-NUTS-1", "head-nuts"},
		{"small letters for capitals", "ql-sh-125", "QL-SH-125"},
		{"small letters and a slip", "ql-sh-152", "QL-SH-125"},
		{"far from all", "camshaft", ""},
		{"nothing", "", ""},
		{"too long to compare", strings.Repeat("a", 500), ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if got, ok := catalogue.Nearest(row.word, slices.Values(words)); got != row.want || ok != (row.want != "") {
				t.Errorf("%q", got)
			}
		})
	}
}
