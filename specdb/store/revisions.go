// Package store keeps revisions: the one in use, those that it replaced, and an archive of more.
//
// It decides which revisions still answer and swaps one for another at once. It refuses to know where a revision comes
// from and how it is asked for over a network.
//
//	held := store.Hold(first, 3, archive)
//	held.Swap(second)
//	rev, ok := held.At("r-0123456789ab")
package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
)

// DefaultKeep is how many revisions are held in memory.
const DefaultKeep = 3

// cached is how many revisions of the archive stay in memory beside those held.
const cached = 2

// ErrUnknown is a revision that an archive does not have.
var ErrUnknown = errors.New("no such revision")

// Archive keeps whole revisions for longer than a process lives. Implementations are safe for concurrent use.
type Archive interface {
	// Save keeps a revision; one that is there already is left as it is.
	Save(content snapshot.Content) error
	// Load is the revision with that name, ErrUnknown where it is not kept.
	Load(name string) (snapshot.Content, error)
	// Names lists what is kept, newest first.
	Names() ([]string, error)
}

// Revisions implements catalogue.Source. It is safe for concurrent use; Current never blocks.
type Revisions struct {
	keep    int
	archive Archive // nil: none
	state   atomic.Pointer[state]

	loading sync.Mutex // one revision of the archive at a time
	swap    sync.Mutex
}

// state is never changed; a swap makes a new one.
type state struct {
	held      []*catalogue.Revision // newest first; the first is in use
	archived  []*catalogue.Revision // loaded when somebody asked, last used first
	withdrawn []manifest.Withdrawn
}

// Hold keeps a first revision and up to keep in all; keep 0 is DefaultKeep. archive may be nil.
func Hold(first *catalogue.Revision, keep int, archive Archive) *Revisions {
	if keep <= 0 {
		keep = DefaultKeep
	}
	r := &Revisions{keep: keep, archive: archive}
	r.state.Store(&state{held: []*catalogue.Revision{first}})
	return r
}

// Current is the revision in use.
func (r *Revisions) Current() *catalogue.Revision { return r.state.Load().held[0] }

// Swap puts a revision in use and drops the oldest where there are more than are kept. withdrawn marks those that
// should not be used any more; it replaces what was said before.
func (r *Revisions) Swap(next *catalogue.Revision, withdrawn []manifest.Withdrawn) {
	r.swap.Lock()
	defer r.swap.Unlock()
	old := r.state.Load()
	s := &state{withdrawn: withdrawn}
	for i, rev := range append([]*catalogue.Revision{next}, old.held...) {
		if i == 1 && rev.Name != next.Name {
			rev = rev.Cooled() // it was in use until now
		}
		if len(s.held) < r.keep && find(s.held, rev.Name) == nil {
			s.held = append(s.held, mark(rev, withdrawn))
		}
	}
	for _, rev := range old.archived {
		if find(s.held, rev.Name) == nil {
			s.archived = append(s.archived, mark(rev, withdrawn))
		}
	}
	r.state.Store(s)
}

// mark is the revision as the list of withdrawn ones has it.
func mark(rev *catalogue.Revision, list []manifest.Withdrawn) *catalogue.Revision {
	i := slices.IndexFunc(list, func(w manifest.Withdrawn) bool { return w.Revision == rev.Name })
	if rev.Withdrawn == (i >= 0) {
		return rev
	}
	marked := *rev
	if marked.Withdrawn = i >= 0; marked.Withdrawn {
		marked.WithdrawnReason = list[i].Reason
	}
	return &marked
}

func find(list []*catalogue.Revision, name string) *catalogue.Revision {
	for _, rev := range list {
		if rev.Name == name {
			return rev
		}
	}
	return nil
}

// At is the revision with that name: one that is held, else one of the archive, which is then read.
func (r *Revisions) At(name string) (*catalogue.Revision, bool) {
	s := r.state.Load()
	if rev := find(s.held, name); rev != nil {
		return rev, true
	}
	if rev := find(s.archived, name); rev != nil {
		return rev, true
	}
	if r.archive == nil || !IsName(name) {
		return nil, false
	}
	return r.fromArchive(name)
}

func (r *Revisions) fromArchive(name string) (*catalogue.Revision, bool) {
	r.loading.Lock()
	defer r.loading.Unlock()
	if rev := find(r.state.Load().archived, name); rev != nil {
		return rev, true
	}
	content, err := r.archive.Load(name)
	if err != nil || content.Name != name {
		return nil, false
	}
	r.share(content.Families)
	rev, err := Build(content)
	if err != nil {
		return nil, false
	}
	r.swap.Lock()
	defer r.swap.Unlock()
	s := *r.state.Load()
	rev = mark(rev, s.withdrawn)
	s.archived = append([]*catalogue.Revision{rev}, s.archived[:min(len(s.archived), cached-1)]...)
	r.state.Store(&s)
	return rev, true
}

// share replaces families by those of the same content that are in memory already.
func (r *Revisions) share(families []*catalogue.Family) {
	held := r.Families()
	for i, f := range families {
		if same := held[f.Digest]; same != nil {
			families[i] = same
		}
	}
}

// Families are those of all revisions in memory, by their digest.
func (r *Revisions) Families() map[string]*catalogue.Family {
	s := r.state.Load()
	all := map[string]*catalogue.Family{}
	for _, list := range [][]*catalogue.Revision{s.held, s.archived} {
		for _, rev := range list {
			for _, f := range rev.Families {
				all[f.Digest] = f
			}
		}
	}
	return all
}

// Held names the revisions that At knows, newest first: those in memory, then those of the archive.
func (r *Revisions) Held() []string {
	s := r.state.Load()
	var names []string
	for _, rev := range s.held {
		names = append(names, rev.Name)
	}
	if r.archive == nil {
		return names
	}
	more, err := r.archive.Names()
	if err != nil {
		return names // what is in memory still answers
	}
	for _, n := range more {
		if !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names
}

// IsName reports whether s has the form of a revision name, so that nothing else is ever looked for in an archive.
func IsName(s string) bool {
	rest, ok := strings.CutPrefix(s, "r-")
	return ok && len(rest) == 12 && !strings.ContainsFunc(rest, func(c rune) bool { return (c < '0' || c > '9') && (c < 'a' || c > 'f') })
}

// Build indexes content as a revision. It never panics: it is done while the revision before it serves, and that must go
// on.
func Build(c snapshot.Content) (rev *catalogue.Revision, err error) {
	defer func() {
		if p := recover(); p != nil {
			rev, err = nil, fmt.Errorf("the catalogue cannot be indexed: %v", p)
		}
	}()
	rev, err = catalogue.New(c.Name, c.Manifest.Date, c.Families, c.Defaults)
	if err != nil {
		return nil, err
	}
	rev.Reason = c.Reason
	return rev, nil
}
