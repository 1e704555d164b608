package redisstore_test

import (
	"bytes"
	"crypto/ed25519"
	"errors"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/alicebob/miniredis/v2"

	"endfloat/specdb/publication"
	"endfloat/specdb/redisstore"
	"endfloat/specdb/snapshot"
)

// older is a record as an older schema would have begun it: the first byte behind seal and length is the schema.
func older(sealed []byte) []byte {
	blob := bytes.Clone(sealed)
	blob[len("endfloat\x00\x02")+4]--
	return blob
}

// put makes a record the one in use, as somebody who may write to Redis could.
func put(t testing.TB, s *miniredis.Miniredis, name string, sealed []byte) {
	t.Helper()
	ref := publication.RefOf(name, sealed)
	for k, v := range map[string]string{"manifest:" + ref.Digest: string(sealed), "current": ref.String(), "sequence": "9"} {
		if err := s.Set("{endfloat}:"+k, v); err != nil {
			t.Fatal(err)
		}
	}
	s.Publish("{endfloat}:hint", "moved")
}

func change(t testing.TB, s *miniredis.Miniredis, key string, f func([]byte) []byte) {
	t.Helper()
	was, err := s.Get(key)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Set(key, string(f([]byte(was)))); err != nil {
		t.Fatal(err)
	}
}

// Whatever is broken is refused, said, and never served; mending it is enough.
func TestBrokenRevisionsAreRefused(t *testing.T) {
	t.Parallel()
	private, public := pair("ours")
	theirs, _ := pair("theirs")
	next := content("2026-02-01")
	record := snapshot.NewRecord(next)
	sealed := publication.Seal(record, private)
	blob := "{endfloat}:blob:" + record.Families[1].Digest
	flipped := bytes.Clone(sealed)
	flipped[len(flipped)-1] ^= 1
	for _, row := range []struct {
		name  string
		spoil func(*miniredis.Miniredis)
		says  string
	}{
		{"corrupt blob", func(s *miniredis.Miniredis) {
			change(t, s, blob, func(b []byte) []byte { b[len(b)/2] ^= 1; return b })
			put(t, s, next.Name, sealed)
		}, "does not agree with its digest"},
		{"truncated blob", func(s *miniredis.Miniredis) {
			change(t, s, blob, func(b []byte) []byte { return b[:len(b)-1] })
			put(t, s, next.Name, sealed)
		}, "does not agree with its digest"},
		{"blob that goes on", func(s *miniredis.Miniredis) {
			change(t, s, blob, func(b []byte) []byte { return append(b, make([]byte, 1<<20)...) })
			put(t, s, next.Name, sealed)
		}, "does not agree with its digest"},
		{"half-written", func(s *miniredis.Miniredis) {
			s.Del(blob)
			put(t, s, next.Name, sealed)
		}, "a part of the content is missing"},
		{"pointer to nothing", func(s *miniredis.Miniredis) {
			_ = s.Set("{endfloat}:current", publication.RefOf(next.Name, []byte("gone")).String())
		}, "there is no such revision"},
		{"record that is another", func(s *miniredis.Miniredis) {
			ref := publication.RefOf(next.Name, append(bytes.Clone(sealed), 0)) // under the digest of something else
			_ = s.Set("{endfloat}:manifest:"+ref.Digest, string(sealed))
			_ = s.Set("{endfloat}:current", ref.String())
		}, "the record is broken"},
		{"truncated record", func(s *miniredis.Miniredis) { put(t, s, next.Name, sealed[:len(sealed)-9]) }, "the record is broken"},
		{"another name", func(s *miniredis.Miniredis) { put(t, s, "r-0123456789ab", sealed) }, "the record is broken"},
		{"unsigned", func(s *miniredis.Miniredis) { put(t, s, next.Name, publication.Seal(record, nil)) }, "not signed"},
		{"signed by another", func(s *miniredis.Miniredis) { put(t, s, next.Name, publication.Seal(record, theirs)) }, "a key that is not trusted"},
		{"wrong signature", func(s *miniredis.Miniredis) { put(t, s, next.Name, flipped) }, "the signature does not fit"},
		{"older schema, unsigned", func(s *miniredis.Miniredis) { put(t, s, next.Name, older(publication.Seal(record, nil))) }, "not signed"},
		{"pointer that is none", func(s *miniredis.Miniredis) { _ = s.Set("{endfloat}:current", strings.Repeat("x", 5000)) }, "names no revision"},
		{"pointer of another kind", func(s *miniredis.Miniredis) { s.Del("{endfloat}:current"); _, _ = s.Push("{endfloat}:current", "x") }, "WRONGTYPE"},
		{"sequence that is none", func(s *miniredis.Miniredis) { _ = s.Set("{endfloat}:sequence", "many") }, "the pointer is broken"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			s := server(t)
			shared := open(t, s.Addr())
			first := content("2026-01-01")
			o := redisstore.Publication{Private: private}
			was := publish(t, shared, next, o)
			publish(t, shared, first, o)
			f := follow(t, s.Addr(), redisstore.Following{Trusted: []ed25519.PublicKey{public}})
			row.spoil(s)
			await(t, "a refusal", func() bool { return f.State().Err != nil })
			if err := f.State().Err; !strings.Contains(err.Error(), row.says) || f.held.Current().Name != first.Name {
				t.Errorf("%s serves, and says %v", f.held.Current().Name, err)
			}
			if strings.HasPrefix(row.says, "WRONG") || strings.HasPrefix(row.name, "sequence") {
				return // the pointer itself has to be mended by hand
			}
			if told := f.told(redisstore.Refused); len(told) != 1 {
				t.Errorf("told %v", told)
			}
			if done, err := shared.Publish(t.Context(), next, o); err != nil || done.Ref != was.Ref { // which mends it
				t.Fatal(err)
			}
			f.awaits(t, next.Name)
			await(t, "a good poll", func() bool { return f.State().Err == nil })
		})
	}
}

