package redisstore

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"time"

	"endfloat/specdb/publication"
	"endfloat/specdb/snapshot"
)

// poll looks at the pointer once, does what it says, and tells how it went.
func (f *Follower) poll(ctx context.Context) {
	ask, cancel := context.WithTimeout(ctx, askTime)
	p, err := f.shared.Pointer(ask)
	cancel()
	if err != nil && !errors.Is(err, errPointer) {
		f.note(ctx, err)
		return
	}
	s := f.State()
	s.Polled, s.Sequence, s.Empty = time.Now(), p.Sequence, p.Current.IsZero() && err == nil
	f.state.Store(&s)
	if p != f.last {
		f.last = p
		f.forgive()
	}
	maps.DeleteFunc(f.refused, func(ref publication.Ref, _ refusal) bool { return ref != p.Current && ref != p.Staged })
	inUse := f.use(ctx, p.Current)
	staged := f.prepare(ctx, p)
	f.note(ctx, errors.Join(err, inUse, staged))
	beat, cancel := context.WithTimeout(ctx, askTime)
	defer cancel()
	if err := f.shared.beat(beat, f.says(p)); ctx.Err() == nil {
		s := f.State()
		s.BeatErr = err
		f.state.Store(&s)
	}
}

// use puts a revision in use unless it is already.
func (f *Follower) use(ctx context.Context, ref publication.Ref) error {
	if s := f.State(); ref.IsZero() || ref == s.Ref {
		if !ref.IsZero() && s.Source != Redis { // the copy is what is published
			s.Source = Redis
			f.state.Store(&s)
		}
		return nil
	}
	m, err := f.make(ctx, ref)
	if err != nil {
		return err
	}
	f.held.Swap(m.rev, m.content.Withdrawn)
	s := f.State()
	s.Ref, s.Source = ref, Redis
	s.Swaps++
	f.state.Store(&s)
	f.ready = nil
	f.how.Told(Event{What: Swapped, Revision: ref.Name})
	f.copy(m.sealed, m.content)
	return nil
}

// prepare makes a staged revision ready.
func (f *Follower) prepare(ctx context.Context, p Pointer) error {
	if p.Staged.IsZero() {
		f.ready = nil
		return nil
	}
	if p.Staged == p.Current || f.ready != nil && f.ready.ref == p.Staged {
		return nil
	}
	m, err := f.make(ctx, p.Staged)
	if err != nil {
		return err
	}
	f.ready = m
	f.how.Told(Event{What: Staged, Revision: p.Staged.Name})
	return nil
}

// make reads, checks and indexes a revision, unless it is staged already or was refused a moment ago.
func (f *Follower) make(ctx context.Context, ref publication.Ref) (*made, error) {
	if f.ready != nil && f.ready.ref == ref {
		return f.ready, nil
	}
	if no, ok := f.refused[ref]; ok && time.Now().Before(no.until) {
		return nil, no.err
	}
	load, cancel := context.WithTimeout(ctx, loadTime)
	defer cancel()
	content, sealed, err := f.shared.Load(load, ref, f.how.Trusted, f.held.Families())
	m := &made{ref: ref, sealed: sealed, content: content}
	if err == nil {
		m.rev, err = indexed(content)
	}
	switch {
	case err == nil:
		delete(f.refused, ref)
		return m, nil
	case isAway(err) || ctx.Err() != nil:
		return nil, err
	}
	err = fmt.Errorf("%s is refused: %w", ref.Name, err)
	if no, known := f.refused[ref]; !known || no.err.Error() != err.Error() {
		s := f.State()
		s.Refusals++
		f.state.Store(&s)
		f.how.Told(Event{What: Refused, Revision: ref.Name, Err: err})
	}
	f.refused[ref] = refusal{err, time.Now().Add(again)}
	return nil, err
}

// note keeps how the last poll went, and tells when the way to Redis was lost or found.
func (f *Follower) note(ctx context.Context, err error) {
	if ctx.Err() != nil {
		return // it is ending, and that is no fault
	}
	s := f.State()
	was, is := isAway(s.Err), isAway(err)
	lost := errors.Is(err, errPointer) && !errors.Is(s.Err, errPointer)
	if s.Err = err; lost {
		s.Refusals++
	}
	f.state.Store(&s)
	switch {
	case lost:
		f.how.Told(Event{What: Refused, Revision: f.held.Current().Name, Err: err})
	case is && !was:
		f.how.Told(Event{What: Away, Revision: f.held.Current().Name, Err: err})
	case was && !is:
		f.how.Told(Event{What: Back, Revision: f.held.Current().Name})
	}
}

// says is what a publisher hears about this follower.
func (f *Follower) says(p Pointer) Replica {
	f.beats++
	r := Replica{ID: f.id, Beat: f.beats, Seen: p.Writes, Serves: f.held.Current().Name}
	if f.ready != nil {
		r.Ready = f.ready.ref.String()
	}
	if p.Staged == p.Current || p.Staged == f.State().Ref {
		r.Ready = p.Staged.String()
	}
	for _, ref := range []publication.Ref{p.Current, p.Staged} {
		if no, ok := f.refused[ref]; ok {
			r.Refuses, r.Why = ref.String(), no.err.Error()
		}
	}
	return r
}

// copy writes the archive and the last good copy.
func (f *Follower) copy(sealed []byte, content snapshot.Content) {
	err := f.held.Keep(content)
	if f.how.Copy != nil {
		err = errors.Join(err, publication.WriteCopy(f.how.Copy, sealed, content))
	}
	s := f.State()
	s.CopyErr = err
	f.state.Store(&s)
	if err != nil {
		f.how.Told(Event{What: NoCopy, Revision: content.Name, Err: err})
	}
}
