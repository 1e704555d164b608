package redisstore

import (
	"context"
	"crypto/ed25519"
	"fmt"

	"github.com/redis/go-redis/v9"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
	"endfloat/specdb/publication"
	"endfloat/specdb/snapshot"
)

// Load reads a revision and checks every byte of it: the record by the reference, its signature where trusted is not
// empty, each piece by its digest. Families that are held are not read again. Errors: ErrUnknown, those of
// publication.Open, of snapshot.Record.Load, of the way to Redis.
func (s *Store) Load(ctx context.Context, ref publication.Ref, trusted []ed25519.PublicKey, held map[string]*catalogue.Family) (snapshot.Content, []byte, error) {
	sealed, err := s.sealed(ctx, ref)
	if err != nil {
		return snapshot.Content{}, nil, err
	}
	record, err := publication.Open(sealed, trusted)
	if err == nil && record.Name != ref.Name {
		err = publication.ErrBroken
	}
	if err != nil {
		return snapshot.Content{}, nil, err
	}
	content, err := record.Load(held, s.blobs(ctx))
	return content, sealed, err
}

// sealed reads a sealed record.
func (s *Store) sealed(ctx context.Context, ref publication.Ref) ([]byte, error) {
	blob, err := s.client.GetRange(ctx, keyManifest(ref.Digest), 0, publication.MaxSealed).Bytes()
	if away(err) != nil {
		return nil, away(err)
	}
	if len(blob) == 0 {
		return nil, fmt.Errorf("%s: %w", ref.Name, ErrUnknown)
	}
	if publication.RefOf(ref.Name, blob) != ref {
		return nil, publication.ErrBroken
	}
	return blob, nil
}

// blobs reads pieces, and never more of one than a byte past the size that its record says.
func (s *Store) blobs(ctx context.Context) snapshot.Blobs {
	return func(pieces []manifest.Piece) ([][]byte, error) {
		pipe := s.client.Pipeline()
		replies := make([]*redis.StringCmd, len(pieces))
		for i, p := range pieces {
			replies[i] = pipe.GetRange(ctx, keyBlob(p.Digest), 0, int64(p.Size))
		}
		if _, err := pipe.Exec(ctx); away(err) != nil {
			return nil, away(err)
		}
		out := make([][]byte, len(pieces))
		for i, r := range replies {
			if blob, err := r.Bytes(); err == nil && len(blob) > 0 {
				out[i] = blob
			}
		}
		return out, nil
	}
}
