package snapshot_test

import (
	"bytes"
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/specdb"
	"endfloat/specdb/data"
	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
)

// same compares whole values; decimals with the digits they were written with.
var same = cmp.Options{
	cmp.Comparer(func(a, b quantity.Decimal) bool { return a == b }),
	cmp.Comparer(func(a, b spec.Text) bool { return a.All() == b.All() }),
	cmpopts.EquateEmpty(),
	cmpopts.IgnoreUnexported(catalogue.Family{}),
}

func demo(t testing.TB) snapshot.Content {
	t.Helper()
	c, err := specdb.Read(data.Files, catalogue.Defaults{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func file(t testing.TB, c snapshot.Content) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := snapshot.Write(&b, c); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func read(blob []byte) (snapshot.Content, error) {
	return snapshot.Read(bytes.NewReader(blob), int64(len(blob)), nil)
}

func TestFamiliesComeBackWhole(t *testing.T) {
	t.Parallel()
	for _, f := range demo(t).Families {
		blob := snapshot.EncodeFamily(f)
		got, err := snapshot.DecodeFamily(blob)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(f, got, same); d != "" {
			t.Errorf("%s\n%s", f.Key, d)
		}
		if !bytes.Equal(blob, snapshot.EncodeFamily(got)) {
			t.Errorf("%s is encoded otherwise the second time", f.Key)
		}
	}
}

func TestFileComesBackWhole(t *testing.T) {
	t.Parallel()
	c := demo(t)
	c.Withdrawn = []manifest.Withdrawn{{Revision: "r-0123456789ab", Reason: spec.English("wrong band")}}
	blob := file(t, c)
	got, err := read(blob)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(c, got, same); d != "" {
		t.Error(d)
	}
	if !bytes.Equal(blob, file(t, c)) {
		t.Error("the same content made other bytes")
	}
}

func TestNamesFollowContent(t *testing.T) {
	t.Parallel()
	c := demo(t)
	key := c.Families[0].Components[0].Specs[0].Base
	before := manifest.Digest(snapshot.EncodeFamily(c.Families[0]))
	key.Band.Upper = quantity.NewDecimal(key.Band.Upper.Coef()*10, key.Band.Upper.Places()+1) // one zero more
	if after := manifest.Digest(snapshot.EncodeFamily(c.Families[0])); after == before {
		t.Error("a digit more is another content")
	}
}

// Every single byte of a file is covered by a digest: whichever is changed, nothing is read.
func TestAnyChangedByteIsNoticed(t *testing.T) {
	t.Parallel()
	blob := file(t, demo(t))
	step := max(1, len(blob)/997)
	for i := 0; i < len(blob); i += step {
		bad := bytes.Clone(blob)
		bad[i] ^= 0x10
		if _, err := read(bad); err == nil {
			t.Fatalf("byte %d of %d", i, len(blob))
		}
	}
	for _, n := range []int{0, 1, 9, 13, 100, len(blob) / 2, len(blob) - 1} {
		if _, err := read(blob[:n]); err == nil {
			t.Errorf("cut after %d bytes", n)
		}
	}
	if _, err := read(append(bytes.Clone(blob), 0)); err == nil {
		t.Error("a byte more")
	}
	if _, err := read([]byte("family: pl-85\nname: PL-85\n")); !errors.Is(err, snapshot.ErrNoSnapshot) {
		t.Errorf("%v", err)
	}
}

func TestFamiliesInMemoryAreShared(t *testing.T) {
	t.Parallel()
	c := demo(t)
	blob := file(t, c)
	got, err := snapshot.Read(bytes.NewReader(blob), int64(len(blob)), map[string]*catalogue.Family{c.Families[1].Digest: c.Families[1]})
	if err != nil || got.Families[1] != c.Families[1] || got.Families[0] == c.Families[0] {
		t.Errorf("%v", err)
	}
}

func FuzzDecodeFamily(f *testing.F) {
	for _, x := range demo(f).Families {
		f.Add(snapshot.EncodeFamily(x))
	}
	f.Add([]byte{1})
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, blob []byte) {
		x, err := snapshot.DecodeFamily(blob)
		if err != nil {
			return
		}
		first := snapshot.EncodeFamily(x)
		again, err := snapshot.DecodeFamily(first)
		if err != nil {
			t.Fatalf("what was read is not written again: %v", err)
		}
		if !bytes.Equal(first, snapshot.EncodeFamily(again)) {
			t.Fatal("what was written is read as something else")
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add(file(f, demo(f)))
	f.Add([]byte("endfloat\x00\x01\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, blob []byte) {
		c, err := read(blob)
		if err == nil && c.Name == "" {
			t.Fatal("a revision without a name")
		}
	})
}

func BenchmarkDecodeFamily(b *testing.B) {
	c := demo(b)
	blob := snapshot.EncodeFamily(c.Families[0])
	b.SetBytes(int64(len(blob)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := snapshot.DecodeFamily(blob); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleEncodeFamily() {
	f := &catalogue.Family{Key: "pl-85", Name: spec.English("PL-85")}
	blob := snapshot.EncodeFamily(f)
	got, err := snapshot.DecodeFamily(blob)
	fmt.Println(got.Key, got.Name.In("en"), err, got.Digest == manifest.Digest(blob))
	// Output: pl-85 PL-85 <nil> true
}
