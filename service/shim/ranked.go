package shim

import (
	"math/bits"
	"slices"
)

// ranked lists the choices of a board in order of cost, each with other marks, as many as are asked for: K. G. Murty, An
// algorithm for ranking all the assignments in order of increasing cost, Operations Research 16 (1968). What is left
// after one choice is split by the first row in which a choice differs from it. Flags that some row has to have are split
// by the first row that has them, once a choice comes up without.
type ranked struct {
	b    *board
	need uint8
	open []*picks // a heap
	done []*picks
	last *picks // of those that are done, while what is left after it is not split
}

func newRanked(b *board, need uint8) *ranked {
	l := &ranked{b: b, need: need}
	if s, ok := b.best(); ok {
		l.push(s)
	}
	return l
}

// nth is the n-th choice, from 0; nil where there are not so many or the work was used up.
func (l *ranked) nth(n int) *picks {
	for len(l.done) <= n {
		if l.last != nil { // put off until another choice is asked for: often the first one will do
			l.others(l.last)
			l.last = nil
		}
		s := l.pop()
		if s == nil {
			return nil
		}
		if lacks := l.need &^ l.flags(s); lacks != 0 {
			l.withFlag(s, 1<<bits.TrailingZeros8(lacks))
			continue
		}
		l.done, l.last = append(l.done, s), s
	}
	return l.done[n]
}

func (l *ranked) flags(s *picks) (f uint8) {
	for r, a := range s.arc {
		f |= l.b.arcs[r][a].flags
	}
	return f
}

// others splits what is left after a choice.
func (l *ranked) others(s *picks) {
	rules := slices.Clone(s.rule)
	for r, a := range s.arc {
		mark := l.b.arcs[r][a].mark
		if rules[r].only != mark {
			child := &picks{slices.Clone(s.arc), slices.Clone(s.sum), slices.Clone(rules)}
			child.rule[r].not = append(slices.Clip(child.rule[r].not), mark)
			if l.b.place(child, r) {
				l.push(child)
			}
		}
		rules[r].only = mark
	}
}

// withFlag splits a choice in which no row has the flag.
func (l *ranked) withFlag(s *picks, flag uint8) {
	rules := slices.Clone(s.rule)
	for r := range s.arc {
		child := &picks{slices.Clone(s.arc), slices.Clone(s.sum), slices.Clone(rules)}
		child.rule[r].must |= flag
		if l.b.place(child, r) {
			l.push(child)
		}
		rules[r].never |= flag
	}
}

func (l *ranked) push(s *picks) {
	l.open = append(l.open, s)
	for i := len(l.open) - 1; i > 0; {
		up := (i - 1) / 2
		if slices.Compare(l.open[up].sum, l.open[i].sum) <= 0 {
			return
		}
		l.open[up], l.open[i] = l.open[i], l.open[up]
		i = up
	}
}

func (l *ranked) pop() *picks {
	if len(l.open) == 0 {
		return nil
	}
	first, last := l.open[0], len(l.open)-1
	l.open[0] = l.open[last]
	l.open = l.open[:last]
	for i := 0; ; {
		least := i
		for _, c := range [...]int{2*i + 1, 2*i + 2} {
			if c < last && slices.Compare(l.open[c].sum, l.open[least].sum) < 0 {
				least = c
			}
		}
		if least == i {
			return first
		}
		l.open[i], l.open[least] = l.open[least], l.open[i]
		i = least
	}
}
