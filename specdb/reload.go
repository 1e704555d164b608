package specdb

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"endfloat/specdb/snapshot"
	"endfloat/specdb/store"
)

// Store holds the revision in use and those before it, and reads its files again when asked. It implements
// catalogue.Source and is safe for concurrent use.
type Store struct {
	*store.Revisions
	path    string           // of files that may change; empty: none
	archive *store.Directory // nil: none

	reading sync.Mutex
	seen    string // fingerprint of what was read last; guarded by reading
	status  atomic.Pointer[Status]
	warming sync.WaitGroup // indexes that are made before somebody searches
}

// Status is how the last reading of the files went. The zero value is a catalogue that was never read again.
type Status struct {
	At      time.Time // when it was read last
	Changed bool      // whether that made another revision
	Err     error     // why the files could not be used; the revision before stays in use
}

// Status is how the last Reload went.
func (s *Store) Status() Status {
	if st := s.status.Load(); st != nil {
		return *st
	}
	return Status{}
}

// Reload reads the files again, checks them and only then swaps. The revision in use stays where they are bad.
// changed reports whether there is another revision now. A catalogue that was not opened from files never changes.
func (s *Store) Reload() (changed bool, err error) {
	s.reading.Lock()
	defer s.reading.Unlock()
	if s.path == "" {
		return false, nil
	}
	changed, err = s.reload()
	s.status.Store(&Status{At: time.Now(), Changed: changed, Err: err})
	return changed, err
}

func (s *Store) reload() (bool, error) {
	s.seen = fingerprint(s.path)
	content, err := ReadPath(s.path, s.Families())
	if err != nil {
		return false, err
	}
	rev, err := store.Build(content)
	if err != nil {
		return false, err
	}
	changed := rev.Name != s.Current().Name
	if !changed {
		rev = s.Current()
	}
	s.Swap(rev, content.Withdrawn)
	s.warming.Go(rev.Warm)
	return changed, s.Keep(content)
}

// Keep adds a revision to the archive, if there is one.
func (s *Store) Keep(content snapshot.Content) error {
	if s.archive == nil {
		return nil
	}
	if err := s.archive.Save(content); err != nil {
		return fmt.Errorf("archive: %w", err)
	}
	return nil
}

// Close waits for work in the background and ends the use of the archive.
func (s *Store) Close() error {
	s.warming.Wait()
	if s.archive == nil {
		return nil
	}
	return s.archive.Close()
}

// Watch looks at the files every so often and reads them again once they have changed and are quiet. It returns when
// ctx ends. told hears of every reading; it is called from one goroutine.
func (s *Store) Watch(ctx context.Context, every time.Duration, told func(Status)) {
	if s.path == "" {
		<-ctx.Done()
		return
	}
	tick := time.NewTicker(every)
	defer tick.Stop()
	last := ""
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := fingerprint(s.path)
		quiet := now == last
		last = now
		if !quiet || !s.differs(now) {
			continue
		}
		_, _ = s.Reload() // the status says how it went
		told(s.Status())
	}
}

func (s *Store) differs(now string) bool {
	s.reading.Lock()
	defer s.reading.Unlock()
	return now != s.seen
}

// fingerprint changes when a file comes, goes, grows, shrinks or is written. A path that cannot be read has one too.
func fingerprint(path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return "unreadable"
	}
	if !info.IsDir() {
		return fmt.Sprint(info.Size(), info.ModTime().UnixNano())
	}
	var b strings.Builder
	entries, err := os.ReadDir(path)
	if err != nil {
		return "unreadable"
	}
	for _, e := range entries {
		var size, at int64
		if i, err := os.Stat(path + string(os.PathSeparator) + e.Name()); err == nil && i.Mode()&fs.ModeType == 0 {
			size, at = i.Size(), i.ModTime().UnixNano()
		}
		fmt.Fprintln(&b, e.Name(), size, at)
	}
	return b.String()
}
