package catalogue

import (
	"iter"

	"endfloat/service/spec"
)

// Bounds of a search for the nearest word.
const (
	nearWord = 80    // longest word that is compared, in bytes
	nearMany = 10000 // most words compared
)

// Nearest is the word that a slip of the hand would turn into the one given: the fewest letters added, dropped,
// changed or exchanged with their neighbour, at most a third of them and at most three; of equals the first. It looks at
// 10,000 words.
func Nearest(word string, words iter.Seq[string]) (nearest string, ok bool) {
	if len(word) == 0 || len(word) > nearWord {
		return "", false
	}
	best, seen := min((len(word)+2)/3, 3)+1, 0
	for w := range words {
		if seen++; seen > nearMany {
			break
		}
		if len(w) > nearWord || max(len(w)-len(word), len(word)-len(w)) >= best {
			continue
		}
		if d := slips(word, w); d < best {
			best, nearest, ok = d, w, true
		}
	}
	return nearest, ok
}

// slips is the distance of Damerau and Levenshtein in its restricted form, over bytes.
func slips(a, b string) int {
	var rows [3][nearWord + 1]int
	before, last, now := &rows[0], &rows[1], &rows[2]
	for j := range len(b) + 1 {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		now[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			now[j] = min(last[j]+1, now[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
		}
		before, last, now = last, now, before
	}
	return last[len(b)]
}

// NearestFamily is the key of a family that was perhaps meant.
func (r *Revision) NearestFamily(key string) (string, bool) {
	return Nearest(key, func(yield func(string) bool) {
		for _, f := range r.Families {
			if !yield(f.Key) {
				return
			}
		}
	})
}

// NearestComponent is the key within the family of a component that was perhaps meant.
func (f *Family) NearestComponent(key string) (string, bool) {
	return Nearest(key, func(yield func(string) bool) {
		for _, c := range f.Components {
			if !yield(c.Key) {
				return
			}
		}
	})
}

// NearestSpec is the whole key of a spec that was perhaps meant: within its family where that is known.
func (r *Revision) NearestSpec(key spec.Key) (string, bool) {
	return Nearest(string(key), func(yield func(string) bool) {
		for _, k := range r.keys {
			if !yield(string(k)) {
				return
			}
		}
	})
}

// NearestShims is the whole key of a shim set of the family that was perhaps meant.
func (f *Family) NearestShims(key spec.Key) (string, bool) {
	return Nearest(string(key), func(yield func(string) bool) {
		for _, c := range f.Components {
			for _, e := range c.Shims {
				if !yield(string(e.Base.Key)) {
					return
				}
			}
		}
	})
}
