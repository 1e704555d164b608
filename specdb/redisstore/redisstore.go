// Package redisstore shares revisions through Redis: a publisher puts them there, those who serve follow.
//
// It decides the two steps of publishing: a revision is staged, so that everybody has it ready, and only then is the
// pointer moved, by compare-and-set. It decides what a follower refuses: whatever is not whole, not what its digests say,
// not signed by a demanded key, or of another schema. It refuses to know what is in a catalogue, and stands in nobody's
// way to an answer: a follower swaps revisions behind an atomic pointer, and Redis may be slow, wrong or gone meanwhile.
//
//	shared := redisstore.Open(target)
//	done, err := shared.Publish(ctx, content, redisstore.Publication{Private: key, Wait: 30 * time.Second})
//
// All keys have one hash tag, so that they share a slot of a Cluster and a script may touch several:
//
//	{endfloat}:sequence  {endfloat}:current  {endfloat}:staged  {endfloat}:previous    the pointer
//	{endfloat}:revisions {endfloat}:writing                  what is whole, and what somebody is about to write, by time
//	{endfloat}:manifest:DIGEST  {endfloat}:blob:DIGEST       sealed records; heads and families
//	{endfloat}:writes                                        counts what was begun, so that nothing of it is dropped
//	{endfloat}:replicas                                      who follows, and what each has ready
package redisstore

import (
	"context"
	"errors"
	"fmt"
	"net"
	"strconv"
	"time"

	"github.com/redis/go-redis/v9"

	"endfloat/specdb/publication"
	"endfloat/specdb/redislink"
)

const (
	prefix       = "{endfloat}:"
	keySequence  = prefix + "sequence"
	keyCurrent   = prefix + "current"
	keyStaged    = prefix + "staged"
	keyPrevious  = prefix + "previous"
	keyRevisions = prefix + "revisions"
	keyWriting   = prefix + "writing"
	keyWrites    = prefix + "writes"
	keyReplicas  = prefix + "replicas"
	channel      = prefix + "hint"
)

func keyManifest(digest string) string { return prefix + "manifest:" + digest }
func keyBlob(digest string) string     { return prefix + "blob:" + digest }

// Times of the connection: patience, since nobody waits for an answer.
const (
	readTime = 15 * time.Second
	askTime  = 3 * time.Second // for the pointer
	loadTime = 2 * time.Minute // for a whole revision

	firstTime = 30 * time.Second // for the one to start with, while nothing is served yet
)

// maxSmall is the most bytes of a small value.
const maxSmall = 256

// Errors that a caller may tell apart.
var (
	// ErrConflict says that somebody else published meanwhile; nothing was changed.
	ErrConflict = errors.New("somebody else published meanwhile")
	// ErrUnsigned is a revision without a signature where the one in use has one.
	ErrUnsigned = errors.New("the revision in use is signed and this one is not")
	// ErrNothing says that no revision was ever published.
	ErrNothing = errors.New("no revision has been published")
	// ErrUnknown is a revision that is not kept.
	ErrUnknown = errors.New("there is no such revision")
)

// Store is the catalogue that is shared. It is safe for concurrent use; Close ends it.
type Store struct {
	client redis.UniversalClient
	cut    func()
}

// Open makes a client; it connects when it is used.
func Open(target redislink.Target) *Store {
	o, cut := target.Cuttable()
	o.ReadTimeout, o.WriteTimeout, o.PoolTimeout = readTime, readTime, readTime
	o.DialerRetries, o.MaxRetries, o.PoolSize = 1, 1, 4
	return &Store{redis.NewUniversalClient(o), cut}
}

// Close ends all that is under way, at once. A second call does nothing and returns an error.
func (s *Store) Close() error {
	s.cut()
	return s.client.Close()
}

// awayError is a fault of the way to Redis, or of Redis itself, and none of what is kept there.
type awayError struct{ cause error }

func (e *awayError) Error() string {
	var slow net.Error
	if errors.Is(e.cause, context.DeadlineExceeded) || errors.As(e.cause, &slow) && slow.Timeout() {
		return "redis: no answer in time"
	}
	return "redis: " + e.cause.Error()
}
func (e *awayError) Unwrap() error { return e.cause }

// away marks an error as one of the way. What Redis says about a key that is not there never gets here.
func away(err error) error {
	if err == nil || errors.Is(err, redis.Nil) {
		return nil
	}
	return &awayError{err}
}

func isAway(err error) bool {
	var a *awayError
	return errors.As(err, &a)
}

// Pointer says which revision is in use. The zero value is that of an empty Redis.
type Pointer struct {
	Sequence                  int64 // counts its moves
	Writes                    int64 // rises with everything that is begun or staged
	Current, Staged, Previous publication.Ref
}

// errPointer is a pointer that no publisher wrote.
var errPointer = errors.New("the pointer is broken")

// Pointer reads it. Where it is broken, what can be read of it comes beside the error.
func (s *Store) Pointer(ctx context.Context) (Pointer, error) {
	var p Pointer
	texts, err := s.small(ctx, keySequence, keyWrites, keyCurrent, keyStaged, keyPrevious)
	if err != nil {
		return p, err
	}
	var broken error
	note := func(err error) {
		if err != nil {
			broken = errors.Join(broken, fmt.Errorf("%w: %w", errPointer, err))
		}
	}
	for i, n := range []*int64{&p.Sequence, &p.Writes} {
		if texts[i] != "" {
			*n, err = strconv.ParseInt(texts[i], 10, 64)
			note(err)
		}
	}
	for i, ref := range []*publication.Ref{&p.Current, &p.Staged, &p.Previous} {
		*ref, err = publication.ParseRef(texts[2+i])
		note(err)
	}
	return p, broken
}

// small reads small values; one that is not there is empty, one that is larger is cut.
func (s *Store) small(ctx context.Context, keys ...string) ([]string, error) {
	pipe := s.client.Pipeline()
	replies := make([]*redis.StringCmd, len(keys))
	for i, k := range keys {
		replies[i] = pipe.GetRange(ctx, k, 0, maxSmall)
	}
	if _, err := pipe.Exec(ctx); away(err) != nil {
		return nil, away(err)
	}
	out := make([]string, len(keys))
	for i, r := range replies {
		out[i] = r.Val()
	}
	return out, nil
}
