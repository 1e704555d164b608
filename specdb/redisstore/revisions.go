package redisstore

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/redis/go-redis/v9"

	"endfloat/specdb/publication"
	"endfloat/specdb/snapshot"
)

// mostRevisions is how many revisions are looked at.
const mostRevisions = 10_000

// Revision is one that is kept.
type Revision struct {
	Ref      publication.Ref
	At       time.Time // when it was published last
	Date     string    // of the catalogue
	Families int
	Size     int64  // bytes of its pieces
	Key      string // names the key that it is signed with; empty: unsigned
	Use      string // "current", "staged", "previous" or empty
	Fault    error  // why its record cannot be read
}

// kept lists references of a sorted set, newest first.
func (s *Store) kept(ctx context.Context, key string) ([]publication.Ref, []time.Time, error) {
	all, err := s.client.ZRevRangeWithScores(ctx, key, 0, mostRevisions-1).Result()
	if away(err) != nil {
		return nil, nil, away(err)
	}
	var refs []publication.Ref
	var at []time.Time
	for _, z := range all {
		text, _ := z.Member.(string)
		if ref, err := publication.ParseRef(text); err == nil && !ref.IsZero() {
			refs, at = append(refs, ref), append(at, time.UnixMilli(int64(z.Score)))
		}
	}
	return refs, at, nil
}

// Revisions lists what is kept, newest first.
func (s *Store) Revisions(ctx context.Context) ([]Revision, error) {
	p, err := s.Pointer(ctx)
	if err != nil {
		return nil, err
	}
	refs, at, err := s.kept(ctx, keyRevisions)
	if err != nil {
		return nil, err
	}
	var out []Revision
	for i, ref := range refs {
		r := Revision{Ref: ref, At: at[i]}
		switch ref {
		case p.Current:
			r.Use = "current"
		case p.Staged:
			r.Use = "staged"
		case p.Previous:
			r.Use = "previous"
		}
		sealed, err := s.sealed(ctx, ref)
		if isAway(err) {
			return nil, err
		}
		var record snapshot.Record
		if err == nil {
			r.Key = publication.SignedWith(sealed)
			record, err = publication.Open(sealed, nil)
		}
		r.Fault, r.Date, r.Families, r.Size = err, shown(record.Date), len(record.Families), record.Size()
		out = append(out, r)
	}
	return out, nil
}

// find is the newest revision that is kept under a name.
func (s *Store) find(ctx context.Context, name string) (publication.Ref, error) {
	refs, _, err := s.kept(ctx, keyRevisions)
	if err != nil {
		return publication.Ref{}, err
	}
	var names []string
	for _, r := range refs {
		if r.Name == name {
			return r, nil
		}
		names = append(names, r.Name)
	}
	return publication.Ref{}, fmt.Errorf("%.40q: %w; there are %s", name, ErrUnknown, strings.Join(names[:min(len(names), 20)], ", "))
}

// unfinished is how long somebody may write before it is thought to be given up.
const unfinished = time.Hour

// dropAtOnce is how many blobs one script removes, so that nobody waits for it.
const dropAtOnce = 500

// retain drops revisions beyond those that are kept, and whatever only they are made of. What is in use, staged or was
// in use before stays. When somebody begins to write meanwhile, it ends: the next publication drops the rest.
func (s *Store) retain(ctx context.Context, keep int) (dropped int, err error) {
	if keep <= 0 {
		keep = DefaultKeep
	}
	reply, err := redis.NewScript(lookScript).Run(ctx, s.client, []string{keyWrites}).Int64Slice()
	if away(err) != nil {
		return 0, away(err)
	}
	writes, clock := reply[0], time.UnixMilli(reply[1])
	p, err := s.Pointer(ctx)
	if err != nil {
		return 0, err
	}
	refs, _, err := s.kept(ctx, keyRevisions)
	if err != nil {
		return 0, err
	}
	begun, since, err := s.kept(ctx, keyWriting)
	if err != nil {
		return 0, err
	}
	var stay, leave []publication.Ref
	for i, ref := range refs {
		if i < keep || ref == p.Current || ref == p.Staged || ref == p.Previous {
			stay = append(stay, ref)
		} else {
			leave = append(leave, ref)
		}
	}
	for i, ref := range begun {
		switch {
		case slices.Contains(stay, ref):
		case clock.Sub(since[i]) < unfinished:
			stay = append(stay, ref)
		case !slices.Contains(leave, ref):
			leave = append(leave, ref)
		}
	}
	if len(leave) == 0 {
		return 0, nil
	}
	return s.drop(ctx, writes, stay, leave)
}

// drop removes the blobs first and the records last, so that a fault between the two leaves nothing that nobody finds.
func (s *Store) drop(ctx context.Context, writes int64, stay, leave []publication.Ref) (dropped int, err error) {
	needed, err := s.digests(ctx, stay, true)
	if err != nil {
		return 0, err
	}
	known, err := s.digests(ctx, leave, false)
	if err != nil {
		return 0, err
	}
	var keys []string
	for d := range known {
		if !needed[d] {
			keys = append(keys, keyBlob(d))
		}
	}
	for part := range slices.Chunk(keys, dropAtOnce) {
		n, err := s.eval(ctx, dropScript, append([]string{keyWrites}, part...), writes)
		if err != nil || n < 0 {
			return 0, err
		}
	}
	for _, ref := range leave {
		n, err := s.eval(ctx, forgetScript, []string{keyWrites, keyCurrent, keyStaged, keyPrevious, keyRevisions, keyWriting, keyManifest(ref.Digest)}, writes, ref.String())
		if err != nil || n < 0 {
			return dropped, err
		}
		dropped++
	}
	return dropped, nil
}

// digests are the blobs that revisions are made of. A record that is broken or of another schema is an error where every
// one has to be known, else it has none; neither has one that is gone, which nobody can serve any more.
func (s *Store) digests(ctx context.Context, refs []publication.Ref, every bool) (map[string]bool, error) {
	all := map[string]bool{}
	for _, ref := range refs {
		sealed, err := s.sealed(ctx, ref)
		var record snapshot.Record
		if err == nil {
			record, err = publication.Open(sealed, nil)
		}
		if isAway(err) || err != nil && every && !errors.Is(err, ErrUnknown) {
			return nil, fmt.Errorf("%s: %w", ref.Name, err)
		}
		if err != nil {
			continue
		}
		all[record.Head.Digest] = true
		for _, f := range record.Families {
			all[f.Digest] = true
		}
	}
	return all, nil
}
