package manifest_test

import (
	"fmt"
	"testing"

	"endfloat/specdb/manifest"
)

func TestNamesFollowContentAlone(t *testing.T) {
	t.Parallel()
	head, a, b := manifest.Piece{Digest: "h"}, manifest.Piece{Key: "a", Digest: "1"}, manifest.Piece{Key: "b", Digest: "2"}
	name := manifest.New("2026-11-01", head, []manifest.Piece{a, b}).Name
	for what, other := range map[string]manifest.Manifest{
		"another head":         manifest.New("2026-11-01", manifest.Piece{Digest: "i"}, []manifest.Piece{a, b}),
		"another digest":       manifest.New("2026-11-01", head, []manifest.Piece{a, {Key: "b", Digest: "3"}}),
		"a family less":        manifest.New("2026-11-01", head, []manifest.Piece{a}),
		"digests changed over": manifest.New("2026-11-01", head, []manifest.Piece{{Key: "a", Digest: "2"}, {Key: "b", Digest: "1"}}),
	} {
		if other.Name == name {
			t.Errorf("%s has the same name", what)
		}
	}
	if manifest.New("2026-11-01", head, []manifest.Piece{b, a}).Name != name {
		t.Error("the order of the files changed the name")
	}
}

// The digest is SHA-256 of FIPS 180-4; its example for the three letters abc.
func TestDigest(t *testing.T) {
	t.Parallel()
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	if got := manifest.Digest([]byte("abc")); got != abc {
		t.Error(got)
	}
}

func ExampleNew() {
	m := manifest.New("2026-11-01", manifest.PieceOf("", []byte("head")), []manifest.Piece{manifest.PieceOf("pl-85", []byte("family"))})
	fmt.Println(m.Date, len(m.Name), m.Families[0].Key, m.Size())
	// Output: 2026-11-01 14 pl-85 10
}
