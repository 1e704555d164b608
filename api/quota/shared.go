package quota

import (
	"context"
	"sync"
	"sync/atomic"
	"time"
)

// Claim is what a shared count is told of one caller. A claim may be made twice and come in any order.
type Claim struct {
	Caller string
	Least  time.Duration // the debt is at least that, as far as is known
	Owed   time.Duration // is added to it whatever there is, since it was let through already
	Span   time.Duration // is added unless the debt would grow over Window
	Window time.Duration
}

// Answer is what a shared count says to a claim.
type Answer struct {
	Debt time.Duration // as it is then
	OK   bool          // Span was added
}

// Shared counts for several services at once. It is safe for concurrent use.
type Shared interface {
	// Up reports whether it answers at present.
	Up() bool
	// Count makes claims, all in one round trip, and gives as many answers. An error says that some may have been
	// counted and some not. It is called from one goroutine.
	Count(ctx context.Context, claims []Claim, answers []Answer) error
	// Replicas is how many services share the count, as far as was last known; 0 and 1 mean this one alone.
	Replicas() int
}

// Times and bounds of the way to the shared count.
const (
	longestWait = 10 * time.Millisecond // of one question
	gathering   = 5 * time.Millisecond  // from the first word that waits until it is sent
	again       = time.Second           // what could not be sent
	atOnce      = 256                   // claims in a round trip
	waiting     = 8192                  // callers that wait to be sent, and questions
)

// common is the shared side of a limiter.
type common struct {
	shared Shared
	wait   time.Duration
	debts  *table

	lock  sync.Mutex
	dues  []due
	asks  []*question
	owed  chan struct{} // something waits in dues
	asked chan struct{} // something waits in asks
	since atomic.Int64  // when the round trip that is under way began, as debts has it; 0: none is

	alone, spared, waited atomic.Uint64
}

// due is a caller of whom something is to be told.
type due struct {
	id     uint64
	name   string
	window time.Duration
}

// question is a claim that somebody waits for.
type question struct {
	id     uint64
	claim  Claim
	answer chan Answer // gets one, or is closed where there is none
}

func newCommon(shared Shared, wait time.Duration) *common {
	if wait <= 0 {
		wait = longestWait
	}
	return &common{shared: shared, wait: wait, debts: newTable(), owed: make(chan struct{}, 1), asked: make(chan struct{}, 1)}
}

// settle decides on a question: by itself far from the limit, else as the shared count says, else with the part of the
// quota that one service has.
func (c *common) settle(who Caller, units int64, d *Decision) {
	n, id, sent := max(1, c.shared.Replicas()), who.id(c.debts.seed), false
	if c.shared.Up() {
		span, window := who.quota.span(units), who.quota.Window
		r, debt, queue := c.debts.rule(id, span, window, n)
		if r == refused {
			c.spared.Add(1)
		}
		if r != unclear {
			c.queue(queue, id, who)
			d.fill(who.quota, debt, span, r == passed)
			return
		}
		if !c.late() {
			least, owed := c.debts.sending(id, window, n)
			if a, ok := c.ask(id, Claim{who.name(), least, owed, span, window}); ok {
				d.fill(who.quota, a.Debt, span, a.OK)
				return
			}
			sent = true // or so it may be
		}
	}
	c.alone.Add(1)
	part := who.quota.part(n)
	span := part.span(units)
	debt, ok, queue := c.debts.alone(id, span, part.Window, n, sent)
	c.queue(queue, id, who)
	d.fill(part, debt, span, ok)
}

// late reports whether the shared count takes longer for others than anybody waits for it.
func (c *common) late() bool {
	since := time.Duration(c.since.Load())
	return since > 0 && c.debts.now()-since >= c.wait
}

// queue lets an account wait to be sent, if it is to.
func (c *common) queue(is bool, id uint64, who Caller) {
	if !is {
		return
	}
	c.lock.Lock()
	room := len(c.dues) < waiting
	if room {
		c.dues = append(c.dues, due{id, who.name(), who.quota.Window})
	}
	c.lock.Unlock()
	if !room {
		c.debts.waitsNot(id)
		return
	}
	poke(c.owed)
}

// ask waits for the answer to a claim, but not for long.
func (c *common) ask(id uint64, claim Claim) (Answer, bool) {
	c.waited.Add(1)
	q := &question{id, claim, make(chan Answer, 1)}
	c.lock.Lock()
	room := len(c.asks) < waiting
	if room {
		c.asks = append(c.asks, q)
	}
	c.lock.Unlock()
	if !room {
		c.debts.lose(id, claim.Owed)
		return Answer{}, false
	}
	poke(c.asked)
	limit := time.NewTimer(c.wait)
	defer limit.Stop()
	select {
	case a, ok := <-q.answer:
		return a, ok
	case <-limit.C:
		return Answer{}, false
	}
}

func poke(c chan<- struct{}) {
	select {
	case c <- struct{}{}:
	default: // it was poked already
	}
}

// run is the one that talks to the shared count, until ctx ends; what waits then is sent before it returns.
func (c *common) run(ctx context.Context) {
	tick := time.NewTicker(again)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			c.send(ctx)
			return
		case <-c.asked:
		case <-tick.C:
		case <-c.owed:
			c.gather(ctx)
		}
		c.send(ctx)
	}
}

// gather waits for more to send, unless somebody waits for an answer.
func (c *common) gather(ctx context.Context) {
	more := time.NewTimer(gathering)
	defer more.Stop()
	select {
	case <-ctx.Done():
	case <-c.asked:
	case <-more.C:
	}
}

// send makes the claims that wait, as many at once as a round trip takes, those first that somebody waits for. While the
// shared count is away the questions are told so, and the rest goes on waiting.
func (c *common) send(ctx context.Context) {
	for {
		asks, dues := c.next(c.shared.Up())
		if len(asks)+len(dues) == 0 {
			return
		}
		c.trip(ctx, asks, dues)
	}
}

// next takes from what waits.
func (c *common) next(up bool) (asks []*question, dues []due) {
	c.lock.Lock()
	defer c.lock.Unlock()
	n := min(len(c.asks), atOnce)
	asks, c.asks = c.asks[:n:n], c.asks[n:]
	if up {
		n = min(len(c.dues), atOnce-n)
		dues, c.dues = c.dues[:n:n], c.dues[n:]
	}
	return asks, dues
}

// trip is one round trip.
func (c *common) trip(ctx context.Context, asks []*question, dues []due) {
	n := max(1, c.shared.Replicas())
	ids, claims := make([]uint64, 0, len(asks)+len(dues)), make([]Claim, 0, len(asks)+len(dues))
	for _, q := range asks {
		ids, claims = append(ids, q.id), append(claims, q.claim)
	}
	for _, w := range dues {
		if least, owed := c.debts.sending(w.id, w.window, n); owed > 0 {
			ids, claims = append(ids, w.id), append(claims, Claim{w.name, least, owed, 0, w.window})
		}
	}
	if len(claims) == 0 {
		return
	}
	answers := make([]Answer, len(claims))
	c.since.Store(max(1, int64(c.debts.now())))
	err := c.shared.Count(ctx, claims, answers)
	c.since.Store(0)
	for i, id := range ids {
		if err == nil {
			c.debts.confirm(id, claims[i].Owed, answers[i].Debt)
		} else {
			c.debts.lose(id, claims[i].Owed)
		}
	}
	for i, q := range asks {
		if err == nil {
			q.answer <- answers[i]
		}
		close(q.answer)
	}
}
