package catalogue_test

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/catalogue"
)

// plainly is the distance of Damerau and Levenshtein in its restricted form, by the whole table of its definition.
func plainly(a, b string) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		d[i][0] = i
	}
	for j := range len(b) + 1 {
		d[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}

// The nearest word is that of the whole table, whatever is skipped on the way to it.
func TestNearestIsThatOfTheWholeTable(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[ab/]{1,14}`).Draw(t, "word")
		words := rapid.SliceOf(rapid.StringMatching(`[ab/]{0,14}`)).Draw(t, "words")
		want, best := "", min((len(word)+2)/3, 3)+1
		for _, w := range words {
			if d := plainly(word, w); d < best {
				want, best = w, d
			}
		}
		got, ok := catalogue.Nearest(word, slices.Values(words))
		if got != want || ok != (best <= min((len(word)+2)/3, 3)) {
			t.Errorf("%q among %q: %q, want %q", word, words, got, want)
		}
	})
}

// BenchmarkNearest is one wrong key against a catalogue of 10,000.
func BenchmarkNearest(b *testing.B) {
	keys := make([]string, 10_000)
	for i := range keys {
		keys[i] = fmt.Sprintf("pl-%03d/counter-shaft/axial-play-%d", i%300, i)
	}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = catalogue.Nearest("pl-085/counter-shaft/axail-play-7", slices.Values(keys))
	}
}
