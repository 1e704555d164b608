package redisstore_test

import (
	"context"
	"crypto/ed25519"
	"crypto/sha256"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/alicebob/miniredis/v2"
	"go.uber.org/goleak"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb"
	"endfloat/specdb/manifest"
	"endfloat/specdb/publication"
	"endfloat/specdb/redislink"
	"endfloat/specdb/redisstore"
	"endfloat/specdb/snapshot"
)

// patience is how long a test waits for what must come.
const patience = time.Minute

func TestMain(m *testing.M) {
	redislink.Quiet(slog.New(slog.DiscardHandler))
	code := m.Run()
	if err := goleak.Find(); err != nil && code == 0 {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

// content is a revision of two families, of which the first is always the same.
func content(date string) snapshot.Content {
	return snapshot.NewContent(manifest.Head{Date: date}, []*catalogue.Family{
		{Key: "a", Name: spec.English("A")}, {Key: "b", Name: spec.English("B " + date)}}, nil)
}

func pair(name string) (ed25519.PrivateKey, ed25519.PublicKey) {
	seed := sha256.Sum256([]byte(name))
	private := ed25519.NewKeyFromSeed(seed[:])
	return private, private.Public().(ed25519.PublicKey)
}

func server(t testing.TB) *miniredis.Miniredis {
	t.Helper()
	s := miniredis.RunT(t)
	return s
}

func open(t testing.TB, addr string) *redisstore.Store {
	t.Helper()
	target, err := redislink.Parse("redis://" + addr)
	if err != nil {
		t.Fatal(err)
	}
	s := redisstore.Open(target)
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func publish(t testing.TB, s *redisstore.Store, c snapshot.Content, o redisstore.Publication) redisstore.Done {
	t.Helper()
	done, err := s.Publish(t.Context(), c, o)
	if err != nil {
		t.Fatal(err)
	}
	return done
}

func TestPublishedRevisionsAreFollowed(t *testing.T) {
	t.Parallel()
	addr := server(t).Addr()
	shared := open(t, addr)
	one, two := content("2026-01-01"), content("2026-02-01")
	early := follow(t, addr, redisstore.Following{}) // before anything is published
	await(t, "a first poll", func() bool { return early.State().Empty })
	if done := publish(t, shared, one, redisstore.Publication{}); done.Written != 3 || !done.Before.IsZero() || done.Sequence != 1 {
		t.Errorf("%+v", done)
	}
	early.awaits(t, one.Name)
	late := follow(t, addr, redisstore.Following{})
	if late.held.Current().Name != one.Name || late.State().Source != redisstore.Redis {
		t.Error("what is published is not what it starts with")
	}
	var lines []string
	await(t, "two replicas", func() bool { r, err := shared.Replicas(t.Context()); return err == nil && len(r) == 2 })
	done := publish(t, shared, two, redisstore.Publication{Wait: patience, Say: func(l string) { lines = append(lines, l) }})
	if done.Written != 2 || done.Before.Name != one.Name || !strings.Contains(strings.Join(lines, "\n"), "2 of 2 replicas have it ready") {
		t.Errorf("%+v %q", done, lines)
	}
	for _, f := range []*follower{early, late} {
		f.awaits(t, two.Name)
		if rev := f.held.Current(); len(f.told(redisstore.Staged)) == 0 || rev.Families[0] != mustAt(t, f.held, one.Name).Families[0] {
			t.Error("it was not staged, or families are not shared")
		}
	}
	for range 2 { // forth and back again
		if done, err := shared.Rollback(t.Context(), "", nil, redisstore.Publication{}); err != nil || done.Before.IsZero() {
			t.Errorf("%+v %v", done, err)
		}
		if p, err := shared.Pointer(t.Context()); err != nil || p.Current == p.Previous {
			t.Errorf("%+v %v", p, err)
		}
	}
	if _, err := shared.Rollback(t.Context(), one.Name, nil, redisstore.Publication{Wait: patience}); err != nil {
		t.Error(err)
	}
	late.awaits(t, one.Name)
	if _, err := shared.Rollback(t.Context(), "r-000000000000", nil, redisstore.Publication{}); !errors.Is(err, redisstore.ErrUnknown) {
		t.Error(err)
	}
	early.end()
	<-early.ended
	if r, err := shared.Replicas(t.Context()); err != nil || len(r) != 1 {
		t.Errorf("one that ended is still listed: %v %v", r, err)
	}
}

func mustAt(t testing.TB, s *specdb.Store, name string) *catalogue.Revision {
	t.Helper()
	rev, ok := s.At(name)
	if !ok {
		t.Fatalf("%s does not answer", name)
	}
	return rev
}

// What a publication says of earlier revisions is no part of its name, and reaches everybody all the same.
func TestWithdrawingIsPublished(t *testing.T) {
	t.Parallel()
	addr := server(t).Addr()
	shared := open(t, addr)
	one, two := content("2026-01-01"), content("2026-02-01")
	publish(t, shared, one, redisstore.Publication{})
	first := publish(t, shared, two, redisstore.Publication{})
	f := follow(t, addr, redisstore.Following{})
	publish(t, shared, one, redisstore.Publication{})
	f.awaits(t, one.Name)
	publish(t, shared, two, redisstore.Publication{})
	f.awaits(t, two.Name)
	two.Withdrawn = []manifest.Withdrawn{{Revision: one.Name, Reason: spec.English("misread")}}
	if done := publish(t, shared, two, redisstore.Publication{}); done.Ref.Name != first.Ref.Name || done.Ref == first.Ref || done.Written != 0 {
		t.Errorf("%+v", done)
	}
	await(t, "a withdrawn revision", func() bool { return mustAt(t, f.held, one.Name).Withdrawn })
	if f.held.Current().Name != two.Name {
		t.Error(f.held.Current().Name)
	}
}

func TestAnEmptyRedisHasNothing(t *testing.T) {
	t.Parallel()
	shared := open(t, server(t).Addr())
	if list, err := shared.Revisions(t.Context()); err != nil || len(list) != 0 {
		t.Errorf("%v %v", list, err)
	}
	if _, err := shared.Rollback(t.Context(), "", nil, redisstore.Publication{}); !errors.Is(err, redisstore.ErrNothing) {
		t.Error(err)
	}
	publish(t, shared, content("2026-01-01"), redisstore.Publication{})
	if _, err := shared.Rollback(t.Context(), "", nil, redisstore.Publication{}); !errors.Is(err, redisstore.ErrNothing) {
		t.Error(err)
	}
}

func TestOldRevisionsAreDroppedWithWhatOnlyTheyHold(t *testing.T) {
	t.Parallel()
	s := server(t)
	shared := open(t, s.Addr())
	first := content("2026-01-01")
	for m := 1; m <= 4; m++ {
		s.SetTime(time.Date(2026, 11, 1, m, 0, 0, 0, time.UTC))
		publish(t, shared, content(fmt.Sprintf("2026-0%d-01", m)), redisstore.Publication{Keep: 2})
	}
	// In use is the fourth, before it was the third: two manifests; blobs are the shared family, two heads, two families.
	count := func(part string) int {
		return len(slices.DeleteFunc(s.Keys(), func(k string) bool { return !strings.Contains(k, part) }))
	}
	if m, b := count(":manifest:"), count(":blob:"); m != 2 || b != 5 {
		t.Errorf("%d manifests, %d blobs: %v", m, b, s.Keys())
	}
	list, err := shared.Revisions(t.Context())
	if err != nil || len(list) != 2 || list[0].Use != "current" || list[1].Use != "previous" || list[0].Date != "2026-04-01" || list[0].Families != 2 {
		t.Errorf("%+v %v", list, err)
	}
	if _, err := shared.Rollback(t.Context(), first.Name, nil, redisstore.Publication{}); !errors.Is(err, redisstore.ErrUnknown) {
		t.Error(err)
	}
	if _, err := shared.Rollback(t.Context(), "", nil, redisstore.Publication{}); err != nil { // to the third, which is the oldest
		t.Fatal(err)
	}
	s.SetTime(time.Date(2026, 11, 1, 5, 0, 0, 0, time.UTC))
	publish(t, shared, content("2026-05-01"), redisstore.Publication{Keep: 1}) // the third is the one before, and stays
	if list, err := shared.Revisions(t.Context()); err != nil || len(list) != 2 || list[1].Date != "2026-03-01" {
		t.Errorf("%+v %v", list, err)
	}
}

// A publisher that was killed while it wrote leaves something behind, which is dropped once nobody can be writing it.
func TestWhatWasNeverFinishedIsDropped(t *testing.T) {
	t.Parallel()
	s := server(t)
	shared := open(t, s.Addr())
	began := time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)
	half := content("2026-09-01")
	record := snapshot.NewRecord(half)
	sealed := publication.Seal(record, nil)
	ref := publication.RefOf(half.Name, sealed)
	left := []string{"{endfloat}:manifest:" + ref.Digest, "{endfloat}:blob:" + record.Families[1].Digest}
	for k, v := range map[string]string{left[0]: string(sealed), left[1]: string(snapshot.EncodeFamily(half.Families[1]))} {
		if err := s.Set(k, v); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.ZAdd("{endfloat}:writing", float64(began.UnixMilli()), ref.String()); err != nil {
		t.Fatal(err)
	}
	for i, row := range []struct {
		after time.Duration
		stays bool
	}{{59 * time.Minute, true}, {61 * time.Minute, false}} {
		s.SetTime(began.Add(row.after))
		publish(t, shared, content(fmt.Sprintf("2026-0%d-01", i+1)), redisstore.Publication{})
		for _, k := range left {
			if s.Exists(k) != row.stays {
				t.Errorf("after %v %s is there: %v", row.after, k, s.Exists(k))
			}
		}
	}
	if p, err := shared.Pointer(t.Context()); err != nil { // the family that all share is still whole
		t.Error(err)
	} else if _, _, err := shared.Load(t.Context(), p.Current, nil, nil); err != nil {
		t.Error(err)
	}
}

func TestOfTwoPublishersOneIsTold(t *testing.T) {
	t.Parallel()
	s := server(t)
	s.HSet("{endfloat}:replicas", "slow", `{"beat":1,"serves":"r-0123456789ab"}`) // somebody to wait for
	one, two := open(t, s.Addr()), open(t, s.Addr())
	ended := make(chan error, 1)
	go func() {
		_, err := one.Publish(context.Background(), content("2026-01-01"), redisstore.Publication{Wait: patience})
		ended <- err
	}()
	await(t, "a staged revision", func() bool { return s.Exists("{endfloat}:staged") })
	publish(t, two, content("2026-02-01"), redisstore.Publication{})
	s.HDel("{endfloat}:replicas", "slow")
	if err := <-ended; !errors.Is(err, redisstore.ErrConflict) {
		t.Errorf("%v", err)
	}
	if p, err := two.Pointer(t.Context()); err != nil || p.Current.Name != content("2026-02-01").Name || p.Sequence != 1 {
		t.Errorf("%+v %v", p, err)
	}
}

// However many publish at once, every revision that was ever in use is whole, and the pointer counts the moves.
func TestManyPublishers(t *testing.T) {
	t.Parallel()
	addr := server(t).Addr()
	var wait sync.WaitGroup
	var lock sync.Mutex
	moves := int64(0)
	for g := range 4 {
		wait.Go(func() {
			shared := open(t, addr)
			for i := range 6 {
				done, err := shared.Publish(context.Background(), content(fmt.Sprintf("20%d%d-01-01", g+1, i)), redisstore.Publication{Keep: 2})
				if errors.Is(err, redisstore.ErrConflict) {
					continue
				}
				if err != nil {
					t.Error(err)
				}
				if _, _, err := shared.Load(context.Background(), done.Ref, nil, nil); err != nil {
					if p, e := shared.Pointer(context.Background()); e != nil || p.Current == done.Ref || p.Previous == done.Ref {
						t.Error(err, e) // any other may be dropped by now
					}
				}
				lock.Lock()
				moves++
				lock.Unlock()
			}
		})
	}
	wait.Wait()
	shared := open(t, addr)
	p, err := shared.Pointer(t.Context())
	if err != nil || p.Sequence != moves || moves == 0 {
		t.Errorf("%d moves, %+v %v", moves, p, err)
	}
	if _, _, err := shared.Load(t.Context(), p.Current, nil, nil); err != nil {
		t.Error(err)
	}
}

func TestASignedRevisionIsNotReplacedByAForgottenKey(t *testing.T) {
	t.Parallel()
	s := server(t)
	s.SetTime(time.Date(2026, 11, 1, 1, 0, 0, 0, time.UTC))
	shared := open(t, s.Addr())
	private, _ := pair("ours")
	signed := publish(t, shared, content("2026-01-01"), redisstore.Publication{Private: private})
	if _, err := shared.Publish(t.Context(), content("2026-02-01"), redisstore.Publication{}); !errors.Is(err, redisstore.ErrUnsigned) {
		t.Error(err)
	}
	if p, _ := shared.Pointer(t.Context()); p.Current != signed.Ref {
		t.Errorf("%+v", p)
	}
	s.SetTime(time.Date(2026, 11, 1, 2, 0, 0, 0, time.UTC)) // else the two may fall into one millisecond
	publish(t, shared, content("2026-02-01"), redisstore.Publication{Unsigned: true})
	if list, err := shared.Revisions(t.Context()); err != nil || list[0].Key != "" || list[1].Key == "" {
		t.Errorf("%+v %v", list, err)
	}
}

func ExampleFollow() {
	target, _ := redislink.Parse("redis://127.0.0.1:1") // nobody is there
	shared := redisstore.Open(target)
	defer func() { _ = shared.Close() }()
	f := redisstore.Follow(shared, redisstore.Following{})
	_, err := f.First(context.Background())
	fmt.Println(err != nil, f.State().Source == redisstore.Other)
	// Output: true true
}
