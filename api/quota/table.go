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

// table holds the debts of callers in this process, at most shards · perShard of them, about 3 MiB. Where it is full the
// least indebted of a few is forgotten for a new one: a flood of addresses that owe little throws out its like, and who
// owes much stays. It is safe for concurrent use.
type table struct {
	seed  maphash.Seed // so that nobody can aim at the place of another
	begun time.Time
	parts [shards]shard
}

type shard struct {
	mu   sync.Mutex
	free map[uint64]time.Duration // when the debt has run off, since begun
	_    [40]byte                 // the next one is in another cache line
}

func newTable() *table {
	t := &table{seed: maphash.MakeSeed(), begun: time.Now()}
	for i := range t.parts {
		t.parts[i].free = map[uint64]time.Duration{}
	}
	return t
}

// take adds span to the debt of a caller, which is least at least, unless it would grow over window. It gives the debt as
// it is then.
func (t *table) take(id uint64, least, span, window time.Duration) (debt time.Duration, ok bool) {
	return t.takeAt(time.Since(t.begun), id, least, span, window)
}

func (t *table) takeAt(now time.Duration, id uint64, least, span, window time.Duration) (time.Duration, bool) {
	s := &t.parts[id%shards]
	s.mu.Lock()
	defer s.mu.Unlock()
	debt := min(max(s.free[id]-now, least, 0), window)
	if debt+span > window {
		return debt, false
	}
	s.put(now, id, debt+span)
	return debt + span, true
}

// note sets the debt of a caller to what somebody else counted.
func (t *table) note(id uint64, debt time.Duration) {
	now := time.Since(t.begun)
	s := &t.parts[id%shards]
	s.mu.Lock()
	defer s.mu.Unlock()
	s.put(now, id, debt)
}

// debt is that of a caller now; 0 where nothing is held.
func (t *table) debt(id uint64) time.Duration {
	now := time.Since(t.begun)
	s := &t.parts[id%shards]
	s.mu.Lock()
	defer s.mu.Unlock()
	return max(s.free[id]-now, 0)
}

func (s *shard) put(now time.Duration, id uint64, debt time.Duration) {
	if _, known := s.free[id]; !known && len(s.free) >= perShard {
		s.forget(now)
	}
	s.free[id] = now + debt
}

// forget drops the least indebted of some entries; iteration begins anywhere.
func (s *shard) forget(now time.Duration) {
	var least uint64
	free, n := time.Duration(0), 0
	for id, at := range s.free {
		if n == 0 || at < free {
			least, free = id, at
		}
		if n++; n == sampled || free <= now {
			break
		}
	}
	delete(s.free, least)
}

// held is how many callers it knows.
func (t *table) held() int {
	n := 0
	for i := range t.parts {
		t.parts[i].mu.Lock()
		n += len(t.parts[i].free)
		t.parts[i].mu.Unlock()
	}
	return n
}
