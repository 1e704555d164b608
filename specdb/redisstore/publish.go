package redisstore

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"errors"
	"fmt"
	"time"

	"github.com/redis/go-redis/v9"

	"endfloat/specdb/publication"
	"endfloat/specdb/snapshot"
)

// DefaultKeep is how many revisions are kept in Redis.
const DefaultKeep = 10

// A batch is as many pieces as are compared and written at once.
const (
	batchPieces = 64
	batchBytes  = 1 << 20
)

// Publication says how a revision is published. The zero value signs nothing, waits for nobody and keeps DefaultKeep.
type Publication struct {
	Private  ed25519.PrivateKey // nil: unsigned
	Unsigned bool               // may follow a signed revision without being signed
	Wait     time.Duration      // for replicas to have it ready; 0: not at all
	Keep     int                // revisions; 0: DefaultKeep
	Say      func(line string)  // told how far it is; nil: nobody
}

func (o Publication) say(format string, args ...any) {
	if o.Say != nil {
		o.Say(fmt.Sprintf(format, args...))
	}
}

// Done is what publishing or rolling back came to.
type Done struct {
	Ref, Before publication.Ref
	Sequence    int64
	Written     int // pieces that were not there yet, or other than they should be
	Dropped     int // revisions that are kept no longer
}

// Publish puts a revision in use: its record and pieces are written, it is staged, replicas make it ready, the pointer
// moves, and old revisions are dropped. Until the pointer moves nothing of it is served anywhere. Errors: ErrConflict,
// ErrUnsigned, a replica that refuses it, those of the way to Redis; beside each of them the revision before stays in use, unless the
// error is only about what should be dropped (Done.Sequence is not 0 then).
func (s *Store) Publish(ctx context.Context, content snapshot.Content, o Publication) (Done, error) {
	record := snapshot.NewRecord(content)
	sealed := publication.Seal(record, o.Private)
	if len(sealed) > publication.MaxSealed {
		return Done{}, errors.New("there are too many families for one revision")
	}
	done := Done{Ref: publication.RefOf(record.Name, sealed)}
	p, err := s.Pointer(ctx)
	if errors.Is(err, errPointer) {
		o.say("%v; it is replaced", err)
	} else if err != nil {
		return done, err
	}
	done.Before = p.Current
	if err := s.mayFollow(ctx, p.Current, sealed, o.Unsigned); err != nil {
		return done, err
	}
	if err := s.begin(ctx, done.Ref, sealed); err != nil {
		return done, err
	}
	if done.Written, err = s.write(ctx, content, record, o); err != nil {
		return done, err
	}
	o.say("%d of %d pieces were there already", len(record.Families)+1-done.Written, len(record.Families)+1)
	if done.Sequence, err = s.promote(ctx, done.Ref, p, true, o); err != nil {
		return done, err
	}
	if done.Dropped, err = s.retain(ctx, o.Keep); err != nil {
		err = fmt.Errorf("it is in use, but old revisions could not be dropped: %w", err)
	}
	return done, err
}

// mayFollow keeps a forgotten key from replacing a signed revision by one that replicas refuse.
func (s *Store) mayFollow(ctx context.Context, current publication.Ref, sealed []byte, unsigned bool) error {
	if unsigned || current.IsZero() || publication.SignedWith(sealed) != "" {
		return nil
	}
	before, err := s.sealed(ctx, current)
	if isAway(err) {
		return err
	}
	if err == nil && publication.SignedWith(before) != "" {
		return fmt.Errorf("%w: %s", ErrUnsigned, current.Name)
	}
	return nil
}

// write compares the pieces with those that are there, and writes those that are missing or other.
func (s *Store) write(ctx context.Context, content snapshot.Content, record snapshot.Record, o Publication) (written int, err error) {
	pieces := record.Pieces()
	blob := func(i int) []byte {
		if i == 0 {
			return snapshot.EncodeHead(content.Head)
		}
		return snapshot.EncodeFamily(content.Families[i-1])
	}
	read := s.blobs(ctx)
	told := time.Now()
	for from := 0; from < len(pieces); {
		to, size := from, 0
		for to < len(pieces) && to-from < batchPieces && size < batchBytes {
			size += pieces[to].Size
			to++
		}
		there, err := read(pieces[from:to])
		if err != nil {
			return written, err
		}
		pipe := s.client.Pipeline()
		for i := from; i < to; i++ {
			if b := blob(i); !bytes.Equal(b, there[i-from]) {
				pipe.Set(ctx, keyBlob(pieces[i].Digest), b, redis.KeepTTL)
				written++
			}
		}
		if _, err := pipe.Exec(ctx); away(err) != nil {
			return written, away(err)
		}
		if from = to; time.Since(told) >= time.Second {
			told = time.Now()
			o.say("%d of %d pieces", from, len(pieces))
		}
	}
	return written, nil
}

// promote stages a revision, waits, and moves the pointer.
func (s *Store) promote(ctx context.Context, ref publication.Ref, p Pointer, fresh bool, o Publication) (int64, error) {
	before, err := s.roll(ctx) // as they are before they hear of it
	if err != nil {
		return 0, err
	}
	writes, err := s.stage(ctx, ref, p.Sequence, fresh)
	if err != nil {
		return 0, err
	}
	if o.Wait > 0 {
		if err := s.await(ctx, ref, writes, before, o); err != nil {
			back, cancel := context.WithTimeout(context.WithoutCancel(ctx), askTime)
			defer cancel()
			return 0, errors.Join(err, s.unstage(back, ref))
		}
	}
	sequence, err := s.move(ctx, ref, p.Sequence)
	if errors.Is(err, ErrConflict) {
		if now, e := s.Pointer(ctx); e == nil && now.Current == ref {
			return now.Sequence, nil // somebody published just the same
		}
	}
	return sequence, err
}

// Rollback puts an earlier revision in use again: the newest that is kept under that name, or, where name is empty, the
// one that was in use before. It is checked like one that is followed, against trusted where that is not empty, before
// the pointer moves. Errors: ErrNothing, ErrUnknown, ErrConflict, those of Load.
func (s *Store) Rollback(ctx context.Context, name string, trusted []ed25519.PublicKey, o Publication) (Done, error) {
	p, err := s.Pointer(ctx)
	if err != nil {
		return Done{}, err
	}
	done := Done{Before: p.Current, Ref: p.Previous}
	switch {
	case p.Current.IsZero():
		return done, ErrNothing
	case name != "":
		if done.Ref, err = s.find(ctx, name); err != nil {
			return done, err
		}
	case p.Previous.IsZero():
		return done, fmt.Errorf("%w before the one in use", ErrNothing)
	}
	if err := s.touch(ctx); err != nil { // nothing is dropped from here on
		return done, err
	}
	if _, _, err := s.Load(ctx, done.Ref, trusted, nil); err != nil {
		return done, fmt.Errorf("%s: %w", done.Ref.Name, err)
	}
	o.say("%s is whole", done.Ref.Name)
	done.Sequence, err = s.promote(ctx, done.Ref, p, false, o)
	return done, err
}

func (s *Store) touch(ctx context.Context) error { return away(s.client.Incr(ctx, keyWrites).Err()) }