func TestAnOlderSchemaIsRefused(t *testing.T) {
	t.Parallel()
	s := server(t)
	first, next := content("2026-01-01"), content("2026-02-01")
	publish(t, open(t, s.Addr()), first, redisstore.Publication{})
	f := follow(t, s.Addr(), redisstore.Following{})
	put(t, s, next.Name, older(publication.Seal(snapshot.NewRecord(next), nil)))
	await(t, "a refusal", func() bool { return f.State().Err != nil })
	if err := f.State().Err; !errors.Is(err, snapshot.ErrOlder) || f.held.Current().Name != first.Name {
		t.Errorf("%s %v", f.held.Current().Name, err)
	}
}

// A publisher hears of a refusal while the revision is only staged, and the pointer does not move.
func TestAPublisherHearsOfARefusal(t *testing.T) {
	t.Parallel()
	s := server(t)
	shared := open(t, s.Addr())
	ours, public := pair("ours")
	theirs, _ := pair("theirs")
	first := publish(t, shared, content("2026-01-01"), redisstore.Publication{Private: ours})
	f := follow(t, s.Addr(), redisstore.Following{Trusted: []ed25519.PublicKey{public}})
	await(t, "a replica", func() bool { r, err := shared.Replicas(t.Context()); return err == nil && len(r) == 1 })
	_, err := shared.Publish(t.Context(), content("2026-02-01"), redisstore.Publication{Private: theirs, Wait: patience})
	if err == nil || !strings.Contains(err.Error(), "refuses") || !strings.Contains(err.Error(), "not trusted") {
		t.Errorf("%v", err)
	}
	if p, err := shared.Pointer(t.Context()); err != nil || p.Current != first.Ref || !p.Staged.IsZero() {
		t.Errorf("%+v %v", p, err)
	}
	if f.held.Current().Name != first.Ref.Name {
		t.Error("what was refused serves")
	}
}

