package redisstore

import (
	"context"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	mathrand "math/rand/v2"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
	"endfloat/specdb/publication"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/store"
)

// DefaultEvery is how often a follower polls where nobody hints that it should.
const DefaultEvery = 5 * time.Second

// again is how long a revision that was refused is left alone, unless there is a hint.
const again = time.Minute

// Held is where a follower puts revisions.
type Held interface {
	Current() *catalogue.Revision
	// Families are those in memory, by their digest.
	Families() map[string]*catalogue.Family
	// Swap puts a revision in use.
	Swap(next *catalogue.Revision, withdrawn []manifest.Withdrawn)
	// Keep adds a revision to the archive, if there is one.
	Keep(content snapshot.Content) error
}

// Following says how revisions are followed. The zero value demands no signature and keeps no copy.
type Following struct {
	Trusted []ed25519.PublicKey // empty: a signature is not demanded
	Copy    *os.Root            // directory of the last good copy; nil: none
	Every   time.Duration       // between two polls; 0: DefaultEvery
	Told    func(Event)         // hears of what changed, from one goroutine; nil: nobody
}

// Event is something worth a line in a log.
type Event struct {
	What     What
	Revision string
	Err      error
}

// What happened.
type What string

// The events. Away and Refused come once for each cause, Back when polls go well again.
const (
	Staged  What = "staged"
	Swapped What = "swapped"
	Refused What = "refused"
	Away    What = "away"
	Back    What = "back"
	NoCopy  What = "no_copy" // the last good copy or the archive could not be written
)

// Source says where the revision in use came from.
type Source string

// The sources. Other is what was served before a follower had anything.
const (
	Other Source = ""
	Redis Source = "redis"
	Copy  Source = "copy"
)

// State is how following goes. The zero value is that of a follower that has not polled yet.
type State struct {
	Polled   time.Time // when Redis answered last; zero: never
	Err      error     // why the last poll brought nothing; nil where it went well
	BeatErr  error     // why publishers could not be told what is ready; nil where they were
	CopyErr  error     // why the last good copy could not be written
	Empty    bool      // Redis answered, and no revision is published there
	Sequence int64     // of the pointer, as it was read last
	Ref      publication.Ref
	Source   Source // of the revision in use
	Swaps    int64  // revisions put in use since the start
	Refusals int64  // revisions refused since the start
}

// Follower keeps what is served the same as what is published. It never stands between a caller and an answer. First
// comes before Run; State and Ask are safe for concurrent use.
type Follower struct {
	shared  *Store
	how     Following
	id      string
	asked   chan struct{}
	state   atomic.Pointer[State]
	held    Held
	beats   int64
	ready   *made // staged
	refused map[publication.Ref]refusal
	last    Pointer
	sealed  []byte // of what First gave
}

// made is a revision that was read, checked and indexed.
type made struct {
	ref     publication.Ref
	sealed  []byte
	content snapshot.Content
	rev     *catalogue.Revision
}

type refusal struct {
	err   error
	until time.Time
}

// Follow makes a follower of what is shared.
func Follow(shared *Store, how Following) *Follower {
	if how.Every <= 0 {
		how.Every = DefaultEvery
	}
	if how.Told == nil {
		how.Told = func(Event) {}
	}
	id := make([]byte, 6)
	_, _ = rand.Read(id) // it never fails
	f := &Follower{shared: shared, how: how, id: hex.EncodeToString(id), asked: make(chan struct{}, 1), refused: map[publication.Ref]refusal{}}
	f.state.Store(&State{})
	return f
}

// State is how following goes.
func (f *Follower) State() State { return *f.state.Load() }

// Ask makes the follower poll at once. It does not wait.
func (f *Follower) Ask() {
	select {
	case f.asked <- struct{}{}:
	default: // it will already
	}
}

