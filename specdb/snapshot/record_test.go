package snapshot_test

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"pgregory.net/rapid"

	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
)

// pieces gives out the blobs of a revision by their digest.
func pieces(c snapshot.Content) map[string][]byte {
	r := snapshot.NewRecord(c)
	all := map[string][]byte{r.Head.Digest: snapshot.EncodeHead(c.Head)}
	for i, f := range c.Families {
		all[r.Families[i].Digest] = snapshot.EncodeFamily(f)
	}
	return all
}

func from(all map[string][]byte) snapshot.Blobs {
	return func(wanted []manifest.Piece) ([][]byte, error) {
		out := make([][]byte, len(wanted))
		for i, p := range wanted {
			out[i] = all[p.Digest]
		}
		return out, nil
	}
}

func TestARecordAndItsPiecesMakeTheRevision(t *testing.T) {
	t.Parallel()
	c := demo(t)
	r, err := snapshot.DecodeRecord(snapshot.EncodeRecord(snapshot.NewRecord(c)))
	if err != nil {
		t.Fatal(err)
	}
	all := pieces(c)
	got, err := r.Load(nil, from(all))
	if err != nil || got.Name != c.Name || !bytes.Equal(file(t, got), file(t, c)) {
		t.Fatalf("%v %v", got.Manifest, err)
	}
	for _, p := range r.Pieces() {
		for name, change := range map[string]func([]byte) []byte{
			"missing":     func([]byte) []byte { return nil },
			"truncated":   func(b []byte) []byte { return b[:len(b)-1] },
			"longer":      func(b []byte) []byte { return append(bytes.Clone(b), 0) },
			"another bit": func(b []byte) []byte { b = bytes.Clone(b); b[len(b)/2] ^= 1; return b },
		} {
			whole := all[p.Digest]
			all[p.Digest] = change(whole)
			_, err := r.Load(nil, from(all))
			if err == nil || errors.Is(err, snapshot.ErrMissing) != (name == "missing") {
				t.Errorf("%s %q: %v", name, p.Key, err)
			}
			all[p.Digest] = whole
		}
	}
	away := errors.New("away")
	if _, err := r.Load(nil, func([]manifest.Piece) ([][]byte, error) { return nil, away }); !errors.Is(err, away) {
		t.Error(err)
	}
}

func TestRecordsOfOtherSchemas(t *testing.T) {
	t.Parallel()
	blob := snapshot.EncodeRecord(snapshot.NewRecord(demo(t)))
	for _, row := range []struct {
		change int
		want   error
	}{{-1, snapshot.ErrOlder}, {1, snapshot.ErrNewer}} {
		other := bytes.Clone(blob)
		other[0] += byte(row.change)
		if _, err := snapshot.DecodeRecord(other); !errors.Is(err, row.want) {
			t.Errorf("%+d: %v", row.change, err)
		}
	}
}

// Whatever is said about other pieces, sizes or names is no record of this revision.
func TestRecordsThatDoNotAgreeWithThemselves(t *testing.T) {
	t.Parallel()
	for name, change := range map[string]func(*snapshot.Record){
		"another name":       func(r *snapshot.Record) { r.Name = "r-0123456789ab" },
		"another digest":     func(r *snapshot.Record) { r.Families[0].Digest = r.Families[1].Digest },
		"no digest":          func(r *snapshot.Record) { r.Head.Digest = "" },
		"digest in capitals": func(r *snapshot.Record) { r.Head.Digest = string(bytes.ToUpper([]byte(r.Head.Digest))) },
		"a family less":      func(r *snapshot.Record) { r.Families = r.Families[1:] },
		"another order":      func(r *snapshot.Record) { r.Families[0], r.Families[1] = r.Families[1], r.Families[0] },
		"one family twice":   func(r *snapshot.Record) { r.Families = append(r.Families[:1], r.Families...) },
		"a size of 65 MiB":   func(r *snapshot.Record) { r.Families[0].Size = 64<<20 + 1 },
		"a head of 9 MiB":    func(r *snapshot.Record) { r.Head.Size = 9 << 20 },
	} {
		r := snapshot.NewRecord(demo(t))
		change(&r)
		if _, err := snapshot.DecodeRecord(snapshot.EncodeRecord(r)); err == nil {
			t.Errorf("%s is read", name)
		}
	}
}

// One change of one byte never gives another record of the same name with other pieces.
func TestAChangedRecordIsRefusedOrSaysTheSame(t *testing.T) {
	t.Parallel()
	blob := snapshot.EncodeRecord(snapshot.NewRecord(demo(t)))
	want := snapshot.NewRecord(demo(t))
	rapid.Check(t, func(t *rapid.T) {
		bad := bytes.Clone(blob)
		bad[rapid.IntRange(0, len(bad)-1).Draw(t, "at")] ^= byte(rapid.IntRange(1, 255).Draw(t, "bits"))
		r, err := snapshot.DecodeRecord(bad)
		if err != nil {
			return
		}
		if r.Name != want.Name || len(r.Families) != len(want.Families) || r.Head.Digest != want.Head.Digest {
			t.Fatalf("%+v", r)
		}
		for i, f := range r.Families {
			if f.Key != want.Families[i].Key || f.Digest != want.Families[i].Digest {
				t.Fatalf("%+v", f)
			}
		}
	})
}

func FuzzDecodeRecord(f *testing.F) {
	f.Add(snapshot.EncodeRecord(snapshot.NewRecord(demo(f))))
	f.Add([]byte{1})
	f.Add([]byte{0})
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, blob []byte) {
		r, err := snapshot.DecodeRecord(blob)
		if err != nil {
			return
		}
		again, err := snapshot.DecodeRecord(snapshot.EncodeRecord(r))
		if err != nil || again.Name != r.Name || again.Size() != r.Size() {
			t.Fatalf("what was read is written as something else: %v", err)
		}
	})
}

// Nothing is written under digests that are not its own.
func TestContentOtherThanItsDigestsIsNotWritten(t *testing.T) {
	t.Parallel()
	for name, change := range map[string]func(*snapshot.Content){
		"another date":        func(c *snapshot.Content) { c.Head.Date = "2020-01-01" },
		"a family less":       func(c *snapshot.Content) { c.Families = c.Families[1:] },
		"the last twice":      func(c *snapshot.Content) { c.Families[0] = c.Families[len(c.Families)-1] },
		"another family name": func(c *snapshot.Content) { f := *c.Families[0]; f.Key += "x"; c.Families[0] = &f },
	} {
		c := demo(t)
		change(&c)
		if err := snapshot.Write(io.Discard, c); err == nil {
			t.Errorf("%s is written", name)
		}
	}
}
