package catalogue

import (
	"iter"
	"strings"

	"endfloat/service/spec"
)

// Bounds of a search for the nearest word.
const (
	nearWord = 80    // longest word that is compared, in bytes
	nearMany = 10000 // most words compared
)

// Nearest is the word that a slip of the hand would turn into the one given: the fewest letters added, dropped,
// changed or exchanged with their neighbour, at most a third of them and at most three; of equals the first. Capitals and
// small letters are alike. It looks at 10,000 words.
func Nearest(word string, words iter.Seq[string]) (nearest string, ok bool) {
	if len(word) == 0 || len(word) > nearWord {
		return "", false
	}
	word = strings.ToLower(word)
	best, seen := min((len(word)+2)/3, 3)+1, 0
	for w := range words {
		if seen++; seen > nearMany {
			break
		}
		if len(w) > nearWord || max(len(w)-len(word), len(word)-len(w)) >= best {
			continue
		}
		if d := slips(word, strings.ToLower(w), best-1); d < best {
			best, nearest, ok = d, w, true
		}
	}
	return nearest, ok
}

// slips is the distance of Damerau and Levenshtein in its restricted form, over bytes, where it is at most most; else it
// is more than that. What both words begin and end with costs nothing, and of the table only the cells near its diagonal
// are filled: keys of a catalogue begin alike, and a batch of wrong ones is held against all of them.
func slips(a, b string, most int) int {
	for a != "" && b != "" && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for a != "" && b != "" && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	if a == "" || b == "" {
		return len(a) + len(b)
	}
	var rows [3][nearWord + 2]int
	before, last, now := &rows[0], &rows[1], &rows[2]
	for j := range min(len(b), most) + 1 {
		last[j] = j
	}
	least := 0 // of the row before
	for i := 1; i <= len(a); i++ {
		from, to := max(1, i-most), min(len(b), i+most)
		now[from-1] = most + 1
		if from == 1 {
			now[0] = i
		}
		if to == i+most {
			last[to] = most + 1 // beyond the cells of the row before
		}
		nearest := now[from-1]
		for j := from; j <= to; j++ {
			d := last[j-1]
			if a[i-1] != b[j-1] {
				d = min(d, last[j], now[j-1]) + 1
				if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
					d = min(d, before[j-2]+1)
				}
			}
			now[j], nearest = d, min(nearest, d)
		}
		if nearest > most && least >= most {
			return most + 1
		}
		before, last, now, least = last, now, before, nearest
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
