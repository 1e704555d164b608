package catalogue_test

import (
	"slices"
	"strings"
	"testing"

	"endfloat/service/catalogue"
)

func TestNearest(t *testing.T) {
	t.Parallel()
	words := []string{"axial-play", "key-bolt", "head-nuts", "bore"}
	for _, row := range []struct{ name, word, want string }{
		{"one letter dropped", "axial-pla", "axial-play"},
		{"two letters exchanged", "axail-play", "axial-play"},
		{"one letter changed", "bare", "bore"},
		{"another case and hyphen", "Axial_Play", "axial-play"},
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
