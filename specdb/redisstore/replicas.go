package redisstore

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"endfloat/specdb/publication"
)

// Bounds of what followers say about themselves.
const (
	mostReplicas = 10_000
	maxReplica   = 2 << 10
)

// errCrowd is a list that holds more than can be following, such as what a service left that was killed again and again.
var errCrowd = errors.New("the list of replicas is too long; the next publication makes a new one")

// Replica is somebody who follows.
type Replica struct {
	ID      string `json:"-"`
	Beat    int64  `json:"beat"`              // another one at every poll
	Seen    int64  `json:"seen"`              // Pointer.Writes of that poll
	Serves  string `json:"serves"`            // name of the revision
	Ready   string `json:"ready,omitempty"`   // reference of the staged revision that it has made ready
	Refuses string `json:"refuses,omitempty"` // reference of the revision that it refuses
	Why     string `json:"why,omitempty"`
}

// Replicas lists who follows, by their ids. One that was killed stays in the list until the next publication.
func (s *Store) Replicas(ctx context.Context) ([]Replica, error) {
	all, err := s.replicas(ctx)
	if err != nil {
		return nil, err
	}
	var out []Replica
	for _, r := range all {
		out = append(out, r)
	}
	slices.SortFunc(out, func(a, b Replica) int { return strings.Compare(a.ID, b.ID) })
	return out, nil
}

func (s *Store) replicas(ctx context.Context) (map[string]Replica, error) {
	n, err := s.client.HLen(ctx, keyReplicas).Result()
	if away(err) != nil {
		return nil, away(err)
	}
	if n > mostReplicas {
		return nil, errCrowd
	}
	texts, err := s.client.HGetAll(ctx, keyReplicas).Result()
	if away(err) != nil {
		return nil, away(err)
	}
	out := map[string]Replica{}
	for id, text := range texts {
		r := Replica{ID: id}
		if !isID(id) || len(text) > maxReplica || json.Unmarshal([]byte(text), &r) != nil {
			continue // it was no follower that wrote this
		}
		r.Serves, r.Why = shown(r.Serves), shown(r.Why)
		out[id] = r
	}
	return out, nil
}

// isID reports whether s has the form of the name of a follower.
func isID(s string) bool {
	return s != "" && len(s) <= 64 && !strings.ContainsFunc(s, func(c rune) bool { return (c < '0' || c > '9') && (c < 'a' || c > 'z') && c != '-' })
}

// shown is somebody else's text as a terminal may see it.
func shown(s string) string {
	return strings.Map(func(c rune) rune {
		if !unicode.IsPrint(c) {
			return -1
		}
		return c
	}, strings.ToValidUTF8(s[:min(len(s), 400)], ""))
}

// beat says what a follower has.
func (s *Store) beat(ctx context.Context, r Replica) error {
	r.Why = strings.ToValidUTF8(r.Why[:min(len(r.Why), 300)], "")
	text, err := json.Marshal(r)
	if err != nil {
		return err
	}
	return away(s.client.HSet(ctx, keyReplicas, r.ID, text).Err())
}

// roll is who follows before a publication. A list that is too long is made anew: who lives is in it with the next poll.
func (s *Store) roll(ctx context.Context) (map[string]Replica, error) {
	all, err := s.replicas(ctx)
	if errors.Is(err, errCrowd) {
		return map[string]Replica{}, away(s.client.Del(ctx, keyReplicas).Err())
	}
	return all, err
}

// leave takes followers out of the list.
func (s *Store) leave(ctx context.Context, ids ...string) error {
	return away(s.client.HDel(ctx, keyReplicas, ids...).Err())
}

// looking is how often a publisher looks whether replicas are ready.
const looking = 50 * time.Millisecond

// gone is how long a replica may say nothing after it was asked before it is thought to have ended: three polls.
const gone = 3 * DefaultEvery

// await waits until every replica that lives has a revision ready. One that refuses it is an error, one that is late is
// none: it follows when it can. Those that say nothing at all are taken out of the list.
func (s *Store) await(ctx context.Context, ref publication.Ref, writes int64, before map[string]Replica, o Publication) error {
	begun := time.Now()
	tick := time.NewTicker(looking)
	defer tick.Stop()
	told := -1
	for {
		now, err := s.replicas(ctx)
		if err != nil {
			return err
		}
		ready, late, silent, err := tally(now, before, ref, writes)
		if err != nil {
			return err
		}
		waited := time.Since(begun)
		if waited >= gone && len(silent) > 0 {
			if err := s.leave(ctx, silent...); err != nil {
				return err
			}
			o.say("%d replicas have said nothing for %v and are not waited for", len(silent), gone)
			silent = nil
		}
		open := len(late) + len(silent)
		switch {
		case ready+open == 0:
			o.say("nobody follows yet")
		case ready != told || open == 0:
			told = ready
			o.say("%d of %d replicas have it ready", ready, ready+open)
		}
		if open == 0 {
			return nil
		}
		if waited >= o.Wait {
			o.say("not ready after %v: %s; they follow when they can", o.Wait, strings.Join(slices.Sorted(slices.Values(append(late, silent...))), ", "))
			return nil
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-tick.C:
		}
	}
}

// tally parts replicas into those that are ready, that live and are late, and that have said nothing since before.
func tally(now, before map[string]Replica, ref publication.Ref, writes int64) (ready int, late, silent []string, err error) {
	for id, r := range now {
		was, known := before[id]
		switch {
		case r.Refuses == ref.String() && r.Seen >= writes: // an earlier poll may have refused what is mended by now
			return 0, nil, nil, fmt.Errorf("replica %s refuses %s: %s", id, ref.Name, r.Why)
		case r.Ready == ref.String():
			ready++
		case known && was.Beat == r.Beat:
			silent = append(silent, id)
		default:
			late = append(late, id)
		}
	}
	return ready, late, silent, nil
}
