package shim

import (
	"math"
	"slices"
)

// miss is a choice of totals outside the limits that lies near them.
type miss struct {
	part   *part
	rows   []*row
	sums   []int64
	amount int64
	found  bool
}

// neighbours are the nearest misses: too tight, too loose, and inside the band but past the offset limit.
type neighbours struct {
	tight, loose, aside miss
}

// nearNodes bounds the look round for near misses, which are shown for orientation only.
const nearNodes = 200_000

// near looks round the first part that has nothing inside, or the first that has specs. far looks as far as pieces go,
// else as far as the widest gap between two thicknesses.
func (s *solver) near(far bool) *neighbours {
	n := &neighbours{}
	if pt := s.stuck(far); pt != nil {
		n.tight.part, n.loose.part, n.aside.part = pt, pt, pt
		l := looker{p: s.p, part: pt, out: n, left: nearNodes, wide: pt.around}
		if far || l.wide == nil {
			l.wide = s.p.wide(pt, far)
		}
		l.rows = make([]*row, len(pt.places))
		l.sums = make([][]int64, len(pt.places)+1)
		for i := range l.sums {
			l.sums[i] = make([]int64, len(pt.bounds))
		}
		l.walk(0)
	}
	return n
}

// stuck is the first part in which nothing lies within the limits, else the first with a spec.
func (s *solver) stuck(far bool) *part {
	var first *part
	for _, pt := range s.parts {
		if len(pt.gauges) == 0 {
			continue
		}
		if first == nil {
			first = pt
		}
		if !far || len(s.parts) == 1 {
			break
		}
		q := &pool{p: s.p, size: 1}
		one := search{p: s.p, part: pt, rk: ranker{goal: s.p.goal, flat: true}, pool: q, start: tally{p: certain}, keep: filter{least: math.MinInt64}}
		if one.run(); len(q.items) == 0 {
			return pt
		}
	}
	return first
}

// wide are tables of totals in and round the windows.
func (p *problem) wide(pt *part, far bool) []*table {
	windows := make([][2]int64, len(pt.places))
	for n := range windows {
		windows[n] = [2]int64{0, math.MaxInt64 / 4}
	}
	if !far {
		wider := &part{places: pt.places, gauges: pt.gauges}
		for b := range pt.bounds {
			bd := pt.bounds[b]
			for n, k := range bd.k {
				gap := max(k, -k) * p.gap(pt.places[n])
				bd.from, bd.to = bd.from-gap, bd.to+gap
			}
			wider.bounds = append(wider.bounds, bd)
		}
		p.narrow(wider)
		windows = wider.windows
	}
	var out []*table
	for n, i := range pt.places {
		out = append(out, p.build(i, windows[n][0], windows[n][1]))
	}
	return out
}

// gap is the widest step between two thicknesses that a place can use.
func (p *problem) gap(i int) int64 {
	sizes := make([]int64, 0, len(p.places[i].uses))
	for _, u := range p.places[i].uses {
		sizes = append(sizes, u.m)
	}
	slices.Sort(sizes)
	widest := int64(0)
	for n := 1; n < len(sizes); n++ {
		widest = max(widest, sizes[n]-sizes[n-1])
	}
	return widest
}

type looker struct {
	p    *problem
	part *part
	out  *neighbours
	left int
	wide []*table
	rows []*row
	sums [][]int64
	edge []int // of the last place, used again and again
}

func (l *looker) walk(depth int) {
	if depth == len(l.rows) {
		l.judge(l.sums[depth])
		return
	}
	old := l.p.places[l.part.places[depth]].old
	t := l.wide[depth]
	each := func(i int) {
		r := &t.rows[i]
		for b := range l.part.bounds {
			l.sums[depth+1][b] = l.sums[depth][b] + l.part.bounds[b].k[depth]*(r.t-old)
		}
		l.rows[depth] = r
		l.walk(depth + 1)
	}
	if depth < len(l.rows)-1 {
		for i := range t.rows {
			if l.left--; l.left < 0 {
				return
			}
			each(i)
		}
		return
	}
	for _, i := range l.edges(t, depth, old) {
		l.left--
		each(i)
	}
}

