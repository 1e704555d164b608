package publication_test

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb"
	"endfloat/specdb/data"
	"endfloat/specdb/manifest"
	"endfloat/specdb/publication"
	"endfloat/specdb/snapshot"
)

func demo(t testing.TB) snapshot.Content {
	t.Helper()
	c, err := specdb.Read(data.Files, catalogue.Defaults{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// key is a pair that is the same in every run.
func key(name string) (ed25519.PrivateKey, ed25519.PublicKey) {
	seed := sha256.Sum256([]byte(name))
	private := ed25519.NewKeyFromSeed(seed[:])
	return private, private.Public().(ed25519.PublicKey)
}

func TestWhoseSignatureIsBelieved(t *testing.T) {
	t.Parallel()
	record := snapshot.NewRecord(demo(t))
	ours, public := key("ours")
	theirs, other := key("theirs")
	signed := publication.Seal(record, ours)
	altered := bytes.Clone(signed)
	altered[len(altered)-1] ^= 1
	swapped := bytes.Clone(publication.Seal(record, theirs)) // says that it is by our key
	copy(swapped[len(swapped)-72:], signed[len(signed)-72:len(signed)-64])
	another := record
	another.Withdrawn = []manifest.Withdrawn{{Revision: "r-0123456789ab", Reason: spec.English("misread")}}
	moved := publication.Seal(another, nil) // the signature of one record behind another
	moved = append(moved, signed[len(signed)-72:]...)
	for _, row := range []struct {
		name    string
		sealed  []byte
		trusted []ed25519.PublicKey
		want    error
	}{
		{"signed", signed, []ed25519.PublicKey{public}, nil},
		{"signed with the second of two keys", signed, []ed25519.PublicKey{other, public}, nil},
		{"signed where nobody demands it", signed, nil, nil},
		{"unsigned where nobody demands it", publication.Seal(record, nil), nil, nil},
		{"unsigned", publication.Seal(record, nil), []ed25519.PublicKey{public}, publication.ErrUnsigned},
		{"by another key", publication.Seal(record, theirs), []ed25519.PublicKey{public}, publication.ErrUntrusted},
		{"by another key in our name", swapped, []ed25519.PublicKey{public}, publication.ErrAltered},
		{"altered signature", altered, []ed25519.PublicKey{public}, publication.ErrAltered},
		{"signature of another record", moved, []ed25519.PublicKey{public}, publication.ErrAltered},
		{"truncated in the signature", signed[:len(signed)-1], []ed25519.PublicKey{public}, publication.ErrBroken},
		{"truncated in the record", signed[:40], nil, publication.ErrBroken},
		{"nothing", nil, nil, publication.ErrBroken},
		{"text", []byte("family: pl-85"), nil, publication.ErrBroken},
	} {
		got, err := publication.Open(row.sealed, row.trusted)
		if !errors.Is(err, row.want) || (err == nil) != (got.Name == record.Name) {
			t.Errorf("%s: %v", row.name, err)
		}
	}
	if publication.SignedWith(signed) == "" || publication.SignedWith(signed) == publication.SignedWith(swapped[:0]) {
		t.Error("the key is not named")
	}
}

// Ed25519 signs (RFC 8032) so that no byte of what is signed can change.
func TestNoByteOfASignedRecordCanChange(t *testing.T) {
	t.Parallel()
	private, public := key("ours")
	sealed := publication.Seal(snapshot.NewRecord(demo(t)), private)
	for i := range sealed {
		bad := bytes.Clone(sealed)
		bad[i] ^= 4
		if _, err := publication.Open(bad, []ed25519.PublicKey{public}); err == nil {
			t.Fatalf("byte %d of %d", i, len(sealed))
		}
	}
}

func TestRefs(t *testing.T) {
	t.Parallel()
	ref := publication.RefOf("r-0123456789ab", []byte("x"))
	if got, err := publication.ParseRef(ref.String()); err != nil || got != ref {
		t.Errorf("%v %v", got, err)
	}
	if got, err := publication.ParseRef(""); err != nil || !got.IsZero() || got.String() != "" {
		t.Errorf("%v %v", got, err)
	}
	for _, s := range []string{"r-0123456789ab", "r-0123456789ab/", "/" + ref.Digest, "../x/" + ref.Digest, ref.String() + "0", "r-0123456789ab/" + string(bytes.ToUpper([]byte(ref.Digest)))} {
		if _, err := publication.ParseRef(s); err == nil {
			t.Errorf("%q is read", s)
		}
	}
}

func directory(t testing.TB) (*os.Root, string) {
	t.Helper()
	path := t.TempDir()
	dir, err := os.OpenRoot(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = dir.Close() })
	return dir, path
}

func TestTheCopyIsReadAgainWithItsSignature(t *testing.T) {
	t.Parallel()
	dir, path := directory(t)
	private, public := key("ours")
	_, other := key("theirs")
	if _, _, err := publication.ReadCopy(dir, nil); !errors.Is(err, publication.ErrNoCopy) {
		t.Error(err)
	}
	c := demo(t)
	sealed := publication.Seal(snapshot.NewRecord(c), private)
	for range 2 { // the second replaces the first
		if err := publication.WriteCopy(dir, sealed, c); err != nil {
			t.Fatal(err)
		}
	}
	got, ref, err := publication.ReadCopy(dir, []ed25519.PublicKey{public})
	if err != nil || got.Name != c.Name || ref != publication.RefOf(c.Name, sealed) || len(got.Families) != len(c.Families) {
		t.Errorf("%v %v %v", got.Manifest, ref, err)
	}
	if _, _, err := publication.ReadCopy(dir, []ed25519.PublicKey{other}); !errors.Is(err, publication.ErrUntrusted) {
		t.Error(err)
	}
	if entries, err := os.ReadDir(path); err != nil || len(entries) != 1 {
		t.Errorf("something is left: %v %v", entries, err)
	}
	c.Families = c.Families[1:]
	if err := publication.WriteCopy(dir, sealed, c); err == nil {
		t.Error("content was kept that is not what was sealed")
	}
	if got, _, err := publication.ReadCopy(dir, nil); err != nil || len(got.Families) != len(c.Families)+1 {
		t.Errorf("the copy before is lost: %v", err)
	}
}

func TestAnyChangedByteOfTheCopyIsNoticed(t *testing.T) {
	t.Parallel()
	dir, path := directory(t)
	c := demo(t)
	if err := publication.WriteCopy(dir, publication.Seal(snapshot.NewRecord(c), nil), c); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(path, publication.CopyName)
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	holds := func(blob []byte) bool {
		if err := os.WriteFile(file, blob, 0o600); err != nil {
			t.Fatal(err)
		}
		_, _, err := publication.ReadCopy(dir, nil)
		return err == nil
	}
	if !holds(whole) {
		t.Fatal("the copy itself does not hold")
	}
	for i := 0; i < len(whole); i += max(1, len(whole)/499) {
		bad := bytes.Clone(whole)
		bad[i] ^= 0x20
		if holds(bad) {
			t.Errorf("byte %d of %d", i, len(whole))
		}
	}
	for _, n := range []int{0, 5, 14, 100, len(whole) - 1} {
		if holds(whole[:n]) {
			t.Errorf("cut after %d bytes", n)
		}
	}
	if holds(append(bytes.Clone(whole), 0)) {
		t.Error("a byte more")
	}
}

func FuzzOpen(f *testing.F) {
	private, public := key("ours")
	record := snapshot.NewRecord(demo(f))
	f.Add(publication.Seal(record, private), true)
	f.Add(publication.Seal(record, nil), false)
	f.Add([]byte("endfloat\x00\x02\xff\xff\xff\xff"), false)
	want := publication.Seal(record, private)
	f.Fuzz(func(t *testing.T, sealed []byte, demanded bool) {
		var trusted []ed25519.PublicKey
		if demanded {
			trusted = append(trusted, public)
		}
		got, err := publication.Open(sealed, trusted)
		if err == nil && demanded && !bytes.Equal(sealed, want) {
			t.Fatalf("%s was never signed", got.Name)
		}
		if err == nil && got.Name == "" {
			t.Fatal("a record without a name")
		}
	})
}

func ExampleSeal() {
	private, public := key("an example")
	record := snapshot.NewRecord(snapshot.NewContent(manifest.Head{}, nil, nil))
	sealed := publication.Seal(record, private)
	_, err := publication.Open(sealed, []ed25519.PublicKey{public})
	fmt.Println(err)
	sealed[20] ^= 1
	_, err = publication.Open(sealed, []ed25519.PublicKey{public})
	fmt.Println(err)
	// Output:
	// <nil>
	// the signature does not fit
}
