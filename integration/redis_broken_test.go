//go:build integration

package integration_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/redis/go-redis/v9"
)

// vault is a Redis in which the second of two revisions is in use and the first one was before, as whoever may write
// there sees it.
type vault struct {
	t     *testing.T
	desk  *redis.Client
	name  string // of the first revision
	ref   string // under which its record is kept
	piece string // a blob that it alone is made of
}

func (v *vault) key(name string) string { return "{endfloat}:" + name }

func (v *vault) record() []byte {
	_, digest, _ := strings.Cut(v.ref, "/")
	blob, err := v.desk.Get(v.t.Context(), v.key("manifest:"+digest)).Bytes()
	if err != nil {
		v.t.Fatal(err)
	}
	return blob
}

func (v *vault) change(key string, to func([]byte) []byte) {
	blob, err := v.desk.Get(v.t.Context(), key).Bytes()
	if err != nil {
		v.t.Fatal(err)
	}
	if err := v.desk.Set(v.t.Context(), key, to(bytes.Clone(blob)), 0).Err(); err != nil {
		v.t.Fatal(err)
	}
}

// use moves the pointer by hand.
func (v *vault) use(ref string) {
	pipe := v.desk.TxPipeline()
	pipe.Set(v.t.Context(), v.key("current"), ref, 0)
	pipe.Incr(v.t.Context(), v.key("sequence"))
	pipe.Publish(v.t.Context(), v.key("hint"), "moved")
	if _, err := pipe.Exec(v.t.Context()); err != nil {
		v.t.Fatal(err)
	}
}

// forge keeps a record of one's own and puts it in use.
func (v *vault) forge(record []byte) {
	sum := sha256.Sum256(record)
	digest := hex.EncodeToString(sum[:])
	if err := v.desk.Set(v.t.Context(), v.key("manifest:"+digest), record, 0).Err(); err != nil {
		v.t.Fatal(err)
	}
	v.use(v.name + "/" + digest)
}

func openVault(t *testing.T, url string, r *redisd, args ...string) *vault {
	t.Helper()
	v := &vault{t: t, desk: r.desk(t)}
	pieces := func() []string { return v.desk.Keys(t.Context(), v.key("blob:*")).Val() }
	v.name = publishes(t, url, shop(t, "0.40"), args...)
	v.ref = v.desk.Get(t.Context(), v.key("current")).Val()
	before := pieces()
	publishes(t, url, shop(t, "0.35"), args...)
	shared := slices.DeleteFunc(pieces(), func(k string) bool { return slices.Contains(before, k) })
	if len(before) != 2 || len(shared) != 1 { // a head that both have, and a family each
		t.Fatalf("%v %v", before, shared)
	}
	small := -1
	for i, k := range before {
		if n := v.desk.StrLen(t.Context(), k).Val(); small < 0 || n < v.desk.StrLen(t.Context(), before[small]).Val() {
			small = i
		}
	}
	v.piece = before[small] // a family of one spec is shorter than the built-in defaults
	return v
}

// What is broken on its way is refused: the revision before it serves on, and the log and /readyz say why.
func TestBrokenRevisionsAreNeverServed(t *testing.T) {
	t.Parallel()
	private, public := keyFiles(t)
	for _, row := range []struct {
		name  string
		spoil func(*vault)
		says  string
	}{
		{"corrupt blob", func(v *vault) {
			v.change(v.piece, func(b []byte) []byte { b[len(b)/2] ^= 1; return b })
			v.use(v.ref)
		}, "does not agree with its digest"},
		{"truncated blob", func(v *vault) {
			v.change(v.piece, func(b []byte) []byte { return b[:len(b)-1] })
			v.use(v.ref)
		}, "does not agree with its digest"},
		{"record without blobs", func(v *vault) {
			v.desk.Del(v.t.Context(), v.piece)
			v.use(v.ref)
		}, "a part of the content is missing"},
		{"wrong signature", func(v *vault) {
			b := v.record()
			b[len(b)-1] ^= 1
			v.forge(b)
		}, "the signature does not fit"},
		{"altered record under a good signature", func(v *vault) {
			b := v.record()
			b[20] ^= 1
			v.forge(b)
		}, "the signature does not fit"},
		{"unsigned", func(v *vault) { b := v.record(); v.forge(b[:len(b)-72]) }, "is not signed"},
		{"truncated record", func(v *vault) { b := v.record(); v.forge(b[:len(b)/2]) }, "the record is broken"},
		{"pointer to nothing", func(v *vault) { v.use(v.name + "/" + strings.Repeat("0", 64)) }, "there is no such revision"},
		{"pointer to no revision", func(v *vault) { v.use("../../etc/passwd") }, "names no revision"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := newRedis(t)
			url := "redis://" + r.addr
			v := openVault(t, url, r, "--publisher-key", private)
			s := follower(t, url, "--publisher-key", public)
			s.serves(t, "0.35")
			s.warnsOf(t, "")
			row.spoil(v)
			s.warnsOf(t, row.says)
			s.serves(t, "0.35")
			publishes(t, url, shop(t, "0.30"), "--publisher-key", private) // whatever stands there, a good one mends it
			s.serves(t, "0.30")
			s.warnsOf(t, "")
			if code := s.end(t, syscall.SIGTERM); code != 0 || !strings.Contains(s.log.String(), "a published revision is refused") || !strings.Contains(s.log.String(), row.says) {
				t.Errorf("exit code %d\n%s", code, s.log)
			}
		})
	}
}

// The first byte behind the seal and the length is the schema of the record; one that is older comes from an older program.
func TestAnOlderSchemaIsNeverServed(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	v := openVault(t, url, r)
	s := follower(t, url)
	s.serves(t, "0.35")
	b := v.record()
	b[14]--
	v.forge(b)
	s.warnsOf(t, "older schema")
	s.serves(t, "0.35")
}

// A revision that replicas refuse never gets as far as the pointer.
func TestARefusalEndsAPublication(t *testing.T) {
	t.Parallel()
	r := newRedis(t)
	url := "redis://" + r.addr
	ours, public := keyFiles(t)
	theirs, _ := keyFiles(t)
	first := publishes(t, url, shop(t, "0.40"), "--publisher-key", ours)
	s := follower(t, url, "--publisher-key", public)
	s.serves(t, "0.40")
	s.warnsOf(t, "")
	for _, row := range []struct {
		args []string
		says string
	}{
		{[]string{"--publisher-key", theirs}, "a key that is not trusted"},
		{[]string{"--unsigned"}, "is not signed"},
		{nil, "give --publisher-key, or --unsigned"},
	} {
		code, out, diag := run(t, nil, append([]string{"catalogue", "publish", shop(t, "0.35"), "--redis", url}, row.args...)...)
		if code != 2 || !strings.Contains(diag, row.says) {
			t.Errorf("%v: %d %s%s", row.args, code, out, diag)
		}
	}
	if now := r.desk(t).Get(t.Context(), "{endfloat}:current").Val(); !strings.HasPrefix(now, first+"/") {
		t.Errorf("in use is %s", now)
	}
	s.serves(t, "0.40")
	s.warnsOf(t, "") // what was only staged is forgotten
}