// First is the revision to start with: the published one, else the last good copy. Errors: neither is there or good.
func (f *Follower) First(ctx context.Context) (snapshot.Content, error) {
	content, err := f.published(ctx)
	if err == nil {
		return content, nil
	}
	s := f.State()
	s.Err, s.Empty = err, errors.Is(err, ErrNothing)
	if f.how.Copy == nil {
		f.state.Store(&s)
		return snapshot.Content{}, err
	}
	content, ref, copyErr := publication.ReadCopy(f.how.Copy, f.how.Trusted)
	if copyErr != nil {
		f.state.Store(&s)
		return snapshot.Content{}, fmt.Errorf("%w; copy on disk: %w", err, copyErr)
	}
	s.Ref, s.Source = ref, Copy
	f.state.Store(&s)
	return content, nil
}

func (f *Follower) published(ctx context.Context) (snapshot.Content, error) {
	ask, cancel := context.WithTimeout(ctx, askTime)
	defer cancel()
	p, err := f.shared.Pointer(ask)
	if err == nil && p.Current.IsZero() {
		err = ErrNothing
	}
	if err != nil {
		return snapshot.Content{}, err
	}
	load, cancel := context.WithTimeout(ctx, firstTime)
	defer cancel()
	content, sealed, err := f.shared.Load(load, p.Current, f.how.Trusted, nil)
	if err != nil {
		return snapshot.Content{}, fmt.Errorf("%s: %w", p.Current.Name, err)
	}
	f.sealed = sealed
	f.state.Store(&State{Polled: time.Now(), Sequence: p.Sequence, Ref: p.Current, Source: Redis})
	return content, nil
}

// Run follows until ctx ends and everything that it started has ended. first is what First gave, or the zero value.
func (f *Follower) Run(ctx context.Context, held Held, first snapshot.Content) {
	f.held = held
	var wait sync.WaitGroup
	defer wait.Wait()
	ended := make(chan struct{})
	defer close(ended)
	wait.Go(func() { f.hurry(ctx, ended) })
	wait.Go(func() { f.listen(ctx) })
	if f.sealed != nil {
		f.copy(f.sealed, first)
		f.sealed = nil
	}
	for ctx.Err() == nil {
		f.poll(ctx)
		timer := time.NewTimer(jitter(f.how.Every))
		select {
		case <-ctx.Done():
		case <-timer.C:
		case <-f.asked:
			f.forgive()
			f.spread(ctx)
		}
		timer.Stop()
	}
	bye, cancel := context.WithTimeout(context.WithoutCancel(ctx), farewell)
	defer cancel()
	_ = f.shared.leave(bye, f.id) // a publisher notices by itself where this fails
}

// farewell is how long an end may take.
const farewell = 500 * time.Millisecond

// hurry closes the connections of a follower that does not end by itself, such as one that waits for a hung Redis.
func (f *Follower) hurry(ctx context.Context, ended <-chan struct{}) {
	select {
	case <-ended:
		return
	case <-ctx.Done():
	}
	timer := time.NewTimer(farewell)
	defer timer.Stop()
	select {
	case <-ended:
	case <-timer.C:
		_ = f.shared.Close() // nothing is written by then
	}
}

// spread keeps many followers that hear one hint from asking at the same moment.
func (f *Follower) spread(ctx context.Context) {
	timer := time.NewTimer(mathrand.N(f.how.Every/100 + 1)) //nolint:gosec // nothing depends on nobody guessing it
	defer timer.Stop()
	select {
	case <-ctx.Done():
	case <-timer.C:
	}
}

// jitter spreads the polls of many followers: a time within a fifth of the given one.
func jitter(d time.Duration) time.Duration {
	return d*4/5 + mathrand.N(d*2/5+1) //nolint:gosec // nothing depends on nobody guessing it
}

// forgive makes the next poll try again what was refused.
func (f *Follower) forgive() {
	for ref, no := range f.refused {
		f.refused[ref] = refusal{err: no.err}
	}
}

// indexed makes a revision of content.
func indexed(c snapshot.Content) (*catalogue.Revision, error) {
	rev, err := store.Build(c)
	if err == nil {
		rev.Warm()
	}
	return rev, err
}