func TestARollbackToSomethingBrokenIsRefused(t *testing.T) {
	t.Parallel()
	s := server(t)
	shared := open(t, s.Addr())
	old := content("2026-01-01")
	publish(t, shared, old, redisstore.Publication{})
	done := publish(t, shared, content("2026-02-01"), redisstore.Publication{})
	s.Del("{endfloat}:blob:" + snapshot.NewRecord(old).Families[1].Digest)
	if _, err := shared.Rollback(t.Context(), "", nil, redisstore.Publication{}); !errors.Is(err, snapshot.ErrMissing) {
		t.Error(err)
	}
	if p, err := shared.Pointer(t.Context()); err != nil || p.Current != done.Ref {
		t.Errorf("%+v %v", p, err)
	}
}

// What followers say about themselves is somebody else's text.
func TestStrangersAmongReplicas(t *testing.T) {
	t.Parallel()
	s := server(t)
	s.HSet("{endfloat}:replicas", "a", "no JSON", "b", `{"beat":"x"}`, "c", `{"beat":1,"serves":"`+strings.Repeat("x", 5000)+`"}`, "d", `{"beat":2,"serves":"r-0123456789ab","why":"\u001b[2Jcleared"}`, "\x1b[2J", `{"beat":1}`, "", `{"beat":1}`)
	list, err := open(t, s.Addr()).Replicas(t.Context())
	if err != nil || len(list) != 1 || list[0].ID != "d" || list[0].Why != "[2Jcleared" {
		t.Errorf("%+v %v", list, err)
	}
}

// What a service left that was killed ten thousand times stands in nobody's way.
func TestALongListOfReplicasIsMadeAnew(t *testing.T) {
	t.Parallel()
	s := server(t)
	shared := open(t, s.Addr())
	for i := range 10_001 {
		s.HSet("{endfloat}:replicas", strconv.Itoa(i), `{"beat":1}`)
	}
	if _, err := shared.Replicas(t.Context()); err == nil {
		t.Error("they are all listed")
	}
	f := follow(t, s.Addr(), redisstore.Following{})
	publish(t, shared, content("2026-01-01"), redisstore.Publication{Wait: patience})
	f.awaits(t, content("2026-01-01").Name)
	await(t, "a list of one", func() bool { r, err := shared.Replicas(t.Context()); return err == nil && len(r) == 1 })
}

// One that waits for what may never come begins all the same, and stops when it is told to: else this never ends.
func TestAHungRedisKeepsNobody(t *testing.T) {
	t.Parallel()
	f := follow(t, hung(t), redisstore.Following{})
	if f.held.Current() == nil {
		t.Error("nothing serves")
	}
	f.end()
	<-f.ended
}

func copies(t testing.TB) *os.Root {
	t.Helper()
	dir, err := os.OpenRoot(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = dir.Close() })
	return dir
}

func TestTheLastGoodCopyServesWhileRedisIsAway(t *testing.T) {
	t.Parallel()
	s := server(t)
	addr := s.Addr()
	private, public := pair("ours")
	dir := copies(t)
	one := content("2026-01-01")
	publish(t, open(t, addr), one, redisstore.Publication{Private: private})
	how := redisstore.Following{Trusted: []ed25519.PublicKey{public}, Copy: dir}
	f := follow(t, addr, how)
	await(t, "a copy", func() bool { _, _, err := publication.ReadCopy(dir, how.Trusted); return err == nil })
	f.end()
	<-f.ended
	s.Close()
	again := follow(t, addr, how)
	if again.held.Current().Name != one.Name || again.State().Source != redisstore.Copy || again.State().Err == nil {
		t.Errorf("%+v", again.State())
	}
	if err := s.Restart(); err != nil {
		t.Fatal(err)
	}
	await(t, "Redis", func() bool { s := again.State(); return s.Err == nil && s.Source == redisstore.Redis })
	_, other := pair("theirs")
	how.Trusted = []ed25519.PublicKey{other}
	if stranger := follow(t, addr, how); stranger.held.Current().Name == one.Name {
		t.Error("a copy by a key that is not trusted serves")
	}
}
