package redisstore

import (
	"context"
	"fmt"

	"github.com/redis/go-redis/v9"

	"endfloat/specdb/publication"
)

// The scripts each do one thing at once. Times are those of Redis, in milliseconds; KEYS share one slot.
const (
	now = `local t = redis.call('TIME'); local ms = t[1] * 1000 + math.floor(t[2] / 1000); `

	// begin keeps a record and notes that its pieces are about to be written.
	beginScript = now + `
redis.call('SET', KEYS[1], ARGV[2])
redis.call('ZADD', KEYS[2], ms, ARGV[1])
return redis.call('INCR', KEYS[3])`

	// stage says that a revision is whole and should be made ready, unless the pointer has moved.
	stageScript = now + `
if (redis.call('GET', KEYS[1]) or '0') ~= ARGV[2] then return 0 end
if redis.call('EXISTS', KEYS[2]) == 0 then return -1 end
if ARGV[3] == 'new' then redis.call('ZADD', KEYS[3], ms, ARGV[1]) end
redis.call('ZREM', KEYS[4], ARGV[1])
redis.call('SET', KEYS[5], ARGV[1])
local writes = redis.call('INCR', KEYS[6])
redis.call('PUBLISH', ARGV[4], 'staged')
return writes`

	// move puts the staged revision in use, unless the pointer has moved or another one is staged.
	moveScript = `
if (redis.call('GET', KEYS[1]) or '0') ~= ARGV[2] then return 0 end
if redis.call('GET', KEYS[2]) ~= ARGV[1] then return 0 end
local before = redis.call('GET', KEYS[3])
if before and before ~= ARGV[1] and string.match(before, '^r%-%x+/%x+$') then redis.call('SET', KEYS[4], before) end
redis.call('SET', KEYS[3], ARGV[1])
redis.call('DEL', KEYS[2])
local sequence = redis.call('INCR', KEYS[1])
redis.call('PUBLISH', ARGV[3], 'moved')
return sequence`

	// unstage takes back what was staged.
	unstageScript = `
if redis.call('GET', KEYS[1]) ~= ARGV[1] then return 0 end
redis.call('DEL', KEYS[1])
redis.call('PUBLISH', ARGV[2], 'unstaged')
return 1`

	// look reads the counter and the time.
	lookScript = now + `return {tonumber(redis.call('GET', KEYS[1]) or '0'), ms}`

	// drop removes blobs, unless somebody began to write since the counter was read.
	dropScript = `
if (redis.call('GET', KEYS[1]) or '0') ~= ARGV[1] then return -1 end
local n = 0
for i = 2, #KEYS do n = n + redis.call('UNLINK', KEYS[i]) end
return n`

	// forget removes a record, unless somebody began to write or the pointer names it.
	forgetScript = `
if (redis.call('GET', KEYS[1]) or '0') ~= ARGV[1] then return -1 end
for i = 2, 4 do if redis.call('GET', KEYS[i]) == ARGV[2] then return -1 end end
redis.call('ZREM', KEYS[5], ARGV[2])
redis.call('ZREM', KEYS[6], ARGV[2])
return redis.call('UNLINK', KEYS[7])`
)

// eval runs a script that answers with a number.
func (s *Store) eval(ctx context.Context, script string, keys []string, args ...any) (int64, error) {
	n, err := redis.NewScript(script).Run(ctx, s.client, keys, args...).Int64()
	return n, away(err)
}

func (s *Store) begin(ctx context.Context, ref publication.Ref, sealed []byte) error {
	_, err := s.eval(ctx, beginScript, []string{keyManifest(ref.Digest), keyWriting, keyWrites}, ref.String(), sealed)
	return err
}

// stage asks everybody to make a revision ready. fresh says that it was published just now. writes is the counter that
// whoever has seen it has seen. Errors: ErrConflict, ErrUnknown.
func (s *Store) stage(ctx context.Context, ref publication.Ref, sequence int64, fresh bool) (writes int64, err error) {
	age := "old"
	if fresh {
		age = "new"
	}
	keys := []string{keySequence, keyManifest(ref.Digest), keyRevisions, keyWriting, keyStaged, keyWrites}
	n, err := s.eval(ctx, stageScript, keys, ref.String(), sequence, age, channel)
	switch {
	case err != nil:
		return 0, err
	case n == 0:
		return 0, ErrConflict
	case n < 0:
		return 0, fmt.Errorf("%s: %w", ref.Name, ErrUnknown)
	}
	return n, nil
}

// move puts a staged revision in use. Errors: ErrConflict.
func (s *Store) move(ctx context.Context, ref publication.Ref, sequence int64) (int64, error) {
	n, err := s.eval(ctx, moveScript, []string{keySequence, keyStaged, keyCurrent, keyPrevious}, ref.String(), sequence, channel)
	if err == nil && n == 0 {
		err = ErrConflict
	}
	return n, err
}

func (s *Store) unstage(ctx context.Context, ref publication.Ref) error {
	_, err := s.eval(ctx, unstageScript, []string{keyStaged}, ref.String(), channel)
	return err
}
