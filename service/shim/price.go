package shim

import "math"

// prices make scarce pieces dear, so that what a part would rather use is weighed against what the others need: a
// Lagrangian relaxation of the counts of the stock. Every choice of prices of 0 or more gives a lower bound; good ones
// give a close bound. They are used where the fields new and d decide and every option of every part is listed.
type prices struct {
	unit  int64     // what a new piece weighs against steps of deviation: more than all deviations together
	own   [][]int64 // priced cost of each option of each part
	rest  []int64   // least priced cost of the parts from one on
	spare int64     // what all priced pieces would cost together
}

// rounds is how often the prices are adjusted.
const rounds = 120

// price looks for good prices; it is nil where prices do not apply.
func (e *engine) price() *prices {
	if e.rk.aim || e.rk.goal != FewestNew || len(e.lists) < 2 {
		return nil
	}
	d := int64(1)
	for i, list := range e.lists {
		most := int64(0)
		for _, c := range list {
			most = max(most, c.tally.d)
		}
		if d += most; e.cut[i] || d > math.MaxInt64>>24 {
			return nil
		}
	}
	tag := make([]int64, len(e.p.kinds))
	var best *prices
	for round := range rounds {
		p, used := e.priced(tag, d)
		if best == nil || p.rest[0]-p.spare > best.rest[0]-best.spare {
			best = p
		}
		step := max(1, d>>1/int64(1+round))
		if round > rounds/2 {
			step = max(1, d/int64(8*(1+round)))
		}
		level := true
		for k, n := range used {
			if limit := e.p.kinds[k].cap; limit > 0 && (n > limit || n < limit && tag[k] > 0) {
				tag[k] = max(0, tag[k]+step*int64(n-limit))
				level = false
			}
		}
		if level {
			break
		}
	}
	return best
}

// priced works out the costs under the given prices, and how many of each kind the parts would use.
func (e *engine) priced(tag []int64, unit int64) (*prices, []int) {
	p := &prices{unit: unit, own: make([][]int64, len(e.lists)), rest: make([]int64, len(e.lists)+1)}
	used := make([]int, len(tag))
	for k, t := range tag {
		p.spare += t * int64(e.p.kinds[k].cap)
	}
	for i := len(e.lists) - 1; i >= 0; i-- {
		least, at := int64(math.MaxInt64), 0
		p.own[i] = make([]int64, len(e.lists[i]))
		for n, c := range e.lists[i] {
			cost := c.tally.weight(unit)
			e.each(c, func(k int) { cost += tag[k] })
			p.own[i][n] = cost
			if cost < least {
				least, at = cost, n
			}
		}
		e.each(e.lists[i][at], func(k int) { used[k]++ })
		p.rest[i] = p.rest[i+1] + least
	}
	return p, used
}

// each names the kind of every piece of an option.
func (e *engine) each(c *candidate, f func(kind int)) {
	for _, pl := range c.fills {
		for _, u := range pl.fill.uses {
			f(e.p.places[pl.at].uses[u].kind)
		}
	}
}

// weight is the new pieces and the deviation of a tally in one number.
func (t *tally) weight(unit int64) int64 { return int64(t.fresh)*unit + t.d }

// dear reports whether no options of the parts from i on can bring a choice of that priced cost into the pool.
func (e *engine) dear(i int, cost int64) bool {
	if e.prices == nil || !e.pool.full() {
		return false
	}
	w := &e.pool.worst().tally
	if w.unsure != e.tier.unsure || w.unsure && w.p != e.tier.p || w.placeOut != e.tier.placeOut || w.pastAim != e.tier.aimOut {
		return false
	}
	return cost+e.prices.rest[i]-e.prices.spare > w.weight(e.prices.unit)-e.base.weight(e.prices.unit)
}
