package quota

import (
	"hash/maphash"
	"sync"
	"time"
)

// Sizes of a table: what it holds at most is bounded whoever asks.
const (
	shards   = 64
	perShard = 2048
	sampled  = 8 // entries that are looked at for one to forget
)

// table holds the accounts of callers in this process, at most shards · perShard of them, about 10 MiB. Where it is full
// the least indebted of a few is forgotten for a new one: a flood of addresses that owe little throws out its like, and
// who owes much stays. It is safe for concurrent use.
type table struct {
	seed  maphash.Seed // so that nobody can aim at the place of another
	begun time.Time
	parts [shards]shard
}

type shard struct {
	mu   sync.Mutex
	held map[uint64]*account
	_    [40]byte // the next one is in another cache line
}

func newTable() *table {
	t := &table{seed: maphash.MakeSeed(), begun: time.Now()}
	for i := range t.parts {
		t.parts[i].held = map[uint64]*account{}
	}
	return t
}

// now is the time as accounts have it.
func (t *table) now() time.Duration { return time.Since(t.begun) }

// open locks the shard of a caller, whose mu is to be unlocked after it, and gives his account; a new one where he is not
// known.
func (t *table) open(now time.Duration, id uint64) (*shard, *account) {
	s := &t.parts[id%shards]
	s.mu.Lock()
	a := s.held[id]
	if a == nil {
		if len(s.held) >= perShard {
			s.forget(now)
		}
		a = &account{}
		s.held[id] = a
	}
	return s, a
}

// take adds span to the debt of a caller unless it would grow over window, and gives the debt as it is then.
func (t *table) take(id uint64, span, window time.Duration) (debt time.Duration, ok bool) {
	return t.takeAt(t.now(), id, span, window)
}

func (t *table) takeAt(now time.Duration, id uint64, span, window time.Duration) (time.Duration, bool) {
	s, a := t.open(now, id)
	defer s.mu.Unlock()
	debt := min(max(a.free-now, 0), window) // what is left of a longer window is put right
	ok := debt+span <= window
	if ok {
		debt += span
	}
	a.free = now + debt
	return debt, ok
}

// forget drops the least indebted of some entries; iteration begins anywhere.
func (s *shard) forget(now time.Duration) {
	var least uint64
	free, n := time.Duration(0), 0
	for id, a := range s.held {
		if at := a.free + a.own; n == 0 || at < free {
			least, free = id, at
		}
		if n++; n == sampled || free <= now {
			break
		}
	}
	delete(s.held, least)
}

// callers is how many it knows.
func (t *table) callers() int {
	n := 0
	for i := range t.parts {
		t.parts[i].mu.Lock()
		n += len(t.parts[i].held)
		t.parts[i].mu.Unlock()
	}
	return n
}