// edges are the rows of the last place on either side of every limit, in order.
func (l *looker) edges(t *table, depth int, old int64) []int {
	out := l.edge[:0]
	for b := range l.part.bounds {
		bd := &l.part.bounds[b]
		if bd.k[depth] == 0 {
			continue
		}
		w := [2]int64{math.MinInt64 / 4, math.MaxInt64 / 4}
		bd.cut(depth, bd.from-l.sums[depth][b], bd.to-l.sums[depth][b], old, &w)
		from, to := t.rowsIn(w)
		for _, i := range [...]int{from - 1, from, to - 1, to} {
			if i >= 0 && i < len(t.rows) && !slices.Contains(out, i) {
				out = append(out, i)
			}
		}
	}
	slices.Sort(out)
	l.edge = out
	return out
}

// judge sorts a choice of totals into what it misses by.
func (l *looker) judge(sums []int64) {
	var below, above, aside int64
	for b := range l.part.bounds {
		bd := &l.part.bounds[b]
		under, over := max(0, bd.from-sums[b]), max(0, sums[b]-bd.to)
		if b >= len(l.part.gauges) {
			aside += under + over
			continue
		}
		below, above = below+under, above+over
	}
	switch {
	case below+above == 0 && aside > 0:
		l.keep(&l.out.aside, aside, sums)
	case aside > 0 || below+above == 0:
	case below >= above:
		l.keep(&l.out.tight, below+above, sums)
	default:
		l.keep(&l.out.loose, below+above, sums)
	}
}

func (l *looker) keep(m *miss, amount int64, sums []int64) {
	if m.found && (amount > m.amount || amount == m.amount && !l.simpler(m.rows)) {
		return
	}
	m.found, m.amount, m.rows, m.sums = true, amount, slices.Clone(l.rows), slices.Clone(sums)
}

// simpler reports whether the rows at hand need fewer new pieces, or fewer pieces, than those.
func (l *looker) simpler(than []*row) bool {
	var fresh, pieces int
	for i, r := range l.rows {
		fresh, pieces = fresh+r.fresh-than[i].fresh, pieces+r.pieces-than[i].pieces
	}
	return fresh < 0 || fresh == 0 && pieces < 0
}

// filled is a miss with its pieces; nil where there is none or its pieces are not all there.
func (m *miss) filled(p *problem, kept bool) *candidate {
	if !m.found {
		return nil
	}
	q := &pool{p: p, size: 1}
	s := search{p: p, part: m.part, rk: ranker{goal: p.goal, flat: true}, pool: q, start: tally{p: certain}, whole: !kept, keep: filter{least: math.MinInt64}}
	s.used = make([]int, len(p.kinds))
	s.heap, s.sums = &vectors{}, make([]int64, len(m.part.bounds))
	t := tally{p: certain}
	s.add(&t, m.sums, m.rows)
	for _, r := range m.rows {
		t.fresh, t.pieces = t.fresh+r.fresh, t.pieces+r.pieces
	}
	s.push(m.rows, &t)
	s.flush()
	if len(q.items) == 0 {
		return nil
	}
	return q.items[0]
}

// nearest shows the misses on either side.
func (n *neighbours) nearest(p *problem) (tight, loose *Option) {
	show := func(m *miss) *Option {
		if c := m.filled(p, true); c != nil {
			return p.present(c)
		}
		return nil
	}
	return show(&n.tight), show(&n.loose)
}

// rejected shows the near misses that are not what is fitted now, with what they miss.
func (p *problem) rejected(n *neighbours) []Option {
	var out []Option
	for _, m := range []*miss{&n.tight, &n.loose, &n.aside} {
		c := m.filled(p, false)
		if c == nil {
			continue
		}
		o := p.present(c)
		o.Why = p.whyRejected(o)
		out = append(out, *o)
	}
	return out
}
