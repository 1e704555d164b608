package quota

import "time"

// account is what is known of a caller; times are those of its table. Where nothing is shared there is free alone.
type account struct {
	free time.Duration // when the debt has run off that the shared count was told of, or told of itself
	sent time.Duration // part of that debt which is under way to the shared count
	lost time.Duration // part of that debt of which nobody knows whether it arrived
	own  time.Duration // debt besides that this service let grow and has told nobody of
	at   time.Duration // when own was right
	due  bool          // own waits to be sent
}

// mostDebt is how many windows a debt may reach, over the limit and all.
const mostDebt = 2

// settle lets run off what has run off by now, of own as much as is the part of one of n services, and gives the debt
// that all know. What is left of a longer window is put right.
func (a *account) settle(now, window time.Duration, n int) (debt time.Duration) {
	a.free = min(a.free, now+mostDebt*window)
	if idle := now - max(a.free, a.at); idle > 0 {
		a.own = max(0, a.own-idle/time.Duration(n))
	}
	a.at = now
	debt = max(a.free-now, 0)
	a.lost = min(a.lost, debt)
	return debt
}

// unsure is what this service let through and the shared count has not confirmed.
func (a *account) unsure() time.Duration { return a.own + a.sent + a.lost }

// owe adds to what nobody has been told of; queue says that the account waits to be sent from now on.
func (a *account) owe(span time.Duration) (queue bool) {
	queue = !a.due
	a.own, a.due = a.own+span, true
	return queue
}

// send moves what nobody else knows to what was sent: from then on it counts as known, whether the word arrives or not,
// since what is known is sent along with every later word as the least that there is.
func (a *account) send(now time.Duration) (least, owed time.Duration) {
	least, owed = max(a.free-now, 0), a.own
	a.free = now + least + owed
	a.sent += owed
	a.own, a.due = 0, false
	return least, owed
}

// How far a service decides by itself: up to half of the quota, and while what it is not sure of is at most a quarter of
// the part of the quota that one service has.
const (
	far  = 2
	sure = 4
)

// ruling is what a service makes of a question by itself.
type ruling int

const (
	refused ruling = iota // what is known already says no
	passed                // far enough from the limit; the shared count hears of it later
	unclear               // the shared count is to say
)

// rule decides on span as one of n services. queue says that the account waits to be sent from now on.
func (t *table) rule(id uint64, span, window time.Duration, n int) (r ruling, debt time.Duration, queue bool) {
	now := t.now()
	s, a := t.open(now, id)
	defer s.mu.Unlock()
	debt = a.settle(now, window, n) + a.own
	switch {
	case debt+span > window:
		return refused, debt, false
	case debt+span > window/far || a.unsure()+span > window/time.Duration(sure*n):
		return unclear, debt, false
	}
	return passed, debt + span, a.owe(span)
}

// alone decides on span, reckoned by the part that one of n services has of the quota: what nobody confirmed weighs n
// times as much in it. sent says that the shared count may have heard of span. queue is as for rule.
func (t *table) alone(id uint64, span, window time.Duration, n int, sent bool) (debt time.Duration, ok, queue bool) {
	now := t.now()
	s, a := t.open(now, id)
	defer s.mu.Unlock()
	debt = a.settle(now, window, n) + a.own + a.unsure()*time.Duration(n-1)
	if debt+span > window {
		return debt, false, false
	}
	share := span / time.Duration(n)
	if !sent {
		return debt + span, true, a.owe(share)
	}
	a.free = max(a.free, now) + share
	a.lost += share
	return debt + span, true, false
}

// sending is what the shared count is told of a caller.
func (t *table) sending(id uint64, window time.Duration, n int) (least, owed time.Duration) {
	now := t.now()
	s, a := t.open(now, id)
	defer s.mu.Unlock()
	a.settle(now, window, n)
	return a.send(now)
}

// confirm notes the debt that the shared count gave when owed was sent to it. All that was sent before it is confirmed with
// it, since its least contained that.
func (t *table) confirm(id uint64, owed, debt time.Duration) {
	now := t.now()
	s, a := t.open(now, id)
	defer s.mu.Unlock()
	a.sent, a.lost = max(0, a.sent-owed), 0
	a.free = max(a.free, now+debt)
}

// lose notes that nobody knows what became of owed, which was sent.
func (t *table) lose(id uint64, owed time.Duration) {
	s, a := t.open(t.now(), id)
	defer s.mu.Unlock()
	moved := min(owed, a.sent)
	a.sent, a.lost = a.sent-moved, a.lost+moved
}

// waitsNot notes that an account that was to be sent found no room to wait in.
func (t *table) waitsNot(id uint64) {
	s, a := t.open(t.now(), id)
	defer s.mu.Unlock()
	a.due = false
}
