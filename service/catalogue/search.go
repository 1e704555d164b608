package catalogue

import (
	"runtime"
	"slices"
	"strings"
	"sync"
	"unicode"

	"endfloat/service/spec"
)

// slipLength is the least length of a word, in letters, in which one slip of typing is overlooked.
const slipLength = 5

// index finds documents by their words. It is built at the first search and safe for concurrent use.
type index struct {
	once  sync.Once
	words []string  // folded, each once, sorted
	in    [][]int32 // documents that have the word, ascending
}

// remembered bounds the texts whose words are kept while an index is built: most texts of a big catalogue come again.
const remembered = 1 << 16

// gentle is after how many documents the building of an index lets others go first.
const gentle = 64

// build collects the words of n documents.
func (x *index) build(n int, texts func(i int, add func(string))) {
	by := map[string]int{} // word → its place in lists
	var lists [][]int32
	known := map[string][]int{} // text → places of its words
	for i := range n {
		if i%gentle == gentle-1 {
			runtime.Gosched() // whoever waits for an answer goes first
		}
		texts(i, func(text string) {
			places, again := known[text]
			if !again {
				for w := range strings.FieldsFuncSeq(Fold(text), splits) {
					p, was := by[w]
					if !was {
						p = len(lists)
						by[w], lists = p, append(lists, nil)
					}
					places = append(places, p)
				}
				if len(known) < remembered {
					known[text] = places
				}
			}
			for _, p := range places {
				if list := lists[p]; len(list) == 0 || list[len(list)-1] != int32(i) {
					lists[p] = append(list, int32(i))
				}
			}
		})
	}
	x.words = make([]string, 0, len(by))
	for w := range by {
		x.words = append(x.words, w)
	}
	slices.Sort(x.words)
	x.in = make([][]int32, len(x.words))
	for i, w := range x.words {
		x.in[i] = append(make([]int32, 0, len(lists[by[w]])), lists[by[w]]...) // no more than it needs
		lists[by[w]] = nil
	}
}

func splits(r rune) bool { return unicode.IsSpace(r) || r == '/' || r == ',' }

// Hits says which of a list were found.
type Hits struct {
	bits []uint64
	all  bool
}

// Has reports whether the one at place i was found.
func (h Hits) Has(i int) bool {
	return h.all || i/64 < len(h.bits) && h.bits[i/64]&(1<<(i%64)) != 0
}

// find lists the documents that every word of q fits: all where q has none. A word fits where it stands in one of the
// words there are or, from five letters on, is one slip away from one of them.
func (x *index) find(q string, n int) Hits {
	asked := strings.FieldsFunc(Fold(q), splits)
	if len(asked) == 0 {
		return Hits{all: true}
	}
	var found []uint64
	for k, a := range asked {
		one := make([]uint64, (n+63)/64)
		slip := len([]rune(a)) >= slipLength
		for i, w := range x.words {
			if strings.Contains(w, a) || slip && oneSlip(w, a) {
				for _, d := range x.in[i] {
					one[d/64] |= 1 << (d % 64)
				}
			}
		}
		if k == 0 {
			found = one
			continue
		}
		for i := range found {
			found[i] &= one[i]
		}
	}
	return Hits{bits: found}
}

// FindSpecs finds specs by words of their keys, kinds and threads, of the names of spec, component and family in every
// language, and of maker and aliases. Hits count as SpecKeys does.
func (r *Revision) FindSpecs(q string) Hits {
	r.specWords.once.Do(func() {
		r.specWords.build(len(r.keys), func(i int, add func(string)) {
			s := r.entry(r.keys[i]).Base
			add(string(s.Key))
			add(string(s.Kind))
			if s.Fastener != nil {
				add(s.Fastener.Thread)
			}
			addAll(add, s.Name, s.ComponentName, s.FamilyName)
			if f, ok := r.FamilyOf(s.Key); ok {
				add(f.Maker)
				add(strings.Join(f.Aliases, " "))
			}
		})
	})
	return r.specWords.find(q, len(r.keys))
}

// Warm makes the index of specs before somebody searches, which takes a second or two for a million of them.
func (r *Revision) Warm() { r.FindSpecs("warm") }

// Cooled is the revision without the index of its specs, which is made again when somebody searches: for one that is
// kept and hardly asked.
func (r *Revision) Cooled() *Revision {
	c := *r
	c.specWords = &index{}
	return &c
}

// FindFamilies lists the families that fit, by key: by words of their keys, makers, aliases, names and descriptions.
func (r *Revision) FindFamilies(q string) []*Family {
	r.familyWords.once.Do(func() {
		r.familyWords.build(len(r.Families), func(i int, add func(string)) {
			f := r.Families[i]
			add(f.Key)
			add(f.Maker)
			add(strings.Join(f.Aliases, " "))
			addAll(add, f.Name, f.Description)
		})
	})
	hits := r.familyWords.find(q, len(r.Families))
	if hits.all {
		return r.Families
	}
	var list []*Family
	for i, f := range r.Families {
		if hits.Has(i) {
			list = append(list, f)
		}
	}
	return list
}

func addAll(add func(string), texts ...spec.Text) {
	for _, t := range texts {
		for _, s := range t.All() {
			add(s)
		}
	}
}

// oneSlip reports whether one letter added, dropped, changed or exchanged with its neighbour turns a into b.
func oneSlip(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	if i == len(a) || a[i+1:] == b[i+1:] {
		return true
	}
	return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}
