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

// Options of a Limiter.
type Options struct {
	Address Quota  // of an address, or of an IPv6 network of 64 bits; unsaid: None
	Key     Quota  // of a key that brings none of its own; unsaid: None
	LookUp  Quota  // of an address for look-ups, in each service by itself; unsaid: None
	Shared  Shared // nil: each service counts by itself

	Wait time.Duration // that a question may wait for the shared count; 0: 10 ms
}

// Limiter charges callers. It is safe for concurrent use.
//
// With a shared count a question waits for it only where that may change the answer: from half of the quota on, or where
// much was let through that the shared count has not confirmed. Everything else is decided at once, and told to it a few
// milliseconds later. What several services let through at the same time before they know of each other is a quarter of
// the quota at most, and is paid back, since it is counted over the limit. Where the shared count does not answer, each
// service has its part of the quota, from where it left off, and tells of it afterwards: nobody is let through uncounted,
// and nobody is shut out.
type Limiter struct {
	opts    Options
	debts   *table  // that this service counts by itself; nil: they are shared
	common  *common // nil: nothing is shared
	lookups *table  // nil: look-ups are not counted

	allowed, refused, lookupsRefused atomic.Uint64
}

// New is a limiter for one service.
func New(o Options) *Limiter {
	l := &Limiter{opts: o}
	if o.Shared != nil {
		l.common = newCommon(o.Shared, o.Wait)
	} else {
		l.debts = newTable()
	}
	if o.LookUp.Limited() {
		l.lookups = newTable()
	}
	return l
}

// Run keeps in touch with the shared count until ctx ends, and then tells what it has not heard of. Without it, and where
// nothing is shared, each service counts its part. Run it once, in the background.
func (l *Limiter) Run(ctx context.Context) {
	if l.common != nil {
		l.common.run(ctx)
	}
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

// Charge counts what a request costs. It waits for the shared count once at most, no longer than Options.Wait, and not at
// all where what is known already says no: a debt grows when others ask and shrinks by time alone.
func (l *Limiter) Charge(c Caller, units int64) Decision {
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
	case l.common != nil:
		l.common.settle(c, units, &d)
	default:
		span := c.quota.span(units)
		debt, ok := l.debts.take(c.id(l.debts.seed), span, c.quota.Window)
		d.fill(c.quota, debt, span, ok)
	}
	if d.Allowed {
		l.allowed.Add(1)
	} else {
		l.refused.Add(1)
	}
	return d
}

// fill says what q, the quota or the part of it that counted, leaves with a debt, which may be over the limit by what
// several services let through at once.
func (d *Decision) fill(q Quota, debt, span time.Duration, ok bool) {
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
	debt, ok := l.lookups.take(caller.id(l.lookups.seed), span, q.Window)
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
	Waited           uint64 // of these, asked of the shared count
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
	c := Counts{Allowed: l.allowed.Load(), Refused: l.refused.Load(), LookUpsRefused: l.lookupsRefused.Load()}
	if l.common == nil {
		c.Callers = l.debts.callers()
	} else {
		c.Waited, c.Alone, c.Spared = l.common.waited.Load(), l.common.alone.Load(), l.common.spared.Load()
		c.Callers, c.Replicas = l.common.debts.callers(), l.common.shared.Replicas()
	}
	if l.lookups != nil {
		c.Callers += l.lookups.callers()
	}
	return c
}
