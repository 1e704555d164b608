package keyfile

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// Store answers which key is good, from a file that may change. It is safe for concurrent use.
type Store struct {
	path string
	now  func() time.Time

	mu   sync.Mutex // of reading again
	sum  [32]byte   // of the file in use
	err  error      // of the last reading
	used atomic.Pointer[map[string]*Entry]
	gone atomic.Pointer[map[string]bool] // ids that were revoked elsewhere
}

// Open reads the file at path. Errors: there is none, or it cannot stand.
func Open(path string) (*Store, error) { return OpenAt(path, time.Now) }

// OpenAt is Open with a clock.
func OpenAt(path string, now func() time.Time) (*Store, error) {
	s := &Store{path: path, now: now}
	s.gone.Store(&map[string]bool{})
	if _, err := s.Reload(); err != nil {
		return nil, err
	}
	return s, nil
}

// Find is the key with that secret. One that is not there costs as much time as one whose rest is wrong.
func (s *Store) Find(secret string) (Entry, bool) {
	id, formed := idOf(secret)
	if !formed {
		return Entry{}, false
	}
	hash := hashOf(secret)
	e, known := (*s.used.Load())[id]
	if !known {
		e = &Entry{Hash: strings.Repeat("0", len(hash))}
	}
	if !e.is(hash) || !known || (*s.gone.Load())[id] || !e.Good(s.now()) {
		return Entry{}, false
	}
	return *e, true
}

// Len is how many keys the file in use has, the revoked ones included.
func (s *Store) Len() int { return len(*s.used.Load()) }

// Withdraw makes exactly these ids no good, whatever the file says of them.
func (s *Store) Withdraw(ids []string) {
	gone := make(map[string]bool, len(ids))
	for _, id := range ids {
		gone[id] = true
	}
	s.gone.Store(&gone)
}

// Err is what is wrong with the file as it stands; the keys that were read before stay in use.
func (s *Store) Err() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.err
}

// Reload reads the file again. changed is false where it says the same as before; an error leaves the keys as they were.
func (s *Store) Reload() (changed bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	text, err := read(s.path)
	if err != nil {
		s.err = err
		return false, err
	}
	sum := sha256.Sum256(text)
	if s.used.Load() != nil && sum == s.sum {
		s.err = nil
		return false, nil
	}
	keys, err := Parse(text)
	if err != nil {
		s.err = fmt.Errorf("%s: %w", s.path, err)
		return false, s.err
	}
	by := make(map[string]*Entry, len(keys))
	for i := range keys {
		by[keys[i].ID] = &keys[i]
	}
	s.used.Store(&by)
	s.sum, s.err = sum, nil
	return true, nil
}

// Watch reads the file again and again until ctx ends, and tells when its keys change, when it becomes bad and when it is
// good again.
func (s *Store) Watch(ctx context.Context, every time.Duration, told func(error)) {
	tick := time.NewTicker(every)
	defer tick.Stop()
	was := ""
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		changed, err := s.Reload()
		is := ""
		if err != nil {
			is = err.Error()
		}
		if changed || is != was {
			told(err)
		}
		was = is
	}
}

func read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(text) == 0 {
		return nil, errors.New(path + " is empty")
	}
	return text, nil
}
