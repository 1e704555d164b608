package quota

import (
	"context"
	"hash/maphash"
	"net/netip"
	"sync/atomic"
	"time"
)

// Names of the policies in the header fields of answers.
const (
	ByAddress = "address"
	ByKey     = "key"
)

// Shared counts for several services at once. It is safe for concurrent use.
type Shared interface {
	// Take adds span to the debt of a caller unless it would grow over window, and gives the debt as it is then. An error
	// says that nothing is known; it comes at once or after a few milliseconds, never later.
	Take(ctx context.Context, caller string, span, window time.Duration) (debt time.Duration, ok bool, err error)
	// Replicas is how many services share the count, as far as was last known; 0 and 1 mean this one alone.
	Replicas() int
}

// Options of a Limiter.
type Options struct {
	Address Quota  // of an address, or of an IPv6 network of 64 bits; unsaid: None
	Key     Quota  // of a key that brings none of its own; unsaid: None
	LookUp  Quota  // of an address for look-ups, in each service by itself; unsaid: None
	Shared  Shared // nil: each service counts by itself
}

// Limiter charges callers. Where a shared count does not answer, the service counts by itself, and each has its part of
// the quota: nobody is let through uncounted, and nobody is shut out. What the shared count said last is not forgotten then. It is safe for concurrent use.
type Limiter struct {
	opts    Options
	debts   *table // that this service counts
	told    *table // as the shared count last gave them; nil: nothing is shared
	lookups *table // nil: look-ups are not counted

	allowed, refused, alone, spared, lookupsRefused atomic.Uint64
}

// New is a limiter for one service.
func New(o Options) *Limiter {
	l := &Limiter{opts: o, debts: newTable()}
	if o.Shared != nil {
		l.told = newTable()
	}
	if o.LookUp.Limited() {
		l.lookups = newTable()
	}
	return l
}

// Caller is who is charged.
type Caller struct {
	owner string     // of a key
	addr  netip.Addr // without a key
	quota Quota
	free  bool
}

// Address is a caller without a key.
func (l *Limiter) Address(c Client) Caller {
	return Caller{addr: c.network(), quota: l.opts.Address, free: c.Local}
}

// Key is a caller with a key. All keys of an owner are one caller, so that a second key doubles nothing. own is the quota
// that the key brings; one that says nothing is that of all keys.
func (l *Limiter) Key(owner string, own Quota) Caller {
	if !own.Said() {
		own = l.opts.Key
	}
	return Caller{owner: owner, quota: own}
}

// Decision is what became of a charge. Where Quota is not limited nothing was counted.
type Decision struct {
	Allowed   bool
	Policy    string // ByAddress, ByKey
	Quota     Quota
	Remaining int64         // units left now
	Reset     time.Duration // until the whole quota is there again
	Retry     time.Duration // until the same would be allowed; 0 where it was
}

// Charge counts what a request costs. With a shared count it asks that once, and not at all where what it said before
// already says no: a debt grows when others ask and shrinks by time alone.
func (l *Limiter) Charge(ctx context.Context, c Caller, units int64) Decision {
	d := Decision{Allowed: true, Policy: ByAddress, Quota: c.quota}
	if c.owner != "" {
		d.Policy = ByKey
	}
	switch {
	case !c.quota.Limited():
		return d
	case c.free:
		d.Remaining = c.quota.Units
		return d
	}
	l.settle(ctx, c, units, &d)
	if d.Allowed {
		l.allowed.Add(1)
	} else {
		l.refused.Add(1)
	}
	return d
}

func (l *Limiter) settle(ctx context.Context, c Caller, units int64, d *Decision) {
	held, least := c.quota, time.Duration(0)
	if l.told != nil {
		id, span := c.id(l.told.seed), held.span(units)
		if least = l.told.debt(id); least+span > held.Window {
			l.spared.Add(1)
			d.fill(held, least, span, false)
			return
		}
		debt, ok, err := l.opts.Shared.Take(ctx, c.name(), span, held.Window)
		if err == nil {
			l.told.note(id, debt)
			d.fill(held, debt, span, ok)
			return
		}
		l.alone.Add(1)
		held = held.part(l.opts.Shared.Replicas())
	}
	span := held.span(units)
	debt, ok := l.debts.take(c.id(l.debts.seed), least, span, held.Window)
	d.fill(held, debt, span, ok)
}

func (d *Decision) fill(q Quota, debt, span time.Duration, ok bool) {
	debt = min(max(debt, 0), q.Window)
	d.Allowed, d.Remaining, d.Reset = ok, q.left(debt), debt
	if !ok {
		d.Retry = max(debt+span-q.Window, 0)
	}
}

// CountsLookUps reports whether look-ups are counted.
func (l *Limiter) CountsLookUps() bool { return l != nil && l.lookups != nil }

// LookUp counts one look-up; ok is false where the address has used up what it has. Nothing else is asked for it.
func (l *Limiter) LookUp(c Client) (d Decision) {
	q := l.opts.LookUp
	d = Decision{Allowed: true, Policy: ByAddress, Quota: q, Remaining: q.Units}
	if c.Local || l.lookups == nil {
		return d
	}
	caller := Caller{addr: c.network()}
	span := q.span(1)
	debt, ok := l.lookups.take(caller.id(l.lookups.seed), 0, span, q.Window)
	d.fill(q, debt, span, ok)
	if !ok {
		l.lookupsRefused.Add(1)
	}
	return d
}

func (c Caller) id(seed maphash.Seed) uint64 {
	if c.owner != "" {
		return maphash.String(seed, c.owner)
	}
	b := c.addr.As16()
	return maphash.Bytes(seed, b[:]) ^ 1
}

// name is the caller as services write it to each other.
func (c Caller) name() string {
	if c.owner != "" {
		return "k:" + c.owner
	}
	return "a:" + c.addr.String()
}

// Counts are what a limiter did since it began.
type Counts struct {
	Allowed, Refused uint64 // charges of computed answers
	Alone            uint64 // of these, counted by this service because the shared count did not answer
	Spared           uint64 // of these, refused without asking the shared count again
	LookUpsRefused   uint64
	Callers          int // held in this process
	Replicas         int // that share the count, as far as was last known; 0 where nothing is shared
}

// Counts may be called at any time; a nil limiter has none.
func (l *Limiter) Counts() Counts {
	if l == nil {
		return Counts{}
	}
	c := Counts{Allowed: l.allowed.Load(), Refused: l.refused.Load(), Alone: l.alone.Load(), Spared: l.spared.Load(), LookUpsRefused: l.lookupsRefused.Load(), Callers: l.debts.held()}
	if l.lookups != nil {
		c.Callers += l.lookups.held()
	}
	if l.told != nil {
		c.Callers += l.told.held()
		c.Replicas = l.opts.Shared.Replicas()
	}
	return c
}
