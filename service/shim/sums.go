package shim

import (
	"math/bits"
	"slices"
)

// sums is a set of totals of thickness. It is a row of bits over multiples of step where they are few enough, else a
// sorted list.
type sums struct {
	step int64
	bits []uint64
	list []int64
	wide bool
	room *[]int64 // for lists under way
}

// maxBits is how long a row of bits may be.
const maxBits = 1 << 17

func newSums(step, highest int64) *sums {
	s := &sums{step: step, wide: highest/step >= maxBits, room: new([]int64)}
	if !s.wide {
		s.bits = make([]uint64, highest/step/64+1)
	}
	return s
}

func (s *sums) put(v int64) {
	if s.wide {
		if i, found := slices.BinarySearch(s.list, v); !found {
			s.list = slices.Insert(s.list, i, v)
		}
		return
	}
	v /= s.step
	s.bits[v>>6] |= 1 << (v & 63)
}

// join adds every total of o, moved by that much, and says how much work it was.
func (s *sums) join(o *sums, by int64) int {
	if s.wide {
		return s.joinList(o, by)
	}
	words, shift := int(by/s.step)>>6, uint(by/s.step)&63
	for i, w := range o.bits {
		if w == 0 {
			continue
		}
		if i+words < len(s.bits) {
			s.bits[i+words] |= w << shift
		}
		if shift > 0 && i+words+1 < len(s.bits) {
			s.bits[i+words+1] |= w >> (64 - shift)
		}
	}
	return len(o.bits)/16 + 1
}

// more is join; alone says that o is nothing but 0.
func (s *sums) more(o *sums, by int64, alone bool) int {
	if !alone {
		return s.join(o, by)
	}
	s.put(by)
	return 1
}

func (s *sums) joinList(o *sums, by int64) int {
	out := slices.Grow((*s.room)[:0], len(s.list)+len(o.list))
	i, j := 0, 0
	for i < len(s.list) || j < len(o.list) {
		switch {
		case j == len(o.list) || i < len(s.list) && s.list[i] < o.list[j]+by:
			out = append(out, s.list[i])
			i++
		default:
			if i < len(s.list) && s.list[i] == o.list[j]+by {
				i++
			}
			out = append(out, o.list[j]+by)
			j++
		}
	}
	*s.room, s.list = s.list, out
	return len(out)/4 + 1
}

// has reports whether v is one of the totals.
func (s *sums) has(v int64) bool {
	if s.wide {
		_, found := slices.BinarySearch(s.list, v)
		return found
	}
	i := v / s.step
	return i*s.step == v && s.at(i)
}

// at reports whether the i-th multiple of the step is one of the totals of a row of bits.
func (s *sums) at(i int64) bool {
	return i>>6 < int64(len(s.bits)) && s.bits[i>>6]&(1<<(i&63)) != 0
}

// count is how many totals there are.
func (s *sums) count() int {
	n := len(s.list)
	for _, w := range s.bits {
		n += bits.OnesCount64(w)
	}
	return n
}

func (s *sums) empty() bool {
	for _, w := range s.bits {
		if w != 0 {
			return false
		}
	}
	return len(s.list) == 0
}

// each calls f for every total from low to high, in order, until it answers false.
func (s *sums) each(low, high int64, f func(int64) bool) {
	if s.wide {
		from, _ := slices.BinarySearch(s.list, low)
		for _, v := range s.list[from:] {
			if v > high || !f(v) {
				return
			}
		}
		return
	}
	for i := max(0, low/s.step) >> 6; i < int64(len(s.bits)); i++ {
		for w := s.bits[i]; w != 0; w &= w - 1 {
			v := (i<<6 + int64(bits.TrailingZeros64(w))) * s.step
			if v > high || v >= low && !f(v) {
				return
			}
		}
	}
}

// supply is pieces of one thickness: how many of them there are, 0 for as many as one buys.
type supply struct {
	m   int64
	cap int
}

// packs lists, for every number of pieces up to most, which totals so many pieces can have. spend is told the work; where
// it answers false, the totals found so far stand.
func packs(step, highest int64, from []supply, most int, spend func(int) bool) []*sums {
	out := make([]*sums, most+1)
	for n := range out {
		out[n] = newSums(step, highest)
		out[n].room = out[0].room
	}
	out[0].put(0)
	for _, s := range from {
		limit := most
		if s.cap > 0 {
			limit = min(limit, s.cap)
		}
		for n := most; n > 0; n-- {
			for j := 1; j <= min(limit, n); j++ {
				if !spend(out[n].more(out[n-j], int64(j)*s.m, j == n)) {
					return out
				}
			}
		}
	}
	return out
}

// freePacks is packs of what can be bought: there is as much of it as one likes.
func freePacks(step, highest int64, from []supply, most int, spend func(int) bool) []*sums {
	out := make([]*sums, most+1)
	for n := range out {
		out[n] = newSums(step, highest)
		out[n].room = out[0].room
	}
	out[0].put(0)
	for n := 1; n <= most; n++ {
		for _, s := range from {
			if !spend(out[n].more(out[n-1], s.m, n == 1)) {
				return out
			}
		}
	}
	return out
}
